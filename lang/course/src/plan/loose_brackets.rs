//! Brackets that came off: the wire holds their teeth no more, until something bonds them again.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::plan::measures::up_to;
use springline_model::Case;
use springline_model::case::{ArchCase, ArchSeen, Done, Trouble};
use springline_model::step::{Act, ActKind, Step};
use springline_units::tooth::{Arch, Tooth};

/// Teeth that get a bracket by this.
pub fn teeth_bonded(act: &Act) -> Vec<Tooth> {
    match &act.kind {
        ActKind::Rebond { teeth, .. }
        | ActKind::Reposition { teeth, .. }
        | ActKind::PickUp { teeth, .. } => teeth.clone(),
        _ => Vec::new(),
    }
}

/// What a visit did to an arch: what its record says, and what the step that it began asks for.
pub(crate) fn acts_of_visit<'c>(
    case: &'c Case,
    seen: &'c ArchSeen,
) -> impl Iterator<Item = &'c Act> {
    seen.acts.iter().chain(acts_of_begun_step(case, seen))
}

fn acts_of_begun_step<'c>(case: &'c Case, seen: &ArchSeen) -> &'c [Act] {
    let Some(Done::Now { step, .. }) = &seen.done else { return &[] };
    let arch = case.arch(seen.arch);
    let step = arch.and_then(|a| a.steps.iter().find(|s| s.name == *step));
    step.map_or(&[], |s| s.acts.as_slice())
}

/// Teeth of an arch whose bracket is off by the records up to a day.
pub(crate) fn off_by_record(case: &Case, arch: Arch, day: Date) -> BTreeSet<Tooth> {
    let mut off = BTreeSet::new();
    for (_, visit) in up_to(case, day) {
        let found = visit.troubles.iter().flat_map(|(trouble, _)| match trouble {
            Trouble::Loose { teeth } => teeth.as_slice(),
            _ => &[],
        });
        off.extend(found.filter(|t| t.arch() == arch));
        let acts = visit.arches.iter().flat_map(|seen| acts_of_visit(case, seen));
        for tooth in acts.flat_map(teeth_bonded) {
            off.remove(&tooth);
        }
    }
    off
}

/// Which of these teeth are still without a bracket once a planned step has begun: those that only a later step
/// bonds again. Where none does, the card of the next visit asks for it, and the tooth goes in with the next wire.
pub(crate) fn off_in_step(arch: &ArchCase, step: usize, off: &BTreeSet<Tooth>) -> BTreeSet<Tooth> {
    let bonds =
        |step: &Step, tooth: &Tooth| step.acts.iter().any(|act| teeth_bonded(act).contains(tooth));
    let still = |tooth: &&Tooth| {
        let mut steps = arch.steps.iter().skip(step);
        !steps.next().is_some_and(|s| bonds(s, tooth)) && steps.any(|s| bonds(s, tooth))
    };
    off.iter().filter(still).copied().collect()
}
