//! Gathers observations from recorded cases: which visits bracket the day on which a wire became passive.

use jiff::civil::Date;

use super::{ChairObservation, Gathered, LeftOut, WireTimeObservation};
use crate::plan::calendar::days_between;
use crate::plan::history::still_active;
use crate::run::phase_cache::PhaseCache;
use crate::timeline::forecast::{Forecast, forecast_with};
use crate::timeline::phase::Phase;
use springline_model::Case;
use springline_model::case::{Found, Hygiene, Trouble, Visit, Wear};
use springline_model::house::PassiveRule;
use springline_units::quantity::newtons_to_grams;

/// The observations of one case, and the wires left out with the reason.
pub(crate) fn gather(case: &Case, today: Option<Date>, memory: &mut PhaseCache) -> Gathered {
    let mut all = Gathered::default();
    // Without a visit there is nothing to learn, and no need to compute anything.
    if case.visits.is_empty() {
        return all;
    }
    let course = before_learning(case, memory);
    for arch in &course.arches {
        for (i, phase) in arch.phases.iter().enumerate().filter(|(_, p)| p.begun) {
            let running =
                i == 0 && case.in_place.as_ref().is_some_and(|p| p.wires.contains_key(&arch.arch));
            all.chair.extend(chair_tests(case, phase, today));
            match observe(case, phase, running, today) {
                Ok(Some(observation)) => all.observations.push(observation),
                Ok(None) => {}
                Err(why) => all.left_out.push(LeftOut {
                    case: case.chart.clone(),
                    wire: phase.wire.wire.name.clone(),
                    why,
                }),
            }
        }
    }
    all
}

/// The course as predicted without learned factors.
fn before_learning(case: &Case, memory: &mut PhaseCache) -> Forecast {
    if case.house.learned.is_empty() {
        return forecast_with(case, None, memory);
    }
    let mut house = (*case.house).clone();
    house.learned.clear();
    let case = Case { house: std::sync::Arc::new(house), ..case.clone() };
    forecast_with(&case, None, memory)
}

/// Tests of a wire that nothing but its slots held, with the force that was predicted for the day.
fn chair_tests(case: &Case, phase: &Phase, today: Option<Date>) -> Vec<ChairObservation> {
    if phase.chair.is_empty() || phase.state.held_by(&phase.state.acts).is_some() {
        return Vec::new();
    }
    let mut out = Vec::new();
    for look in phase.seen.iter().filter(|s| today.is_none_or(|t| s.on <= t)) {
        if broken(&case.visits[look.visit], phase) {
            break;
        }
        let bound = match &look.found {
            Some(Found::Passive) => false,
            Some(Found::Binds { .. }) => true,
            _ => continue,
        };
        let predicted = look.chair.as_ref();
        let Some(test) = predicted.filter(|_| phase.date_in.is_some_and(|d| d < look.on)) else {
            continue;
        };
        out.push(ChairObservation {
            case: case.chart.clone(),
            wire: phase.wire.wire.name.clone(),
            predicted_g: newtons_to_grams(test.force_n()),
            bound,
        });
    }
    out
}

/// A time to passive is at least a day.
const SHORTEST_DAYS: f64 = 1.0;

fn observe(
    case: &Case,
    phase: &Phase,
    running: bool,
    today: Option<Date>,
) -> Result<Option<WireTimeObservation>, &'static str> {
    let Some(start) = phase.date_in else { return Ok(None) };
    let seen: Vec<_> =
        phase.seen.iter().filter(|s| today.is_none_or(|t| s.on <= t) && s.on > start).collect();
    if seen.iter().all(|s| matches!(s.found, None | Some(Found::NotTested))) {
        return Ok(None);
    }
    if running {
        return Err("the wire was in already when the case was entered");
    }
    let Some(predicted) = phase.passive.predicted_at_insertion_days else {
        return Err("no time was forecast for it");
    };
    if predicted < SHORTEST_DAYS {
        return Err("it was forecast to be passive at once");
    }
    let (mut low, mut high) = (0.0_f64, None);
    for look in seen {
        let visit = &case.visits[look.visit];
        if visit.wear.iter().any(|(_, w)| *w == Wear::Nothing) {
            return Err("elastics were not worn");
        }
        if visit.hygiene == Some(Hygiene::Poor) {
            return Err("hygiene was poor");
        }
        let days = days_between(start, look.on);
        if broken(visit, phase) {
            // From here on the arch differs from the one predicted.
            break;
        }
        let passed = match &look.found {
            Some(Found::Passive) => true,
            // Changed a little active: there by the quarter, not by the strict look.
            Some(Found::NearlyPassive) => phase.passive.rule == PassiveRule::QuarterLeft,
            found => {
                let active = still_active(found.as_ref()) || *found == Some(Found::NearlyPassive);
                if active && high.is_none() {
                    low = low.max(days);
                }
                false
            }
        };
        if passed && high.is_none() {
            high = Some(days);
        }
    }
    if low <= 0.0 && high.is_none() {
        return Err("it broke before it was tested");
    }
    Ok(Some(WireTimeObservation {
        case: case.chart.clone(),
        wire: phase.wire.wire.name.clone(),
        predicted_days: predicted,
        active_at_days: low,
        passive_by_days: high,
    }))
}

/// Bracket off, stop lost or wire out of a tube in this arch.
fn broken(visit: &Visit, phase: &Phase) -> bool {
    visit.troubles.iter().any(|(trouble, _)| match trouble {
        Trouble::Loose { teeth } | Trouble::Out { teeth } => {
            teeth.iter().any(|t| t.arch() == phase.arch)
        }
        Trouble::LostStop { spots } => spots.iter().any(|s| s.tooth.arch() == phase.arch),
        Trouble::Poking { .. } | Trouble::SlideOpen { .. } => false,
    })
}
