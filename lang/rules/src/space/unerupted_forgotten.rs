//! A tooth that is not through, between teeth in the wire, that nothing in the plan brings in or leaves on purpose.

use crate::prelude::*;
use springline_model::case::{ArchCase, Elastics, ToothState};

pub const RULE: Rule = Rule {
    code: "space/unerupted-forgotten",
    severity: Severity::Warning,
    page: include_str!("unerupted_forgotten.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for arch in context.case.arches.iter().filter(|a| !a.is_unread() && !a.steps.is_empty()) {
        let bonded = |place: Option<usize>| {
            let tooth = place.and_then(|p| Tooth::at(arch.arch, p));
            tooth.is_some_and(|t| arch.bonded.contains_key(&t))
        };
        let forgotten = arch.states.iter().find(|(tooth, (state, _))| {
            let at = tooth.place();
            let between = bonded(at.checked_sub(1)) && bonded(Some(at + 1));
            matches!(state, ToothState::Unerupted)
                && between
                && !is_provided_for(context, arch, **tooth)
        });
        let Some((tooth, (_, place))) = forgotten else { continue };
        let kept = arch.steps.iter().find(|s| s.acts.iter().any(|a| keeps_place(&a.kind, *tooth)));
        let named = words.tooth(*tooth);
        let message = match kept {
            None => format!(
                "{named} is not through, the teeth beside it are in the wire, and nothing in the plan keeps its \
                 place, lays it open or takes it in."
            ),
            Some(step) => format!(
                "{named} is not through. {} makes or keeps its space, and nothing in the plan lays it open, pulls it or \
                 takes it into a wire.",
                step.name
            ),
        };
        let why = match kept {
            None => "Its place closes as the others line up, and at the debond it is where it was.",
            Some(_) => {
                "At the debond the space is there and the tooth is where it was. A note plans no visit."
            }
        };
        out.push(
            Finding::new(RULE.code, RULE.severity, *place, message)
                .why(why)
                .note(format!(
                    "Write what becomes of it: `hold {named} 8 mm` until it comes, `expose` and `traction`, or \
                     `extract`."
                ))
                .teeth([*tooth]),
        );
    }
}

/// Whether the plan says what becomes of the tooth itself.
fn is_provided_for(context: &RuleContext<'_>, arch: &ArchCase, tooth: Tooth) -> bool {
    let mut acts = arch.extras.iter().chain(arch.steps.iter().flat_map(|s| &s.acts));
    let hung = |e: &Elastics| e.runs.iter().any(|r| r.teeth.contains(&tooth));
    arch.exposures.contains_key(&tooth)
        || arch.bonded.contains_key(&tooth)
        || acts.any(|a| is_about(&a.kind, tooth))
        || context.case.elastics.iter().any(hung)
}

/// An act that brings the tooth in, or leaves it on purpose.
fn is_about(kind: &ActKind, tooth: Tooth) -> bool {
    match kind {
        ActKind::Bypass { teeth, .. }
        | ActKind::PickUp { teeth, .. }
        | ActKind::Hold { teeth, .. }
        | ActKind::Traction { teeth, .. } => teeth.contains(&tooth),
        ActKind::Piggyback { within, .. } => within.contains(&tooth),
        _ => false,
    }
}

/// A coil over its place.
fn keeps_place(kind: &ActKind, tooth: Tooth) -> bool {
    let over = |a: &Tooth, b: &Tooth| {
        a.place().min(b.place()) < tooth.place() && tooth.place() < a.place().max(b.place())
    };
    match kind {
        ActKind::OpenCoil { first, second, .. } | ActKind::ClosedCoil { first, second, .. } => {
            over(first, second)
        }
        _ => false,
    }
}
