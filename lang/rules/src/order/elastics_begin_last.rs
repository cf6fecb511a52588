//! Elastics along the arches that begin with the last wire.

use crate::prelude::*;
use crate::support::elastics::pulls_along;
use crate::wording::sentence_name;

pub const RULE: Rule = Rule {
    code: "order/elastics-begin-last",
    severity: Severity::Warning,
    page: include_str!("elastics_begin_last.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let arches = &context.case.arches;
    for elastics in context.case.elastics.iter().filter(|e| pulls_along(e.kind)) {
        let Some((from, _, place)) = &elastics.from else { continue };
        // A plan of one working wire begins and ends with it.
        let is_last = |a: &springline_model::case::ArchCase| {
            a.steps.len() > 1 && a.steps.last().is_some_and(|s| s.name == *from)
        };
        let any = arches.iter().any(is_last);
        let begins = |a: &springline_model::case::ArchCase| a.steps.iter().any(|s| s.name == *from);
        let later = arches.iter().any(|a| begins(a) && !is_last(a));
        if !any || later || arches.iter().any(|a| a.is_unread()) {
            continue;
        }
        let message = format!(
            "{} elastics begin with {from}, the last step of the plan.",
            sentence_name(elastics.kind)
        );
        out.push(
            Finding::new(RULE.code, RULE.severity, *place, message)
                .why("What they move is not finished after them, and nobody sees whether it stays.")
                .note("Begin them with the working wires; the last wire comes when they are off.")
                .step(from.clone()),
        );
    }
}
