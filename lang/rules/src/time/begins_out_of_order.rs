//! A day on which something begins, and that cannot be.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "time/begins-out-of-order",
    severity: Severity::Error,
    page: include_str!("begins_out_of_order.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    if let Some((start, start_place)) = case.start {
        for arch in &case.arches {
            let Some((begins, place)) = arch.start.filter(|(day, _)| *day < start) else {
                continue;
            };
            let mut finding = Finding::new(
                RULE.code,
                RULE.severity,
                place,
                format!(
                    "The {} arch starts on {begins}, before the appliance goes on, {start}.",
                    arch.arch
                ),
            )
            .related(start_place, "the start of the case")
            .why("Every date of that arch is reckoned from it.")
            .note("The start of the case is the day of the first arch; correct one of the two.");
            let fix = context.fix(format!("start the {} arch with the case", arch.arch));
            finding.fixes.extend(fix.remove(place).done());
            out.push(finding);
        }
    }
    if let Some(in_place) = &case.in_place {
        for (arch, (wire, since, place)) in &in_place.wires {
            if *since <= in_place.on {
                continue;
            }
            out.push(
                Finding::new(
                    RULE.code,
                    RULE.severity,
                    *place,
                    format!(
                        "{} has been in the {arch} arch since {since}, after the day it was found there, {}.",
                        wire.name, in_place.on
                    ),
                )
                .why("What is in the mouth on the day a case is entered went in before.")
                .note("Correct one of the two days."),
            );
        }
    }
}
