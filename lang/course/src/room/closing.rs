//! Rates of space closure during a step, and what it does to the bite.

use jiff::civil::Date;

use crate::law::movement::{K_SLIDE, rate_mm_per_day};
use crate::law::periodontium::{pressure_kpa, projected_area_mm2};
use crate::law::rates::{
    CANINE_LOWER_MM_PER_MONTH, CANINE_UPPER_MM_PER_MONTH, CHAIN_MM_PER_MONTH,
    CLOSING_COIL_MM_PER_MONTH, LIGATURE_MM_PER_MONTH, LOWER_CHAIN_FRESH_MM_PER_MONTH,
    LOWER_CHAIN_HEALED_MM_PER_MONTH, per_day,
};
use crate::mouth::bite_figures::BiteFigure;
use crate::mouth::bite_moves::{BiteCause, SteadyMove};
use crate::plan::state::{ArchState, ToothStatus};
use springline_model::case::{ArchCase, ToothState};
use springline_model::step::{Act, ActKind, Anchor};
use springline_units::quantity::grams_to_newtons;
use springline_units::tooth::{Arch, Tooth};

/// An extraction site counts as fresh for so long (common practice, no source: the trial closed at once).
const FRESH_DAYS: i32 = 28;
/// Force at which the two ends' shares of a closing space are taken; they hardly depend on it.
const PULL_G: f64 = 150.0;

/// How fast a gap closes under what pulls across it, mm a day at unit rate. `begun`: when the pull began.
pub(crate) fn closing_mm_per_day(
    arch: &ArchCase,
    state: &ArchState,
    gap: (Tooth, Tooth),
    begun: Option<Date>,
) -> f64 {
    let rate = |act: &Act| match &act.kind {
        ActKind::ClosingCoil { pulls, .. } => {
            let pull = pulls.iter().find(|(a, b)| across(a.tooth(), b.tooth(), gap))?;
            let (front, _) = ends(state, *pull, gap);
            let alone = matches!(front[..], [one] if one.position() == 3);
            Some(match (alone, gap.0.arch()) {
                (true, Arch::Upper) => CANINE_UPPER_MM_PER_MONTH,
                (true, Arch::Lower) => CANINE_LOWER_MM_PER_MONTH,
                (false, _) => CLOSING_COIL_MM_PER_MONTH,
            })
        }
        ActKind::Chain { teeth, .. } => {
            let (a, b) = (teeth.iter().min()?, teeth.iter().max()?);
            across(*a, *b, gap).then(|| chain_rate(arch, gap, begun))
        }
        ActKind::Laceback { pairs } => {
            pairs.iter().any(|(a, b)| across(*a, *b, gap)).then_some(LIGATURE_MM_PER_MONTH)
        }
        _ => None,
    };
    per_day(state.acts.iter().filter_map(rate).fold(0.0, f64::max))
}

fn across(a: Tooth, b: Tooth, gap: (Tooth, Tooth)) -> bool {
    a.min(b) <= gap.0 && gap.1 <= a.max(b)
}

/// Below, over an extraction site: healed or fresh as published; elsewhere what trials of both arches found.
fn chain_rate(arch: &ArchCase, gap: (Tooth, Tooth), begun: Option<Date>) -> f64 {
    let inside = |t: &Tooth| gap.0 < *t && *t < gap.1;
    let out = arch.states.iter().filter(|(t, _)| inside(t)).find_map(|(_, (s, _))| match s {
        ToothState::Extracted { on } => Some(*on),
        ToothState::Extract { date, .. } => Some(Some(*date)),
        _ => None,
    });
    let Some(on) = out.filter(|_| gap.0.arch() == Arch::Lower) else { return CHAIN_MM_PER_MONTH };
    let since = on.zip(begun).and_then(|(on, begun)| begun.since(on).ok());
    match since.is_some_and(|s| s.get_days() <= FRESH_DAYS) {
        true => LOWER_CHAIN_FRESH_MM_PER_MONTH,
        false => LOWER_CHAIN_HEALED_MM_PER_MONTH,
    }
}

/// What closing does to the bite: each end goes by its share. `gaps` with their rates, mm a day of this
/// patient.
pub(crate) fn closing_moves(
    state: &ArchState,
    gaps: &[((Tooth, Tooth), f64, f64)],
    from_days: f64,
) -> Vec<SteadyMove> {
    let closing = gaps.iter().filter(|(pair, length, rate)| {
        *length > 0.0 && *rate > 0.0 && pair.0.side() == pair.1.side()
    });
    let both = |g: &(Tooth, Tooth)| {
        gaps.iter().any(|(pair, _, rate)| pair.0.side() != g.0.side() && *rate > 0.0)
    };
    closing
        .flat_map(|(gap, length, rate)| {
            let (front, back) =
                state.acts.iter().find_map(|act| pulled(state, act, *gap)).unwrap_or_default();
            // The front that both sides pull on takes the force of both.
            let whole = front.iter().any(|t| t.side() != gap.0.side()) && both(gap);
            let go = |teeth: &[Tooth], share: f64| end_rate(state, teeth, share);
            let (f, b) = (go(&front, if whole { 2.0 } else { 1.0 }), go(&back, 1.0));
            let forward = if f + b > 0.0 { f / (f + b) } else { 0.5 };
            moves(state.arch, *gap, &front, &back, (rate * forward, rate * (1.0 - forward)))
                .into_iter()
                .map(|(figure, mm_per_day)| SteadyMove {
                    by: BiteCause::Closing(state.arch),
                    figure,
                    mm_per_day,
                    from_days,
                    to_days: from_days + length / rate,
                    bound: None,
                })
                .collect::<Vec<_>>()
        })
        .collect()
}

/// How fast one end of a pull goes, by the law on all that are tied together there.
fn end_rate(state: &ArchState, teeth: &[Tooth], pulls: f64) -> f64 {
    let fixed = |t: &Tooth| state.tooth(*t).is_some_and(|s| s.fixed);
    let area: f64 = teeth.iter().map(|t| projected_area_mm2(*t)).sum();
    if area <= 0.0 || teeth.iter().any(fixed) {
        return 0.0;
    }
    K_SLIDE * rate_mm_per_day(pressure_kpa(pulls * grams_to_newtons(PULL_G), area))
}

/// Figures that the two ends change: front backwards, molars forwards.
fn moves(
    arch: Arch,
    gap: (Tooth, Tooth),
    front: &[Tooth],
    back: &[Tooth],
    (backwards, forwards): (f64, f64),
) -> Vec<(BiteFigure, f64)> {
    let (side, sign) = (gap.0.side(), if arch == Arch::Upper { -1.0 } else { 1.0 });
    let mut out = Vec::new();
    if front.iter().any(|t| t.position() == 3 && t.side() == side) {
        out.push((BiteFigure::Canines(side), sign * backwards));
    }
    if front.iter().any(|t| t.is_incisor()) {
        // Each side has half of what the incisors go.
        out.push((BiteFigure::Overjet, 0.5 * sign * backwards));
    }
    if back.iter().any(|t| t.position() == 6 && t.side() == side) {
        out.push((BiteFigure::Molars(side), -sign * forwards));
    }
    out.retain(|(_, rate)| *rate != 0.0);
    out
}

/// The teeth at the two ends of what pulls across a gap: in front of it and behind.
fn pulled(state: &ArchState, act: &Act, gap: (Tooth, Tooth)) -> Option<(Vec<Tooth>, Vec<Tooth>)> {
    match &act.kind {
        ActKind::ClosingCoil { pulls, .. } => {
            let pull = pulls.iter().find(|(a, b)| across(a.tooth(), b.tooth(), gap))?;
            Some(ends(state, *pull, gap))
        }
        ActKind::Chain { teeth, .. } => {
            let (a, b) = (teeth.iter().min()?, teeth.iter().max()?);
            across(*a, *b, gap).then(|| {
                let (front, back) = teeth.iter().partition(|t| is_in_front(**t, gap));
                (front, back)
            })
        }
        _ => None,
    }
}

fn ends(
    state: &ArchState,
    (a, b): (Anchor, Anchor),
    gap: (Tooth, Tooth),
) -> (Vec<Tooth>, Vec<Tooth>) {
    let group = |anchor: Anchor, front: bool| -> Vec<Tooth> {
        match anchor {
            Anchor::Screw(_) => Vec::new(),
            // A post pulls on the wire, and the wire on all front teeth.
            Anchor::Post(_) => {
                let anterior = state.teeth.iter().filter(|t| t.tooth.is_anterior());
                let held = anterior.filter(|t| t.status.is_in_wire());
                held.map(|t| t.tooth).filter(|t| is_in_front(*t, gap)).collect()
            }
            Anchor::Tooth(tooth) => {
                let tied = state.tied(&[]).into_iter().find(|g| g.contains(&tooth));
                let all = tied.unwrap_or_else(|| vec![tooth]);
                let here = |t: &Tooth| state.status(*t) != ToothStatus::Absent;
                let end = |t: &Tooth| is_in_front(*t, gap) == front;
                all.into_iter().filter(here).filter(end).collect()
            }
        }
    };
    let (front, back) = if is_in_front(a.tooth(), gap) { (a, b) } else { (b, a) };
    (group(front, true), group(back, false))
}

/// Nearer the midline than a gap, or in the front of the other side.
fn is_in_front(tooth: Tooth, gap: (Tooth, Tooth)) -> bool {
    let mesial = gap.0.position().min(gap.1.position());
    tooth.position() <= mesial
}
