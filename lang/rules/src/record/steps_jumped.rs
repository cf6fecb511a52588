//! A record that goes past a step of the plan, or back to one.

use crate::prelude::*;
use springline_model::case::{ArchCase, ArchSeen, Done};

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
                    "On {} the {} arch went from {} to {step}; {} of the plan was left out.",
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
            let finding = Finding::new(RULE.code, RULE.severity, seen.place, message)
                .why("What those wires were for is not done, or is done twice.")
                .step(step.clone());
            out.push(finding.note("Correct the step, or change the plan to what is done."));
        }
    }
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
