//! What makes a fault, or a habit, of a change in records or in days of beginning.

use std::collections::BTreeSet;

use springline_lang::model::Case;
use springline_lang::model::case::{ArchCase, ArchSeen, Done};
use springline_lang::model::step::StepKind;
use springline_lang::units::tooth::Arch;

use super::facts::{Condition, Facts};

pub const ALL: &[Condition] = &[
    Condition { words: "a later record has that wire", holds: |f| f.brings(out_and_back) },
    Condition { words: "the records have its first wire", holds: |f| start_is_told(f) },
    Condition { words: "the day is that on which the arch starts", holds: is_start_of_arch },
    Condition {
        words: "a later wire followed and no step has the one that is named",
        holds: |f| f.brings(unknown_in_history),
    },
    Condition { words: "it is no whole number", holds: |f| f.to.contains('.') },
    Condition {
        words: "a later record puts in what the plan then had",
        holds: |f| f.brings(put_in_twice),
    },
];

fn of_arch(case: &Case, arch: Arch) -> impl Iterator<Item = &ArchSeen> {
    case.visits.iter().flat_map(move |v| v.arches.iter().filter(move |s| s.arch == arch))
}

/// Arches that were left without a wire at one visit, and whose wire was kept at the next.
fn out_and_back(case: &Case) -> BTreeSet<(Arch, usize)> {
    let mut out = BTreeSet::new();
    for arch in [Arch::Upper, Arch::Lower] {
        let seen: Vec<&ArchSeen> = of_arch(case, arch).collect();
        for (n, pair) in seen.windows(2).enumerate() {
            let kept = matches!(pair[1].done, Some(Done::Kept | Done::SameWire));
            if matches!(pair[0].done, Some(Done::Out)) && kept {
                out.insert((arch, n));
            }
        }
    }
    out
}

fn first_wire(case: &Case, arch: &ArchCase) -> bool {
    let first = arch.steps.first().map(|s| &s.name);
    of_arch(case, arch.arch)
        .any(|seen| matches!(&seen.done, Some(Done::Now { step, .. }) if Some(step) == first))
}

/// An arch lost its day of beginning, and a visit records its first wire.
fn start_is_told(f: &Facts<'_>) -> bool {
    let begins = |case: &Case, arch: &ArchCase| arch.start.is_some() || case.start.is_some();
    let mut lost = f.after.arches.iter().filter(|arch| {
        let before = f
            .before
            .arch(arch.arch)
            .is_some_and(|a| begins(f.before, a) && (a.start.is_none() || arch.start.is_none()));
        before && arch.start.is_none()
    });
    let mut lost_any = false;
    let all = lost.all(|arch| {
        lost_any = true;
        first_wire(f.after, arch)
    });
    all && lost_any
}

/// The record that went is of the day that the arch's own line names, with the first wire.
fn is_start_of_arch(f: &Facts<'_>) -> bool {
    let on_start = |case: &Case| -> BTreeSet<Arch> {
        let arches = case.arches.iter().filter(|arch| {
            let Some((start, _)) = arch.start else { return false };
            let visit = case.visits.iter().find(|v| v.on == start);
            let seen = visit.and_then(|v| v.arches.iter().find(|s| s.arch == arch.arch));
            let first = arch.steps.first().map(|s| &s.name);
            seen.is_some_and(
                |s| matches!(&s.done, Some(Done::Now { step, .. }) if Some(step) == first),
            )
        });
        arches.map(|a| a.arch).collect()
    };
    !on_start(f.before).is_subset(&on_start(f.after))
}

/// Wires of records that no step of the arch has, where a later record puts in another.
fn unknown_in_history(case: &Case) -> BTreeSet<(Arch, usize)> {
    let mut out = BTreeSet::new();
    for arch in &case.arches {
        let mut placed = Vec::new();
        for seen in of_arch(case, arch.arch) {
            if let Some(Done::Now { wire, .. }) = &seen.done {
                placed.push(arch.steps.iter().any(|s| s.wire.value.wire.name == wire.name));
            }
        }
        placed.pop();
        let unknown = placed.iter().enumerate().filter(|(_, known)| !**known);
        out.extend(unknown.map(|(n, _)| (arch.arch, n)));
    }
    out
}

/// Steps that a visit done as planned puts in after a wire that was found passive or nearly so, and a later record again.
fn put_in_twice(case: &Case) -> BTreeSet<(Arch, usize)> {
    use springline_lang::model::case::Found;
    let mut out = BTreeSet::new();
    for arch in &case.arches {
        let mut at = 0;
        let mut by_plan = None;
        for visit in &case.visits {
            let Some(seen) = visit.arches.iter().find(|s| s.arch == arch.arch) else { continue };
            let passive = matches!(seen.found, Some(Found::Passive | Found::NearlyPassive));
            match &seen.done {
                Some(Done::Now { step, .. }) => {
                    let to = arch.steps.iter().position(|s| s.name == *step).unwrap_or(at);
                    if by_plan == Some(to) {
                        out.insert((arch.arch, to));
                    }
                    (at, by_plan) = (to, None);
                }
                None if visit.as_planned && passive => {
                    at += 1;
                    by_plan = Some(at);
                }
                _ => {}
            }
        }
    }
    out
}

/// The records have an arch no further than its aligning wires.
pub(super) fn is_aligning(case: &Case, arch: &ArchCase) -> bool {
    let last = of_arch(case, arch.arch).filter_map(|seen| match &seen.done {
        Some(Done::Now { step, .. }) => arch.steps.iter().find(|s| s.name == *step),
        _ => None,
    });
    let in_place = case.in_place.is_some();
    last.last().map_or(!in_place, |step| step.kind == StepKind::Align)
}
