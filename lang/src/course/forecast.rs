//! The whole course of a case.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use super::draft::Draft;
use super::finish::finish;
use super::history::{begin, events};
use super::live::{World, live};
use super::memory::Memory;
use super::phase::Phase;
use super::run::Pace;
use super::schedule::{ArchQueue, planned_before, timetable};
use super::until::When;
use super::visit::PlannedVisit;
use super::visits::Writer;
use crate::model::Case;
use crate::model::house::{BookOn, PassiveRule, Task};
use crate::model::tooth::Arch;

/// How visits are booked, as the house has it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Booking {
    pub rule: PassiveRule,
    pub on: BookOn,
    /// Share of patients whose wire should be passive by the booked day.
    pub at: f64,
}

/// One arch from start to end.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ArchForecast {
    pub arch: Arch,
    pub phases: Vec<Phase>,
}

impl ArchForecast {
    /// The first phase that lives a step of the plan.
    pub fn phase_of_step(&self, step: usize) -> Option<&Phase> {
        self.phases.iter().find(|p| p.step == step)
    }
}

/// The predicted course.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Forecast {
    /// The day it was asked for, where the caller gave one.
    pub today: Option<Date>,
    pub booking: Booking,
    pub arches: Vec<ArchForecast>,
    /// Recorded ones first, then the predicted ones, in order of date. Empty without a start date.
    pub visits: Vec<PlannedVisit>,
    /// The search for the best days was cut short: a plan of hundreds of visits.
    pub cut_short: bool,
}

impl Forecast {
    pub fn arch(&self, arch: Arch) -> Option<&ArchForecast> {
        self.arches.iter().find(|a| a.arch == arch)
    }

    /// The first visit still to come.
    pub fn next_visit(&self) -> Option<&PlannedVisit> {
        self.visits.iter().find(|v| v.recorded.is_none())
    }
}

/// The course of a case. `today` only marks what is overdue and stands in for a missing start.
pub fn forecast(case: &Case, today: Option<Date>) -> Forecast {
    forecast_with(case, today, &mut Memory::default())
}

/// The course of a case, with phases already computed taken from `memory`.
pub fn forecast_with(case: &Case, today: Option<Date>, memory: &mut Memory) -> Forecast {
    let booking = booking(case);
    let lived: Vec<Lived> = case
        .arches
        .iter()
        .map(|arch| {
            let world = World { case, arch, booking, pace: Pace::default() };
            let begin = begin(case, arch, today);
            let events = events(case, arch);
            let drafts = live(&world, &begin, &events, memory);
            Lived { begins: begin.on, drafts }
        })
        .collect();
    let queues: Vec<ArchQueue<'_>> =
        lived.iter().map(|l| ArchQueue { drafts: &l.drafts, begins: l.begins }).collect();
    let mut seen: Vec<(Date, usize)> =
        case.visits.iter().enumerate().map(|(i, v)| (v.on, i)).collect();
    seen.sort();
    let timetable = timetable(&case.house, &queues, seen.last().map(|(d, _)| *d));
    let planned = planned_dates(case, &queues, &seen);
    let whens: Vec<Vec<Option<When>>> =
        lived.iter().map(|l| l.drafts.iter().map(|d| d.when.clone()).collect()).collect();
    let starts = starts(&lived, &seen);
    let arches: Vec<ArchForecast> = case
        .arches
        .iter()
        .zip(lived)
        .zip(timetable.days.clone())
        .map(|((arch, lived), days)| ArchForecast {
            arch: arch.arch,
            phases: lived
                .drafts
                .into_iter()
                .zip(days)
                .map(|(draft, days)| finish(draft, arch.arch, days, booking))
                .collect(),
        })
        .collect();
    let shares = |arch: usize, phase: usize, days: f64| {
        whens.get(arch)?.get(phase)?.as_ref().map(|w| w.share_by(days))
    };
    let writer = Writer { case, arches: &arches, booking, shares: &shares };
    let mut visits = Vec::new();
    if let Some((on, first)) = starts {
        visits.push(writer.start(on, &first));
    }
    visits.extend(seen.iter().zip(planned).map(|((_, i), was)| writer.recorded(*i, was)));
    visits.extend(timetable.coming.iter().map(|c| writer.coming(c)));
    number_keys(&mut visits);
    Forecast { today, booking, arches, visits, cut_short: timetable.cut_short }
}

/// An arch lived through, before it has its days.
struct Lived {
    begins: Option<Date>,
    drafts: Vec<Draft>,
}

fn booking(case: &Case) -> Booking {
    let at = case.house.book_at.value.get::<uom::si::ratio::ratio>();
    Booking {
        rule: case.house.passive_when.value,
        on: case.house.book_on.value,
        at: if at.is_finite() { at.clamp(0.05, 0.95) } else { 0.5 },
    }
}

/// The first visit, where no record tells of it: its day, and the arches that begin on it.
fn starts(lived: &[Lived], seen: &[(Date, usize)]) -> Option<(Date, Vec<bool>)> {
    let on = lived.iter().filter(|l| !l.drafts.is_empty()).filter_map(|l| l.begins).min()?;
    if seen.iter().any(|(d, _)| *d <= on) {
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
    let start = queues.iter().filter_map(|q| q.begins).min();
    let mut previous = start;
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

/// A key twice gets a number, so that every visit keeps its own.
fn number_keys(visits: &mut [PlannedVisit]) {
    let mut times: BTreeMap<String, usize> = BTreeMap::new();
    for visit in visits {
        let n = times.entry(visit.key.clone()).or_default();
        *n += 1;
        if *n > 1 {
            visit.key = format!("{}-{n}", visit.key);
        }
    }
}
