//! A tooth that is not through, between teeth in the wire, of which the plan says nothing more.

use crate::prelude::*;

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
        let named = |tooth: Tooth| {
            let acts = arch.extras.iter().chain(arch.steps.iter().flat_map(|s| &s.acts));
            let hung = |e: &springline_model::case::Elastics| {
                e.runs.iter().any(|r| r.teeth.contains(&tooth))
            };
            arch.exposures.contains_key(&tooth)
                || arch.bonded.contains_key(&tooth)
                || acts.into_iter().any(|a| is_about(&a.kind, tooth))
                || context.case.elastics.iter().any(hung)
        };
        let forgotten = arch.states.iter().find(|(tooth, (state, _))| {
            let at = tooth.place();
            let between = bonded(at.checked_sub(1)) && bonded(Some(at + 1));
            matches!(state, springline_model::case::ToothState::Unerupted)
                && between
                && !named(**tooth)
        });
        let Some((tooth, (_, place))) = forgotten else { continue };
        let named = words.tooth(*tooth);
        let message = format!(
            "{named} is not through, the teeth beside it are in the wire, and nothing in the plan keeps its place, \
             lays it open or takes it in."
        );
        out.push(
            Finding::new(RULE.code, RULE.severity, *place, message)
                .why("Its place closes as the others line up, and at the debond it is where it was.")
                .note(format!(
                    "Write what becomes of it: `hold {named} 8 mm` until it comes, `expose` and `traction`, or \
                     `extract`."
                ))
                .teeth([*tooth]),
        );
    }
}

/// An act that says what becomes of the tooth or of its place.
fn is_about(kind: &ActKind, tooth: Tooth) -> bool {
    let over = |a: &Tooth, b: &Tooth| {
        a.place().min(b.place()) < tooth.place() && tooth.place() < a.place().max(b.place())
    };
    match kind {
        ActKind::Bypass { teeth, .. }
        | ActKind::PickUp { teeth, .. }
        | ActKind::Hold { teeth, .. }
        | ActKind::Traction { teeth, .. } => teeth.contains(&tooth),
        ActKind::OpenCoil { first, second, .. } | ActKind::ClosedCoil { first, second, .. } => {
            over(first, second)
        }
        ActKind::Piggyback { within, .. } => within.contains(&tooth),
        _ => false,
    }
}
