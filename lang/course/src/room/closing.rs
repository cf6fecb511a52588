//! Rates of space closure during a step, and what it does to the bite.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::geometry::left_by_absent_mm;
use crate::law::periodontium::projected_area_mm2;
use crate::law::rates::{
    AT_AN_ARM, BAR_GIVES, CANINE_LOWER_MM_PER_MONTH, CANINE_UPPER_MM_PER_MONTH, CHAIN_MM_PER_MONTH,
    CLOSING_COIL_MM_PER_MONTH, LACEBACK_MOST_MM, LIGATURE_MM_PER_MONTH,
    LOWER_CHAIN_FRESH_MM_PER_MONTH, LOWER_CHAIN_HEALED_MM_PER_MONTH, per_day,
};
use crate::mouth::bite_figures::BiteFigure;
use crate::mouth::bite_moves::{BiteCause, SteadyMove};
use crate::mouth::pair::pair;
use crate::mouth::positions::Mouth;
use crate::plan::state::{ArchState, ToothStatus};
use crate::setup::loads::closing_force_n;
use crate::setup::pull::chain_pull;
use springline_model::case::{ArchCase, Gap, ToothState};
use springline_model::step::{Act, ActKind, Anchor};
use springline_units::quantity::mm;
use springline_units::tooth::{Arch, Tooth};

/// An extraction site counts as fresh for so long (common practice, no source: the trial closed at once).
const FRESH_DAYS: i32 = 28;

/// A gap that something pulls shut, at unit rate.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ClosingGap {
    gap: (Tooth, Tooth),
    length_mm: f64,
    pub mm_per_day: f64,
    /// It closes no farther.
    pub least_mm: f64,
    /// The teeth that go together before it, and behind it.
    pub front: Vec<Tooth>,
    pub back: Vec<Tooth>,
    /// The teeth that the pull is hooked to, and its force, N; a laceback only holds.
    pub hooks: Vec<Tooth>,
    pub force_n: f64,
}

impl ClosingGap {
    /// By what closes it fastest; `None` where nothing does. `begun`: when the pull began. The trials do not say how
    /// their rates hang on age, so these hold as printed at any age: over the patient's `growth` factor, which
    /// everything at unit rate is multiplied by.
    pub fn of(
        arch: &ArchCase,
        state: &ArchState,
        mouth: &Mouth,
        (gap, length_mm): ((Tooth, Tooth), f64),
        begun: Option<Date>,
        growth: f64,
    ) -> Option<ClosingGap> {
        let of = |act: &Act| {
            let (front, back) = pulled(state, act, gap)?;
            let (mm_per_month, least_mm) = match &act.kind {
                ActKind::ClosingCoil { .. } => {
                    let alone = matches!(front[..], [one] if one.position() == 3);
                    let rate = match (alone, gap.0.arch()) {
                        (true, Arch::Upper) => CANINE_UPPER_MM_PER_MONTH,
                        (true, Arch::Lower) => CANINE_LOWER_MM_PER_MONTH,
                        (false, _) => CLOSING_COIL_MM_PER_MONTH,
                    };
                    (rate, 0.0)
                }
                ActKind::Chain { .. } => (chain_rate(arch, gap, begun), 0.0),
                _ => {
                    let began = as_entered_mm(arch, mouth, gap)?;
                    (LIGATURE_MM_PER_MONTH, (began - LACEBACK_MOST_MM).max(0.0))
                }
            };
            let at_an_arm =
                matches!(front[..], [one] if one.position() == 3 && state.power_arm_mm(one) > 0.0);
            let slower = if at_an_arm { AT_AN_ARM } else { 1.0 };
            let mm_per_day = per_day(mm_per_month) * slower / growth;
            let (hooks, force_n) = hooked(act, gap);
            (length_mm > least_mm).then_some(ClosingGap {
                gap,
                length_mm,
                mm_per_day,
                least_mm,
                front,
                back,
                hooks,
                force_n,
            })
        };
        let all = state.acts.iter().filter_map(of);
        all.max_by(|a, b| a.mm_per_day.total_cmp(&b.mm_per_day))
    }

    /// Its length after so many days.
    pub fn after(&self, days: f64) -> f64 {
        (self.length_mm - self.mm_per_day * days).max(self.least_mm)
    }

    /// Until it is closed, at unit rate.
    pub fn days(&self) -> f64 {
        (self.length_mm - self.least_mm) / self.mm_per_day
    }
}

/// The teeth that a pull across a gap is hooked to, and its force, N.
fn hooked(act: &Act, gap: (Tooth, Tooth)) -> (Vec<Tooth>, f64) {
    let tooth = |anchor: &Anchor| match anchor {
        Anchor::Tooth(tooth) => Some(*tooth),
        Anchor::Post(_) | Anchor::Screw(_) => None,
    };
    match &act.kind {
        ActKind::ClosingCoil { pulls, coil, force } => {
            let own = pulls.iter().filter(|(a, b)| across(a.tooth(), b.tooth(), gap));
            let hooks = own.flat_map(|(a, b)| [tooth(a), tooth(b)]).flatten().collect();
            (hooks, closing_force_n(coil.as_deref(), *force))
        }
        ActKind::Chain { teeth, chain, force } => {
            let ends = [teeth.iter().min(), teeth.iter().max()];
            (
                ends.into_iter().flatten().copied().collect(),
                chain_pull(chain.as_deref(), *force).mean_n,
            )
        }
        _ => (Vec::new(), 0.0),
    }
}

/// A gap as the case was entered: as written, else what extracted teeth leave.
fn as_entered_mm(arch: &ArchCase, mouth: &Mouth, gap: (Tooth, Tooth)) -> Option<f64> {
    let here = |g: &&Gap| pair(g.first, g.second) == gap;
    if let Some(written) = arch.gaps.iter().find(here) {
        return Some(mm(written.length));
    }
    let out = arch.states.iter().filter(|(t, (s, _))| {
        matches!(s, ToothState::Extracted { .. } | ToothState::Extract { .. })
            && gap.0 < **t
            && **t < gap.1
    });
    let left: f64 = out.map(|(t, _)| left_by_absent_mm(arch, mouth, *t)).sum();
    (left > 0.0).then_some(left)
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

/// What closing does to the bite: each end goes by its share.
pub(crate) fn closing_moves(
    arch: &ArchCase,
    state: &ArchState,
    gaps: &[ClosingGap],
    from_days: f64,
) -> Vec<SteadyMove> {
    let closing = gaps.iter().filter(|c| c.gap.0.side() == c.gap.1.side());
    let across = |c: &ClosingGap| gaps.iter().any(|o| o.gap.0.side() != c.gap.0.side());
    closing
        .flat_map(|c| {
            // The front that both sides pull on takes the force of both.
            let whole = c.front.iter().any(|t| t.side() != c.gap.0.side()) && across(c);
            let f = gives(state, &c.front, if whole { 2.0 } else { 1.0 });
            let held = if has_bar(arch, state, &c.back) { BAR_GIVES } else { 1.0 };
            let b = gives(state, &c.back, held);
            let backwards = if f + b > 0.0 { f / (f + b) } else { 0.5 };
            let rates = (c.mm_per_day * backwards, c.mm_per_day * (1.0 - backwards));
            let to_days = from_days + c.days();
            moves(state.arch, c.gap, &c.front, &c.back, rates).into_iter().map(
                move |(figure, mm_per_day)| SteadyMove {
                    by: BiteCause::Closing(state.arch),
                    figure,
                    mm_per_day,
                    from_days,
                    to_days,
                    bound: None,
                },
            )
        })
        .collect()
}

/// How much one end of a pull gives way against the other: by the area of the roots that go together there, as
/// anchorage is reckoned (common practice, no source). A screw, and what cannot move, gives nothing.
fn gives(state: &ArchState, teeth: &[Tooth], pulls: f64) -> f64 {
    let fixed = |t: &Tooth| state.tooth(*t).is_some_and(|s| s.fixed);
    let area: f64 = teeth.iter().map(|t| projected_area_mm2(*t)).sum();
    if area <= 0.0 || teeth.iter().any(fixed) { 0.0 } else { pulls / area }
}

/// A bar to the other side of the arch holds one of them.
fn has_bar(arch: &ArchCase, state: &ArchState, teeth: &[Tooth]) -> bool {
    let here = |t: &Tooth| state.status(*t) != ToothStatus::Absent;
    let holds = |a: &Tooth, b: &Tooth| {
        a.side() != b.side() && here(a) && here(b) && (teeth.contains(a) || teeth.contains(b))
    };
    arch.bars.iter().any(|(a, b, _)| holds(a, b))
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
    let over = |a: &Anchor, b: &Anchor| across(a.tooth(), b.tooth(), gap);
    match &act.kind {
        ActKind::ClosingCoil { pulls, .. } => {
            Some(ends(state, *pulls.iter().find(|(a, b)| over(a, b))?, gap))
        }
        ActKind::Laceback { pairs } => {
            let mut pairs = pairs.iter().map(|(a, b)| (Anchor::Tooth(*a), Anchor::Tooth(*b)));
            Some(ends(state, pairs.find(|(a, b)| over(a, b))?, gap))
        }
        ActKind::Chain { teeth, .. } => {
            let (a, b) = (teeth.iter().min()?, teeth.iter().max()?);
            across(*a, *b, gap).then(|| {
                let all: BTreeSet<Tooth> = teeth.iter().flat_map(|t| end(state, *t, gap)).collect();
                all.into_iter().partition(|t| is_in_front(*t, gap))
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
    let group = |anchor: Anchor| -> Vec<Tooth> {
        match anchor {
            Anchor::Screw(_) => Vec::new(),
            // A post pulls on the wire, and the wire on all front teeth.
            Anchor::Post(_) => {
                let anterior = state.teeth.iter().filter(|t| t.tooth.is_anterior());
                let held = anterior.filter(|t| t.status.is_in_wire());
                held.map(|t| t.tooth).filter(|t| is_in_front(*t, gap)).collect()
            }
            Anchor::Tooth(tooth) => end(state, tooth, gap),
        }
    };
    let (front, back) = if is_in_front(a.tooth(), gap) { (a, b) } else { (b, a) };
    (group(front), group(back))
}

/// The teeth that go with one that is pulled towards a gap: tied to it, and in its way.
fn end(state: &ArchState, tooth: Tooth, gap: (Tooth, Tooth)) -> Vec<Tooth> {
    let front = is_in_front(tooth, gap);
    let tied = state.tied(&[]).into_iter().find(|g| g.contains(&tooth)).unwrap_or_default();
    let in_the_way = |t: &Tooth| {
        let (from, at) = (tooth.position(), t.position());
        t.side() == tooth.side() && if front { at >= from } else { at <= from }
    };
    let here = state.teeth.iter().filter(|t| t.status != ToothStatus::Absent).map(|t| t.tooth);
    here.filter(|t| tied.contains(t) || in_the_way(t))
        .filter(|t| is_in_front(*t, gap) == front && (front || t.side() == gap.0.side()))
        .collect()
}

/// Nearer the midline than a gap, or in the front of the other side.
fn is_in_front(tooth: Tooth, gap: (Tooth, Tooth)) -> bool {
    let mesial = gap.0.position().min(gap.1.position());
    tooth.position() <= mesial
}
