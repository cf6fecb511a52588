//! A stop longer than the gap it should sit in.

use crate::prelude::*;
use springline_course::sliding::side_of;

pub const RULE: Rule = Rule {
    code: "slide/stop-without-gap",
    severity: Severity::Error,
    page: include_str!("stop_without_gap.md"),
    check,
    ..Rule::PLAIN
};

/// Room to reach a stop with the crimping pliers, mm.
const PLIERS_MM: f64 = 1.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let wire = view.sliding();
        let length = wire.stop_mm;
        for stop in &wire.stops {
            let (along, tooth) = (stop.spot.along, stop.spot.tooth);
            if view.step.carried.iter().any(|a| view.act_place(a) == stop.place) {
                continue;
            }
            let Some(next) = view.next_in_wire(tooth, side_of(stop.spot)) else { continue };
            let Some(free) = view.layout.free_wire_mm(tooth, next) else { continue };
            let gap = (tooth.min(next), tooth.max(next));
            let in_gap = wire
                .stops
                .iter()
                .filter(|s| {
                    view.next_in_wire(s.spot.tooth, side_of(s.spot))
                        .is_some_and(|n| (s.spot.tooth.min(n), s.spot.tooth.max(n)) == gap)
                })
                .count();
            let taken = length * in_gap as f64;
            if free + 1e-6 >= taken + PLIERS_MM {
                continue;
            }
            let severity = if free < taken { Severity::Error } else { Severity::Warning };
            let stops = if in_gap == 1 {
                format!("a stop of {}", say_mm(length))
            } else {
                format!("{in_gap} stops of {}", say_mm(length))
            };
            let mut finding = view
                .finding(
                    RULE.code,
                    severity,
                    stop.place,
                    format!(
                        "The stop {} in {} has {} of free wire between {} and {}; {stops} and the pliers need {}.",
                        words.spot(along, tooth),
                        view.step.name,
                        say_mm(free),
                        words.tooth(gap.0),
                        words.tooth(gap.1),
                        say_mm(taken + PLIERS_MM),
                    ),
                )
                .why("A stop wedged between two brackets holds both, and cannot be crimped properly.")
                .figure(tenth(free), tenth(taken + PLIERS_MM), Unit::Mm)
                .teeth([tooth]);
            if in_gap > 1
                && let Some(fix) = context
                    .fix(format!("one stop beside {} instead", words.tooth(tooth)))
                    .replace(stop.place, &format!("stop {}", words.spot(along, tooth)))
                    .done()
                && free >= length + PLIERS_MM
            {
                finding = finding.fix(fix);
            }
            list.push(Candidate::new(view.side(), taken - free, finding));
            break;
        }
    }
    merge_per_arch(words, list, out);
}
