//! The whole course of a case.

use jiff::civil::Date;
use serde::Serialize;

use super::memory::Memory;
use super::phase::Phase;
use super::visit::PlannedVisit;
use crate::model::Case;
use crate::model::house::{BookOn, PassiveRule};
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
    let _ = memory;
    let house = &case.house;
    let booking = Booking {
        rule: house.passive_when.value,
        on: house.book_on.value,
        at: house.book_at.value.get::<uom::si::ratio::ratio>(),
    };
    let arches =
        case.arches.iter().map(|a| ArchForecast { arch: a.arch, phases: Vec::new() }).collect();
    Forecast { today, booking, arches, visits: Vec::new() }
}
