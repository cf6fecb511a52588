//! Traction that begins before the tooth is laid open, or that nothing ends.

use crate::prelude::*;
use crate::support::traction::Pull;
use springline_model::case::ToothState;

pub const RULE: Rule = Rule {
    code: "time/traction-without-end",
    severity: Severity::Warning,
    page: include_str!("traction_without_end.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for view in context.views() {
        for pull in Pull::in_step(&view) {
            let found = begins(context, &pull).or_else(|| ends(context, &pull));
            let Some((severity, message, why)) = found else { continue };
            let place = view.act_place(pull.act);
            let finding = view.finding(RULE.code, severity, place, message);
            out.push(finding.why(why).teeth([pull.tooth]));
        }
    }
}

type TimingFault = (Severity, String, &'static str);

fn begins(context: &RuleContext<'_>, pull: &Pull<'_>) -> Option<TimingFault> {
    let view = pull.view;
    let (state, _) = view.arch.states.get(&pull.tooth)?;
    let exposure = view.arch.exposures.get(&pull.tooth)?;
    if *state != ToothState::Unerupted {
        return None;
    }
    let (tooth, step) = (context.words().tooth(pull.tooth), &view.step.name);
    let Some(on) = exposure.on else {
        let message = format!(
            "The schedule stops before {step}: no day is written for the exposure of {tooth}."
        );
        return Some((
            Severity::Advice,
            message,
            "The surgeon decides when; nothing can be dated before that.",
        ));
    };
    let from = view.phase.and_then(|p| p.date_in).filter(|from| *from < on)?;
    let message = format!(
        "Traction on {tooth} begins in {step} on {from}, and {tooth} is laid open on {on}."
    );
    Some((RULE.severity, message, "Until then there is nothing to pull at."))
}

fn ends(context: &RuleContext<'_>, pull: &Pull<'_>) -> Option<TimingFault> {
    let view = pull.view;
    let ActKind::Traction { until, .. } = &pull.act.kind else { return None };
    let bonds = |act: &Act| match &act.kind {
        ActKind::PickUp { teeth, .. } | ActKind::Engage { teeth, .. } => {
            teeth.contains(&pull.tooth)
        }
        ActKind::Piggyback { within, .. } => within.contains(&pull.tooth),
        _ => false,
    };
    let later = view.arch.steps.iter().skip(view.index + 1).flat_map(|s| &s.acts);
    if until.is_some() || later.into_iter().any(bonds) {
        return None;
    }
    let tooth = context.words().tooth(pull.tooth);
    let message = format!(
        "Traction on {tooth} in {}: no later step takes {tooth} into the wire.",
        view.step.name
    );
    Some((RULE.severity, message, "What pulls without an end pulls past its aim, or for nothing."))
}
