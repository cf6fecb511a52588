//! A step that puts in what is in already, and does nothing else.

use crate::prelude::*;
use crate::support::role::purpose;
use springline_course::EndReason;

pub const RULE: Rule = Rule {
    code: "order/same-wire-again",
    severity: Severity::Warning,
    page: include_str!("same_wire_again.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        let Some(before) = view.before() else { continue };
        let aligns = matches!(purpose(&view), StepKind::Align | StepKind::Level);
        // A wire that is written to stay waits for something: hygiene, a repair, the other arch.
        if !aligns
            || view.step.wire.kept
            || !before.wire.same_wires(&view.step.wire)
            || !view.step.acts.is_empty()
            || view.is_in_mouth()
            || !was_done(&view)
            || comes_in(&view)
            || begins_elastics(&view)
        {
            continue;
        }
        let finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.case_place(),
                format!(
                    "{} has {} again, which is passive by then, and does nothing else.",
                    view.step.name,
                    view.wire().label()
                ),
            )
            .why("The same wire in the same slots has nothing left to give: a visit and weeks are lost.");
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    merge_per_arch(context.words(), list, out);
}

/// The step before ends when its wire has done its work.
fn was_done(view: &StepView<'_>) -> bool {
    let forecast = view.context.forecast.arch(view.side());
    let phase = view.index.checked_sub(1).and_then(|i| forecast?.latest_phase_of_step(i));
    phase.is_some_and(|p| matches!(p.end.reason, EndReason::Passive))
}

/// A tooth comes into the wire by its own condition.
fn comes_in(view: &StepView<'_>) -> bool {
    view.in_wire().into_iter().any(|t| !view.was_in_wire(t))
}

fn begins_elastics(view: &StepView<'_>) -> bool {
    let timeline = &view.context.forecast.timeline;
    let before = view.index.checked_sub(1).map(|i| timeline.elastics_in(view.side(), i));
    let now = timeline.elastics_in(view.side(), view.index);
    now.iter().any(|e| before.as_ref().is_none_or(|b| !b.contains(e)))
}
