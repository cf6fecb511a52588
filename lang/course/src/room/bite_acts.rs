//! What acts on the bite in a phase: elastics, wire, curve, raisers.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::law::bite_rates::{
    FULL_WEAR_H, LEVEL_OVERBITE_MM, MIDLINE_MM_PER_MONTH, OVERJET_MM_PER_MONTH,
    RELATION_MM_PER_MONTH, VERTICAL_MM_PER_MONTH, VERTICAL_WEAR_H, worn_mm_per_day,
};
use crate::law::rules_of_thumb::longest_on_days;
use crate::mouth::bite_figures::{BiteFigure, BiteFigures};
use crate::mouth::bite_moves::{ALWAYS, BiteCause, BiteMoves, LevellingWire, Raisers, SteadyMove};
use crate::plan::calendar::days_between;
use crate::plan::measures::{first_met, overbite_mm, raisers_off};
use crate::plan::state::ArchState;
use crate::setup::arch_setup::rigidity;
use springline_model::Case;
use springline_model::case::{Elastics, ElasticsKind, Wear};
use springline_model::step::{ActKind, Condition, Term};
use springline_text::Place;
use springline_units::quantity::{Period, mm, newtons};
use springline_units::tooth::{Arch, Side};

/// When a phase begins, where that is known, and since when devices of it are on.
pub(crate) struct OnSince<'a> {
    pub begins: Option<Date>,
    pub devices: &'a BTreeMap<Place, Date>,
}

/// What an arch does to the bite in a phase: elastics worn on days after insertion, wire, curve and
/// raisers. Closing is added by whoever knows the gaps.
pub(crate) fn bite_moves(
    case: &Case,
    state: &ArchState,
    elastics: &[usize],
    worn_days: &[(f64, f64)],
    since: &OnSince<'_>,
) -> BiteMoves {
    let goal = |figure| case.goal.as_ref().and_then(|g| BiteFigures::of(&g.bite).get(figure));
    let mut out = BiteMoves {
        level_mm: goal(BiteFigure::Overbite).unwrap_or(LEVEL_OVERBITE_MM),
        ..BiteMoves::default()
    };
    for (i, index) in elastics.iter().enumerate() {
        let Some(block) = case.elastics.get(*index) else { continue };
        let (from_days, to_days) = worn_days.get(i).copied().unwrap_or(ALWAYS);
        let aim = block.until.as_ref().map(|(c, _)| c);
        for (figure, mm_per_day) in elastic_moves(case, block) {
            let usual = if figure == BiteFigure::Overjet { USUAL_OVERJET_MM } else { 0.0 };
            let bound = match figure {
                BiteFigure::Overbite => goal(figure).unwrap_or(USUAL_OVERBITE_MM),
                _ => goal(figure).unwrap_or(usual),
            };
            let bound = aim.and_then(|c| figure_in(c, figure)).unwrap_or(bound);
            out.steady.push(SteadyMove {
                by: BiteCause::Elastics(*index),
                figure,
                mm_per_day,
                from_days,
                to_days,
                bound: Some(bound),
            });
        }
    }
    let curve = state.acts.iter().rev().find_map(|a| match &a.kind {
        ActKind::ReverseCurve { depth } => Some(mm(*depth)),
        _ => None,
    });
    out.wires.push(LevellingWire {
        arch: state.arch,
        rigidity_nmm2: rigidity(&state.wire),
        reverse_mm: curve.unwrap_or(0.0),
        curve_share: curve_share(case, state.arch, out.level_mm),
        days: ALWAYS,
    });
    out.raisers.extend(state.acts.iter().filter_map(|act| {
        let ActKind::BiteRaisers { teeth, until } = &act.kind else { return None };
        let on = since.devices.get(&act.place).copied();
        let ends = until.as_ref().and_then(|until| {
            let longest = on.zip(longest_on_days(&act.kind));
            let longest = longest.and_then(|(on, days)| Period::days_of(days).after(on));
            first_met(case, until).into_iter().chain(longest).min()
        });
        let off = on.and_then(|on| raisers_off(case, teeth, on));
        let ends = ends.into_iter().chain(off).min();
        let day = |date: Option<Date>, unknown: f64| match (date, since.begins) {
            (Some(date), Some(begins)) => days_between(begins, date),
            // What is over by record is over before a phase that is still to come.
            (Some(_), None) => 0.0,
            (None, _) => unknown,
        };
        let days = (day(on, 0.0).max(0.0), day(ends, f64::INFINITY));
        let off_at_mm = until.as_ref().and_then(|c| figure_in(c, BiteFigure::Overbite));
        Some(Raisers { days, off_at_mm })
    }));
    out
}

/// Of the lower arch as measured last; of any other each arch has half.
fn curve_share(case: &Case, arch: Arch, level_mm: f64) -> f64 {
    const HALF: f64 = 0.5;
    let mut visits: Vec<_> = case.visits.iter().collect();
    visits.sort_by_key(|v| v.on);
    let bites = visits.into_iter().rev().map(|v| &v.bite).chain([&case.bite]);
    let said = bites.filter_map(|bite| {
        let (depth, _) = bite.curve_of_spee.filter(|_| arch == Arch::Lower)?;
        let over = overbite_mm(bite)? - level_mm;
        (over > 0.0).then(|| mm(depth) / over)
    });
    said.into_iter().next().unwrap_or(HALF)
}

/// The figure of the bite that ends something by itself.
fn figure_in(condition: &Condition, figure: BiteFigure) -> Option<f64> {
    if condition.all && condition.terms.len() > 1 {
        return None;
    }
    condition.terms.iter().find_map(|term| match (term, figure) {
        (Term::Overbite { length }, BiteFigure::Overbite) => Some(mm(*length)),
        (Term::Overjet { overjet }, BiteFigure::Overjet) => Some(overjet.mm()),
        _ => None,
    })
}

/// Where nobody wrote a goal, elastics are taken off at these (common practice, no source).
const USUAL_OVERJET_MM: f64 = 2.0;
const USUAL_OVERBITE_MM: f64 = 1.0;

/// Hours of each run as last recorded, else as prescribed: `partly` counts half (an assumption).
pub(crate) fn worn_hours(case: &Case, side: Side, prescribed: f64) -> f64 {
    let mut visits: Vec<_> = case.visits.iter().collect();
    visits.sort_by_key(|v| v.on);
    let said = visits.iter().rev().find_map(|v| {
        let on = |s: &Option<Side>| s.is_none_or(|s| s == side);
        v.wear.iter().rev().find(|(s, _)| on(s)).map(|(_, w)| *w)
    });
    match said {
        Some(Wear::Partly) => 0.5 * prescribed,
        Some(Wear::Nothing) => 0.0,
        Some(Wear::Hours { hours }) => hours,
        Some(Wear::Good) | None => prescribed,
    }
}

/// What a block of elastics moves, mm a day.
fn elastic_moves(case: &Case, block: &Elastics) -> Vec<(BiteFigure, f64)> {
    let hours = |side: Side| -> f64 {
        let on = block.runs.iter().filter(|r| r.side == side);
        on.map(|r| worn_hours(case, side, r.hours_a_day)).fold(0.0, f64::max)
    };
    let mean = 0.5 * (hours(Side::Right) + hours(Side::Left));
    let mut out = Vec::new();
    let class = match block.kind {
        ElasticsKind::Class2 => -1.0,
        ElasticsKind::Class3 => 1.0,
        _ => 0.0,
    };
    if class != 0.0 {
        let jet = class * worn_mm_per_day(OVERJET_MM_PER_MONTH, mean, FULL_WEAR_H);
        out.push((BiteFigure::Overjet, jet));
        for side in [Side::Right, Side::Left] {
            let by = class * worn_mm_per_day(RELATION_MM_PER_MONTH, hours(side), FULL_WEAR_H);
            out.extend([(BiteFigure::Molars(side), by), (BiteFigure::Canines(side), by)]);
        }
    }
    if matches!(block.kind, ElasticsKind::Triangle | ElasticsKind::Box) && is_in_front(block) {
        let up = worn_mm_per_day(VERTICAL_MM_PER_MONTH, mean, VERTICAL_WEAR_H);
        out.push((BiteFigure::Overbite, up));
    }
    out.extend(midline_moves(case, block, class));
    out.retain(|(_, rate)| *rate != 0.0);
    out
}

fn is_in_front(block: &Elastics) -> bool {
    block.runs.iter().flat_map(|r| &r.teeth).any(|t| t.is_anterior())
}

/// A pull that is stronger on one side, or goes across, carries the midlines; each arch has half of it.
/// Positive towards the patient's left.
fn midline_moves(case: &Case, block: &Elastics, class: f64) -> Vec<(BiteFigure, f64)> {
    let half = |hours: f64| 0.5 * worn_mm_per_day(MIDLINE_MM_PER_MONTH, hours, FULL_WEAR_H);
    let towards = |side: Side| if side == Side::Left { 1.0 } else { -1.0 };
    let mut lower = 0.0;
    if block.kind == ElasticsKind::Diagonal {
        for run in &block.runs {
            let of = |arch| run.teeth.iter().find(|t| t.arch() == arch).map(|t| t.side());
            // The lower arch goes to the side on which the upper tooth is.
            if let (Some(up), Some(down)) = (of(Arch::Upper), of(Arch::Lower))
                && up != down
            {
                lower += towards(up) * half(worn_hours(case, run.side, run.hours_a_day));
            }
        }
    } else if class != 0.0 {
        let pull = |side: Side| -> f64 {
            let on = block.runs.iter().filter(|r| r.side == side);
            on.map(|r| newtons(r.elastic.force) * worn_hours(case, side, r.hours_a_day)).sum()
        };
        let (right, left) = (pull(Side::Right), pull(Side::Left));
        let most = right.max(left);
        if most > 0.0 {
            let hours = block.runs.iter().map(|r| r.hours_a_day).fold(0.0, f64::max);
            // Class II brings the lower teeth of the stronger side forward, so the midline to the other.
            lower = -class * (right - left) / most * half(hours);
        }
    }
    match lower != 0.0 {
        true => vec![
            (BiteFigure::Midline(Arch::Lower), lower),
            (BiteFigure::Midline(Arch::Upper), -lower),
        ],
        false => Vec::new(),
    }
}
