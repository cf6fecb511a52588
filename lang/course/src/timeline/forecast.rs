//! The forecast of a case: phases and visits of both arches.

use std::collections::BTreeMap;

use crate::law::condition_time::ConditionTime;
use crate::mouth::bite_moves::{BiteCause, BiteMoves};
use crate::plan::elastics::settle_days;
use crate::plan::history::{begin, events};
use crate::plan::input::Booking;
use crate::plan::input::PhaseDates;
use crate::plan::input::{ArchInput, FirstPassDates};
use crate::plan::state::ArchState;
use crate::run::phase_cache::PhaseCache;
use crate::simulate::arch_phases::simulate;
use crate::simulate::phase_in_progress::PhaseInProgress;
use crate::timeline::arches::step_moment;
use crate::timeline::build::timeline;
use crate::timeline::expander_life::screw_due;
use crate::timeline::finish::finish;
use crate::timeline::moment::{Obligation, Observation, StepMoment, Timeline};
use crate::timeline::phase::{ArchForecast, Phase};
use crate::timeline::visit_builder::VisitBuilder;
use crate::visits::debond_day::end_on;
use crate::visits::schedule::{ArchQueue, Unforeseen, planned_before, timetable};
use crate::visits::visit::PlannedVisit;
use jiff::civil::Date;
use springline_model::Case;
use springline_model::case::Elastics;
use springline_model::house::Task;
use springline_text::Place;
use springline_units::quantity::Period;
use springline_units::tooth::Arch;

/// The predicted course.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// The date of the forecast, where the caller gave one.
    pub today: Option<Date>,
    pub booking: Booking,
    pub arches: Vec<ArchForecast>,
    /// Recorded ones first, then the predicted ones, in order of date. Empty without a start date.
    pub visits: Vec<PlannedVisit>,
    /// Steps for which the day that the plan names for the debond leaves no time.
    pub undone: Vec<UndoneStep>,
    /// The search for the best days was cut short: a plan of hundreds of visits.
    pub cut_short: bool,
    /// What is in the mouth at each of the visits.
    pub timeline: Timeline,
}

/// A step that the debond comes before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UndoneStep {
    pub arch: Arch,
    /// Index into the arch's steps.
    pub step: usize,
    pub would_begin: Date,
}

impl Forecast {
    pub fn arch(&self, arch: Arch) -> Option<&ArchForecast> {
        self.arches.iter().find(|a| a.arch == arch)
    }

    /// The first visit still to come. Where it was due on a day that is past, `was_planned_for` says
    /// which.
    pub fn next_visit(&self) -> Option<&PlannedVisit> {
        self.visits.iter().find(|v| v.recorded.is_none())
    }

    /// A phase of an arch on a day of it, as it is at any visit: for looks at the course that are not
    /// those of a visit. Without a day as it goes in. `None` where there is no such phase.
    pub fn moment(
        &self,
        case: &Case,
        arch: Arch,
        phase: usize,
        on: Option<Date>,
    ) -> Option<StepMoment> {
        let nothing = BTreeMap::new();
        let removed = self.timeline.removed.iter();
        let removed = removed
            .filter(|(.., day)| on.is_some_and(|on| *day <= on))
            .map(|(arch, place, _)| (*arch, *place))
            .collect();
        step_moment(case, case.arch(arch)?, self.arch(arch)?, phase, on, &nothing, &removed)
    }

    /// The phase that an arch has reached by record: a visit inserted its wire, or the case was entered with
    /// it in place. A start date in the past is no record.
    pub fn recorded_phase(&self, arch: Arch) -> Option<&Phase> {
        self.arch(arch)?.phases.iter().rev().find(|p| p.begun)
    }

    /// The step whose wire is in the mouth by record; none while a record has the wire out.
    pub fn step_in_mouth(&self, arch: Arch) -> Option<usize> {
        let out = Observation::NoWire(arch);
        let is_out = |o: &Obligation| o.observed == out && o.discharged.is_none();
        let phase = self.recorded_phase(arch)?;
        (!self.timeline.obligations().iter().any(is_out)).then_some(phase.step)
    }

    /// A step as it is in the mouth: from its last phase, else from the plan.
    pub fn state_of_step(&self, arch: Arch, step: usize) -> Option<&ArchState> {
        let lived = self.arch(arch).and_then(|a| a.latest_phase_of_step(step));
        lived.map(|p| &p.state).or_else(|| self.timeline.planned(arch, step))
    }

    /// The same with the timeline rebuilt from changed phases and visits.
    #[must_use]
    pub fn read_anew(mut self, case: &Case) -> Forecast {
        self.timeline = timeline(case, &self.arches, &self.visits);
        self
    }

    /// All states of arches in it, for places in them that move with a text.
    pub fn states_mut(&mut self) -> impl Iterator<Item = &mut ArchState> {
        let lived = self.arches.iter_mut().flat_map(|a| &mut a.phases).map(|p| &mut p.state);
        let planned = self.timeline.plan.iter_mut().flat_map(|a| &mut a.steps);
        lived.chain(planned.map(|s| &mut s.state))
    }

    /// Where devices are written that come off before their step ends; these places move with a text too.
    pub fn removed_places_mut(&mut self) -> impl Iterator<Item = &mut Place> {
        self.timeline.removed.iter_mut().map(|(_, place, _)| place)
    }
}

/// The course of a case. `today` only marks what is overdue and stands in for a missing start.
pub fn forecast(case: &Case, today: Option<Date>) -> Forecast {
    forecast_with(case, today, &mut PhaseCache::default())
}

/// The course of a case, with phases already computed taken from `memory`; of every arch up to the first
/// step that is not wholly read.
pub fn forecast_with(whole: &Case, today: Option<Date>, memory: &mut PhaseCache) -> Forecast {
    let computable = whole.computable();
    let case = &*computable;
    let booking = booking(case);
    let mut seen: Vec<(Date, usize)> =
        case.visits.iter().enumerate().map(|(i, v)| (v.on, i)).collect();
    seen.sort();
    let last = seen.last().map(|(d, _)| *d);
    let begins = case.start.as_ref().map(|(day, _)| *day);
    let screw = last.or(begins).and_then(|seen| screw_due(case, seen));
    let repair_by = crate::timeline::records::repair_due(case).into_iter().chain(screw).min();
    let mut lived = simulate_all(case, today, booking, &[], memory);
    let acts = |l: &SimulatedArch| l.drafts.iter().any(|d| d.acting.is_more_than_wire());
    if !case.elastics.is_empty() || lived.iter().any(acts) {
        // Elastics connect both arches, and both act on the bite: what begins when is known only after both
        // have been simulated.
        let goes_on = Unforeseen::GoesOn;
        let queued = queues(&lived);
        let first = timetable(&case.house, &queued, (last, repair_by), today, goes_on);
        let starts = elastics_starts(case, &lived, &first.days);
        let first_days = first.days.clone();
        let foreseen: Vec<FirstPassDates> = first
            .days
            .into_iter()
            .enumerate()
            .map(|(i, days)| FirstPassDates {
                beside: beside(&lived, &first_days, i),
                days,
                elastics: starts.clone(),
            })
            .collect();
        lived = simulate_all(case, today, booking, &foreseen, memory);
    }
    let mut timetable =
        timetable(&case.house, &queues(&lived), (last, repair_by), today, Unforeseen::Stops);
    let named = case.debond.as_ref().and_then(|d| d.on);
    let named = named.filter(|day| last.or(today).is_none_or(|from| *day > from));
    let longest = case.house.longest.value.days();
    let cut = named.map_or_else(Vec::new, |day| end_on(&mut timetable, day, longest));
    let planned = planned_dates(case, &queues(&lived), &seen);
    let whens: Vec<Vec<Option<ConditionTime>>> =
        lived.iter().map(|l| l.drafts.iter().map(|d| d.when.clone()).collect()).collect();
    let starts = starts(case, &lived, last, today);
    let arches: Vec<ArchForecast> = case
        .arches
        .iter()
        .zip(lived)
        .zip(timetable.days)
        .map(|((arch, lived), days)| ArchForecast {
            arch: arch.arch,
            phases: lived
                .drafts
                .into_iter()
                .zip(days)
                .map(|(draft, days)| finish(draft, arch, days, booking))
                .collect(),
        })
        .collect();
    let shares = |arch: usize, phase: usize, days: f64| {
        whens.get(arch)?.get(phase)?.as_ref().map(|w| w.share_by(days))
    };
    let writer = VisitBuilder { case, arches: &arches, booking, shares: &shares };
    let mut visits: Vec<PlannedVisit> =
        seen.iter().zip(planned).map(|((_, i), was)| writer.recorded(*i, was)).collect();
    if let Some((on, first)) = starts {
        visits.push(writer.start(on, &first));
    }
    let coming = visits.len();
    visits.extend(timetable.coming.iter().map(|c| writer.coming(c)));
    if let Some(next) = visits.get_mut(coming) {
        next.was_planned_for = timetable.due;
    }
    number_keys(&mut visits);
    let timeline = timeline(whole, &arches, &visits);
    let undone = cut.into_iter().filter_map(|(arch, phase, would_begin)| {
        let forecast: &ArchForecast = arches.get(arch)?;
        Some(UndoneStep {
            arch: forecast.arch,
            step: forecast.phases.get(phase)?.step,
            would_begin,
        })
    });
    let undone = undone.collect();
    let cut_short = timetable.cut_short;
    Forecast { today, booking, arches, visits, undone, cut_short, timeline }
}

/// A simulated arch, before it has dates.
struct SimulatedArch {
    begins: Option<Date>,
    drafts: Vec<PhaseInProgress>,
}

fn simulate_all(
    case: &Case,
    today: Option<Date>,
    booking: Booking,
    foreseen: &[FirstPassDates],
    memory: &mut PhaseCache,
) -> Vec<SimulatedArch> {
    case.arches
        .iter()
        .enumerate()
        .map(|(i, arch)| {
            let foreseen = foreseen.get(i).cloned();
            let world = ArchInput { case, arch, booking, foreseen };
            let begin = begin(case, arch, today);
            let drafts = simulate(&world, &begin, &events(case, arch), memory);
            SimulatedArch { begins: begin.on, drafts }
        })
        .collect()
}

/// What the arches other than this one do to the bite, elastics aside, which hang on both.
fn beside(
    lived: &[SimulatedArch],
    days: &[Vec<PhaseDates>],
    own: usize,
) -> Vec<(Date, Option<Date>, BiteMoves)> {
    let others = lived.iter().zip(days).enumerate().filter(|(i, _)| *i != own);
    others
        .flat_map(|(_, (arch, days))| arch.drafts.iter().zip(days))
        .filter_map(|(draft, days)| {
            let mut moves = draft.acting.clone();
            moves.steady.retain(|s| !matches!(s.by, BiteCause::Elastics(_)));
            Some((days.date_in?, days.date_out, moves))
        })
        .collect()
}

fn queues(lived: &[SimulatedArch]) -> Vec<ArchQueue<'_>> {
    lived.iter().map(|l| ArchQueue { drafts: &l.drafts, begins: l.begins }).collect()
}

/// The date from which each block of elastics can be worn: every arch it is attached to has reached the
/// step that it names, with the wire expressed where required.
fn elastics_starts(
    case: &Case,
    lived: &[SimulatedArch],
    days: &[Vec<PhaseDates>],
) -> Vec<Option<Date>> {
    let start = |block: &Elastics| {
        let Some((name, settled, _)) = &block.from else {
            return lived.iter().filter_map(|l| l.begins).min();
        };
        let reached = case.arches.iter().zip(lived.iter().zip(days)).filter_map(|(plan, lived)| {
            let (arch, days) = lived;
            let hangs = |d: &PhaseInProgress| {
                block.runs.iter().any(|r| r.teeth.iter().any(|t| t.arch() == d.state.arch))
            };
            let at = arch.drafts.iter().position(|d| d.state.name == *name && hangs(d))?;
            let step = plan.steps.get(arch.drafts[at].step)?;
            let wait = if *settled { settle_days(step) } else { 0.0 };
            Some(days[at].date_in.and_then(|d| Period::days_of(wait).after(d)))
        });
        // An arch whose date is not known yet delays all of them.
        let all: Option<Vec<Date>> = reached.collect();
        all.and_then(|all| all.into_iter().max())
    };
    case.elastics.iter().map(start).collect()
}

fn booking(case: &Case) -> Booking {
    let at = springline_units::quantity::factor(case.house.book_at.value);
    Booking {
        rule: case.house.passive_when.value,
        on: case.house.book_on.value,
        at: if at.is_finite() { at.clamp(0.05, 0.95) } else { 0.5 },
    }
}

/// The first visit, while it is still to come: its day, and the arches that begin on it. A case that
/// was entered under way has had it.
fn starts(
    case: &Case,
    lived: &[SimulatedArch],
    last: Option<Date>,
    today: Option<Date>,
) -> Option<(Date, Vec<bool>)> {
    let on = lived.iter().filter(|l| !l.drafts.is_empty()).filter_map(|l| l.begins).min()?;
    let past = last.is_some() || case.in_place.is_some() || today.is_some_and(|t| on < t);
    if past {
        return None;
    }
    Some((on, lived.iter().map(|l| l.begins == Some(on) && !l.drafts.is_empty()).collect()))
}

/// For every recorded visit the day the plan before it had named.
fn planned_dates(
    case: &Case,
    queues: &[ArchQueue<'_>],
    seen: &[(Date, usize)],
) -> Vec<Option<Date>> {
    // A running case had no plan here before it was entered.
    let start = queues.iter().filter_map(|q| q.begins).min();
    let mut previous = case.in_place.as_ref().map(|p| p.on).or(start);
    seen.iter()
        .map(|(on, index)| {
            // A repair does not move the next visit.
            let unplanned =
                matches!(case.visits[*index].kind, Some(Task::Emergency | Task::Repair));
            let before = previous.filter(|p| p < on);
            if !unplanned {
                previous = Some(*on);
            }
            match unplanned {
                true => None,
                false => planned_before(&case.house, queues, before?, *on),
            }
        })
        .collect()
}

/// Visits to come are known by their number in the course, so that a calendar moves the event it has
/// when the plan changes, whatever is to be done at it. Recorded repairs and emergencies were not
/// booked and take no number, nor does the bond-up, which has a key of its own. A key twice gets a
/// number beside it.
fn number_keys(visits: &mut [PlannedVisit]) {
    let counts = |(i, v): &(usize, &PlannedVisit)| {
        let first = *i == 0 && v.kind == Task::BondUp;
        v.recorded.is_some() && !first && !matches!(v.kind, Task::Emergency | Task::Repair)
    };
    let mut number = visits.iter().enumerate().filter(counts).count();
    for visit in visits.iter_mut().filter(|v| v.key.is_empty()) {
        number += 1;
        visit.key = format!("visit-{number}");
    }
    let mut times: BTreeMap<String, usize> = BTreeMap::new();
    for visit in visits {
        let n = times.entry(visit.key.clone()).or_default();
        *n += 1;
        if *n > 1 {
            visit.key = format!("{}-{n}", visit.key);
        }
    }
}
