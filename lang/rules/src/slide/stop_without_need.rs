//! A stop on one side only, in an arch whose midline is not to move.

use crate::prelude::*;
use crate::support::midline::{MidlineTarget, wanted};

pub const RULE: Rule = Rule {
    code: "slide/stop-without-need",
    severity: Severity::Advice,
    page: include_str!("stop_without_need.md"),
    check,
    ..Rule::PLAIN
};

/// A midline that is carried less than this nobody sees, mm (common practice, no source).
const SEEN_MM: f64 = 0.3;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        if view.is_in_mouth() || matches!(wanted(context, view.arch), MidlineTarget::Go(..)) {
            continue;
        }
        let Some((act, spot)) = view.step.acts.iter().find_map(|a| match &a.kind {
            ActKind::Stop { spots } => match spots[..] {
                [one] => Some((a, one)),
                _ => None,
            },
            _ => None,
        }) else {
            continue;
        };
        let carried = view.sliding().across_midline_mm().abs();
        if carried < SEEN_MM {
            continue;
        }
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.act_place(act),
                format!(
                    "One stop at {} lets the {} wire lengthen to one side only in {}: it can carry the midline by {}, and \
                     nothing in the plan asks for that.",
                    view.words().tooth(spot.tooth),
                    view.side(),
                    view.step.name,
                    say_mm(carried)
                ),
            )
            .why("Wire that is given out to one side takes the front teeth with it.")
            .figure(tenth(carried), SEEN_MM, Unit::Mm)
            .teeth([spot.tooth]);
        let fix = context.fix("leave the stop out").remove(act.place);
        finding.fixes.extend(fix.done());
        list.push(Candidate::new(view.side(), carried, finding));
    }
    merge_per_arch(context.words(), list, out);
}
