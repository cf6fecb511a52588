//! Diagonal elastics in a bite whose midlines are where they should be.

use crate::prelude::*;
use crate::support::midline::{MidlineTarget, wanted};
use springline_model::case::ElasticsKind;

pub const RULE: Rule = Rule {
    code: "order/pulls-the-midline-off",
    severity: Severity::Warning,
    page: include_str!("pulls_the_midline_off.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let targets: Vec<MidlineTarget> = case.arches.iter().map(|a| wanted(context, a)).collect();
    let stays = |t: &MidlineTarget| *t == MidlineTarget::Stay;
    if targets.len() < 2 || !targets.iter().all(stays) {
        return;
    }
    for elastics in case.elastics.iter().filter(|e| e.kind == ElasticsKind::Diagonal) {
        // Worn already, they have brought the midlines where they are.
        let begun = context.forecast.timeline.visits().iter().any(|v| {
            let recorded = matches!(v.standing, springline_course::Standing::Recorded(_));
            recorded && v.elastics_after.iter().any(|i| case.elastics[*i].place == elastics.place)
        });
        let Some(run) = elastics.runs.first().filter(|_| !begun) else { continue };
        let message = "Diagonal elastics are planned, and both midlines are where they should be.";
        let finding = Finding::new(RULE.code, RULE.severity, run.place, message)
            .why("They pull the midlines apart and cant the bite.")
            .note("Write where the midlines stand, or leave the elastics out.")
            .teeth(run.teeth.iter().copied());
        out.push(match &elastics.from {
            Some((from, ..)) => finding.step(from.clone()),
            None => finding,
        });
    }
}
