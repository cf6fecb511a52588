//! Elastics that a record shows to be worn, although an earlier record shows what was to end them.

use crate::prelude::*;
use springline_course::{RemovalReason, Standing};
use springline_model::case::Wear;

pub const RULE: Rule = Rule {
    code: "record/worn-after-end",
    severity: Severity::Error,
    page: include_str!("worn_after_end.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let visits = context.forecast.timeline.visits();
    // Only the last record says what is worn now.
    let Some((index, last)) = visits.iter().enumerate().rev().find_map(|(i, v)| match v.standing {
        Standing::Recorded(seen) => Some((i, context.case.visits.get(seen)?)),
        Standing::Foreseen => None,
    }) else {
        return;
    };
    let worn = last.wear.iter().any(|(_, wear)| match wear {
        Wear::Good | Wear::Partly => true,
        Wear::Hours { hours } => *hours > 0.0,
        Wear::Nothing => false,
    });
    if !worn || !visits[index].elastics_on_arrival.is_empty() {
        return;
    }
    let before = visits[..index].iter().rev();
    let ended = before.flat_map(|v| v.elastics_off.iter().map(move |e| (v.date, e)));
    let Some((on, ended)) = ended.into_iter().next() else { return };
    let Some(block) = context.case.elastics.get(ended.block) else { return };
    let Some((condition, _)) = &block.until else { return };
    if ended.reason != RemovalReason::Recorded {
        return;
    }
    let kind = block.kind.word();
    let message = format!(
        "The {kind} elastics were worn up to {}; {} was recorded on {on}, and ends them.",
        last.on,
        condition.text.trim_start_matches("until ")
    );
    let mut finding = Finding::new(RULE.code, RULE.severity, last.place, message)
        .why("They go on moving the bite past what was wanted.")
        .note("Stop them today, and measure again.");
    if let Some((from, ..)) = &block.from {
        finding = finding.step(from.clone());
    }
    out.push(finding);
}
