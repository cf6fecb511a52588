//! A tooth that is laid open before the wire that is to draw it is in.

use crate::prelude::*;
use crate::support::traction::Pull;
use springline_model::case::ToothState;
use springline_units::quantity::Period;

pub const RULE: Rule = Rule {
    code: "time/exposed-too-early",
    severity: Severity::Warning,
    page: include_str!("exposed_too_early.md"),
    check,
    ..Rule::PLAIN
};

/// The first pull comes one to two weeks after the exposure (common practice, no source).
const FIRST_PULL_DAYS: f64 = 14.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for view in context.views() {
        out.extend(Pull::in_step(&view).iter().filter_map(|pull| exposed_early(context, pull)));
    }
}

fn exposed_early(context: &RuleContext<'_>, pull: &Pull<'_>) -> Option<Finding> {
    let arch = pull.view.arch;
    let (state, _) = arch.states.get(&pull.tooth)?;
    let exposure = arch.exposures.get(&pull.tooth)?;
    let on = exposure.on.filter(|_| *state == ToothState::Unerupted)?;
    // What the surgeon has done is done.
    if context.today.is_some_and(|today| on < today) {
        return None;
    }
    let base = base_wire(context, pull.view)?;
    let pulls_by = Period::days_of(FIRST_PULL_DAYS).after(on)?;
    let ready = base.phase.and_then(|p| p.date_in).filter(|ready| pulls_by < *ready)?;
    let tooth = context.words().tooth(pull.tooth);
    let message = format!(
        "{tooth} is laid open on {on}, before {} is in, from which {} draws it: about {ready}.",
        base.wire().label(),
        pull.view.step.name
    );
    let finding = pull.view.finding(RULE.code, RULE.severity, exposure.place, message);
    Some(
        finding
            .why(
                "Nothing can draw it until then: the gum closes over it again, its room may not be there, and the \
                 surgeon would have to come back.",
            )
            .note(format!("Ask the surgeon for a day after {ready}, or have the wire in sooner."))
            .teeth([pull.tooth]),
    )
}

/// The step that put in the wire that is in as the traction begins.
fn base_wire<'a>(context: &'a RuleContext<'a>, view: &StepView<'a>) -> Option<StepView<'a>> {
    let steps = &view.arch.steps;
    let stays = |at: &usize| {
        let (here, before) = (&steps[*at].wire, &steps[*at - 1].wire);
        here.kept || before.same_wires(here)
    };
    let base = (1..=view.index).rev().find(|at| !stays(at)).unwrap_or(0);
    context.step_view(view.side(), base)
}
