//! A record that goes past a step of the plan, or back to one.

use crate::prelude::*;
use springline_model::case::{ArchCase, ArchSeen, Done};
use springline_model::step::Step;

pub const RULE: Rule = Rule {
    code: "record/steps-jumped",
    severity: Severity::Warning,
    page: include_str!("steps_jumped.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    for (index, visit) in case.visits.iter().enumerate() {
        for seen in &visit.arches {
            let Some(Done::Now { step, .. }) = &seen.done else { continue };
            let Some(arch) = case.arch(seen.arch).filter(|a| !a.is_unread()) else { continue };
            let to = arch.steps.iter().position(|s| s.name == *step);
            let from = context.step_on_arrival(index, seen.arch);
            let Some((from, to)) = from.zip(to) else { continue };
            let names = |range: std::ops::Range<usize>| {
                let steps = arch.steps.get(range).unwrap_or_default();
                listed(&steps.iter().map(|s| s.name.to_string()).collect::<Vec<_>>())
            };
            let message = match () {
                () if to > from + 1 => format!(
                    "On {} the {} arch went from {} to {step}, past {} of the plan.",
                    visit.on,
                    seen.arch,
                    names(from..from + 1),
                    names(from + 1..to)
                ),
                () if to < from && !has_reason(&seen.acts, visit) => format!(
                    "On {} the {} arch went back from {} to {step}, and nothing says why.",
                    visit.on,
                    seen.arch,
                    names(from..from + 1)
                ),
                () if to == from && !has_reason(&seen.acts, visit) && same_wire(arch, seen, to) => {
                    format!(
                        "On {} {step} went into the {} arch, where it was already.",
                        visit.on, seen.arch
                    )
                }
                () => continue,
            };
            let unbonded =
                never_bonded(arch.steps.get(from + 1..to).unwrap_or_default(), &seen.acts);
            let severity = if unbonded.is_empty() { RULE.severity } else { Severity::Error };
            let mut finding = Finding::new(RULE.code, severity, seen.place, message)
                .why("What those wires were for is not done, or is done twice.")
                .step(step.clone())
                .teeth(unbonded.iter().copied());
            if !unbonded.is_empty() {
                finding = finding.note(format!(
                    "There {} was to get its bracket; no record says that it has one.",
                    context.words().teeth(&unbonded)
                ));
            }
            out.push(finding.note("Correct the step, or change the plan to what is done."));
        }
    }
}

/// Teeth that the steps left out would have bonded for the first time, and that this visit did not bond either.
fn never_bonded(left_out: &[Step], done: &[Act]) -> Vec<Tooth> {
    let bonded = |act: &Act| match &act.kind {
        ActKind::PickUp { teeth, .. } => teeth.clone(),
        _ => Vec::new(),
    };
    let here: Vec<Tooth> = done.iter().flat_map(bonded).collect();
    let planned = left_out.iter().flat_map(|s| &s.acts).flat_map(bonded);
    planned.filter(|t| !here.contains(t)).collect()
}

/// A bracket that came off or was placed anew sends an arch back to a lighter wire.
fn has_reason(acts: &[Act], visit: &springline_model::case::Visit) -> bool {
    let bonds = |a: &Act| {
        matches!(
            a.kind,
            ActKind::Rebond { .. } | ActKind::Reposition { .. } | ActKind::PickUp { .. }
        )
    };
    acts.iter().any(bonds) || !visit.troubles.is_empty() || !visit.notes.is_empty()
}

/// What went in is what the step has had since it began.
fn same_wire(arch: &ArchCase, seen: &ArchSeen, step: usize) -> bool {
    let Some(Done::Now { wire, tandem, .. }) = &seen.done else { return false };
    let planned = arch.steps.get(step).map(|s| &s.wire.value);
    planned.is_some_and(|planned| {
        planned.wire.name == wire.name
            && planned.tandem.as_ref().map(|w| &w.name) == tandem.as_ref().map(|w| &w.name)
    })
}
