//! A stop in a bare span.

use crate::prelude::*;
use springline_course::sliding::side_of;

pub const RULE: Rule = Rule {
    code: "slide/stop-beside-bypass",
    severity: Severity::Warning,
    page: include_str!("stop_beside_bypass.md"),
    check,
    ..Rule::PLAIN
};

/// Beyond this a tooth bends the wire beside it, deg (common practice, no source).
const TURNED_DEG: f64 = 30.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        for (spot, act) in view.state.stops() {
            let mut beside = view
                .state
                .teeth
                .iter()
                .filter(|t| t.status != springline_course::ToothStatus::Absent)
                .map(|t| t.tooth);
            let neighbour = match side_of(spot) {
                Side::Right => beside.rfind(|t| t.place() < spot.tooth.place()),
                Side::Left => beside.filter(|t| t.place() > spot.tooth.place()).min(),
            };
            let turned = |t: Tooth| view.pose(t).rotated_rad.abs().to_degrees();
            let said = words.spot(spot.along, spot.tooth);
            let message = if !view.is_in_wire(spot.tooth) {
                format!("The stop {said} has no bracket to meet: {} is not in the wire", {
                    words.tooth(spot.tooth)
                })
            } else if let Some(n) = neighbour.filter(|n| !view.is_in_wire(*n)) {
                format!("The stop {said} is in the bare span beside {}", words.tooth(n))
            } else if let Some(t) = [Some(spot.tooth), neighbour]
                .into_iter()
                .flatten()
                .find(|t| turned(*t) > TURNED_DEG)
            {
                format!(
                    "The stop {said} is beside {}, which is rotated {}",
                    words.tooth(t),
                    say_deg(turned(t))
                )
            } else {
                continue;
            };
            // Carried over from an earlier step with the same wire: found there.
            if view.step.carried.iter().any(|a| a.place == act.place) && view.index > 0 {
                continue;
            }
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    view.act_place(act),
                    format!("{message} in {}.", view.step.name),
                )
                .why("The wire springs there, and a stop slips or comes off.")
                .teeth([spot.tooth]);
            let centrals: Vec<Tooth> = view
                .in_wire()
                .into_iter()
                .filter(|t| t.position() == 1 && turned(*t) <= TURNED_DEG)
                .collect();
            if let [right, left] = centrals.as_slice()
                && let Some(fix) = context
                    .fix(format!(
                        "stop mesial of {}, mesial of {}",
                        words.tooth(*right),
                        words.tooth(*left)
                    ))
                    .replace(
                        act.place,
                        &format!(
                            "stop mesial of {}, mesial of {}",
                            words.tooth(*right),
                            words.tooth(*left)
                        ),
                    )
                    .done()
            {
                finding = finding.fix(fix);
            }
            list.push(Candidate::new(view.side(), 1.0, finding));
        }
    }
    merge_per_arch(words, list, out);
}
