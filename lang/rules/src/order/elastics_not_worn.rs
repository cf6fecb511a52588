//! Elastics planned on for a patient who does not wear them.

use crate::prelude::*;
use springline_model::case::Wear;

pub const RULE: Rule = Rule {
    code: "order/elastics-not-worn",
    severity: Severity::Warning,
    page: include_str!("elastics_not_worn.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let Some(elastics) = context.case.elastics.last() else { return };
    let told: Vec<_> = context.case.visits.iter().filter(|v| !v.wear.is_empty()).collect();
    let [.., before, last] = told.as_slice() else { return };
    let side = [Side::Right, Side::Left].into_iter().find(|side| {
        [before, last].iter().all(|v| {
            v.wear.iter().any(|(s, w)| s.is_none_or(|s| s == *side) && matches!(w, Wear::Nothing))
        })
    });
    let Some(side) = side else { return };
    let mut finding = Finding::new(
        RULE.code,
        RULE.severity,
        elastics.place,
        format!(
            "Elastics on the {side} were not worn at the last two visits ({} and {}).",
            before.on, last.on
        ),
    )
    .why("Waiting longer will not achieve what the plan expects of them.")
    .related(last.place, "not worn here");
    if let Some((from, ..)) = &elastics.from {
        finding = finding.step(from.clone());
    }
    out.push(finding);
}
