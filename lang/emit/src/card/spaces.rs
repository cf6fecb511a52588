//! Which spaces a step opens, closes or maintains, and between which teeth each is measured.

use springline_model::case::{ArchCase, ToothState};
use springline_model::step::ActKind;
use springline_units::tooth::Tooth;

/// Ends of the spans that auxiliaries open or close.
pub fn of(arch: &ArchCase, act: &ActKind) -> Vec<(Tooth, Tooth)> {
    match act {
        ActKind::OpenCoil { first, second, .. } | ActKind::ClosedCoil { first, second, .. } => {
            vec![(*first, *second)]
        }
        pulling => {
            let stretches = pulling.pulled_stretches();
            stretches.into_iter().flat_map(|(a, b)| open_within(arch, a, b)).collect()
        }
    }
}

/// Gaps as written, and the spaces of teeth taken out, between two teeth.
fn open_within(arch: &ArchCase, a: Tooth, b: Tooth) -> Vec<(Tooth, Tooth)> {
    let stretch = a.stretch(b).unwrap_or_default();
    let written = arch
        .gaps
        .iter()
        .map(|g| (g.first.min(g.second), g.first.max(g.second)))
        .filter(|(x, y)| stretch.contains(x) && stretch.contains(y));
    let taken = stretch.iter().filter(|t| is_taken(arch, **t)).filter_map(|t| beside(arch, *t));
    let mut out: Vec<(Tooth, Tooth)> = written.chain(taken).collect();
    out.sort();
    out.dedup();
    out
}

fn is_taken(arch: &ArchCase, tooth: Tooth) -> bool {
    let state = arch.states.get(&tooth).map(|(s, _)| *s);
    matches!(state, Some(ToothState::Extracted { .. } | ToothState::Extract { .. }))
}

fn stands(arch: &ArchCase, tooth: Tooth) -> bool {
    arch.states.get(&tooth).is_none_or(|(s, _)| !s.is_absent())
}

/// The teeth on both sides of a tooth or of its space, between which it is measured.
pub fn beside(arch: &ArchCase, tooth: Tooth) -> Option<(Tooth, Tooth)> {
    let next = |steps: &mut dyn Iterator<Item = usize>| {
        steps.filter_map(|p| Tooth::at(tooth.arch(), p)).find(|t| stands(arch, *t))
    };
    let before = next(&mut (0..tooth.place()).rev())?;
    let after = next(&mut (tooth.place() + 1..16))?;
    Some((before, after))
}

/// Teeth that stand between two others.
pub fn standing_between(arch: &ArchCase, a: Tooth, b: Tooth) -> Vec<Tooth> {
    let stretch = a.stretch(b).unwrap_or_default();
    let inner = stretch.get(1..stretch.len().saturating_sub(1)).unwrap_or_default();
    inner.iter().copied().filter(|t| stands(arch, *t)).collect()
}
