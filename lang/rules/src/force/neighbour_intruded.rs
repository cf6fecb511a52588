//! What brings a high tooth down presses its neighbours in.

use super::verdict::{insertion, passes};
use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "force/neighbour-intruded",
    severity: Severity::Error,
    page: include_str!("neighbour_intruded.md"),
    check,
    figure: Some(ToothFigure { judges: Judges::Intrusion, unsaid: Unsaid::Never }),
    yields_to: &["force/sustained", "force/left-over"],
    ..Rule::PLAIN
};

/// From here on a tooth counts as high, mm (common practice, no source).
const HIGH_MM: f64 = 2.0;

/// As light as the practice's first wire: superelastic, round, 0.014 in at most.
fn is_light(wire: &springline_model::Wire) -> bool {
    wire.alloy.is_niti()
        && wire.section.is_round()
        && mm(wire.section.height()) <= 0.014 * 25.4 + 1e-6
}

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let limits = &context.case.house.limits;
    for view in context.views() {
        let Some(insertion) = insertion(&view).filter(|_| !view.follows_done_work()) else {
            continue;
        };
        if is_light(&view.wire().wire) {
            continue;
        }
        let mut pressed: Vec<(Severity, f64, f64, Tooth, Tooth)> = Vec::new();
        for tooth in view.in_wire() {
            let beside: Vec<Tooth> = [Side::Right, Side::Left]
                .into_iter()
                .filter_map(|way| view.next_in_wire(tooth, way))
                .collect();
            let high = |n: &Tooth| view.pose(tooth).gingival_mm - view.pose(*n).gingival_mm;
            for neighbour in beside.iter().filter(|n| high(n) >= HIGH_MM - 1e-6) {
                let Some(load) = insertion.tooth(*neighbour) else { continue };
                let grams = newtons_to_grams(load.delivered.gingival_n);
                let figures = limits.for_tooth(Limit::Intrusion, *neighbour).value;
                if let Some((severity, limit)) = passes(grams, figures) {
                    pressed.push((severity, grams, limit, *neighbour, tooth));
                }
            }
        }
        pressed.sort_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1)));
        let Some(&(severity, grams, limit, neighbour, high)) = pressed.first() else { continue };
        if RULE.yields(&view, severity) {
            continue;
        }
        let place = described(view.arch, high).unwrap_or(view.case_place());
        let (said, most) = apart(grams, limit);
        let mut finding = view
            .finding(
                RULE.code,
                severity,
                place,
                format!(
                    "Extruding {} in {} intrudes {} with {} g ({}); limit {} g.",
                    words.tooth(high),
                    view.step.name,
                    words.tooth(neighbour),
                    plain(said),
                    view.wire().label(),
                    plain(most)
                ),
            )
            .why("The neighbour intrudes sooner than the high tooth extrudes, and intruded roots resorb.")
            .figure(said, most, Unit::G)
            .teeth([neighbour]);
        let light = context
            .case
            .house
            .wires
            .values()
            .filter(|w| is_light(w))
            .max_by(|a, b| mm(a.section.height()).total_cmp(&mm(b.section.height())));
        if let Some(light) = light
            && let Some(fix) = context
                .fix(format!("{} in {}", light.name, view.step.name))
                .set_clause(view.arch, view.step, ClauseKind::Wire, &light.name)
                .done()
        {
            finding = finding.fix(fix);
        }
        finding.fixes.extend(lighter_wire::split(context, &view));
        finding.fixes.extend(lighter_wire::leave_out(context, &view, high));
        list.push(Candidate::new(view.side(), grams / limit, finding));
    }
    merge_per_arch(words, list, out);
}
