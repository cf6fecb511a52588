//! Input of the simulation of one arch: the case, the booking policy, and, on a second pass, the dates of
//! the first.

use crate::mouth::bite_moves::BiteMoves;
use jiff::civil::Date;
use springline_model::Case;
use springline_model::case::ArchCase;
use springline_model::house::{BookOn, PassiveRule};

/// The practice's booking policy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Booking {
    pub rule: PassiveRule,
    pub on: BookOn,
    /// Share of patients whose wire should be passive by the booked day.
    pub at: f64,
}

/// What stays constant during the simulation of an arch.
pub(crate) struct ArchInput<'a> {
    pub case: &'a Case,
    pub arch: &'a ArchCase,
    pub booking: Booking,
    /// Dates of the phases from a first pass.
    pub foreseen: Option<FirstPassDates>,
}

/// Days from a first pass, where elastics wait for both arches.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct FirstPassDates {
    /// In and out of each phase.
    pub days: Vec<PhaseDates>,
    /// The day from which each block of elastics can be worn: every arch it hangs on is in the step
    /// that it names, and settled where that is asked.
    pub elastics: Vec<Option<Date>>,
    /// What the other arch does to the bite, and from when to when it does.
    pub beside: Vec<(Date, Option<Date>, BiteMoves)>,
}

/// The days that recorded visits and the schedule give a phase.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct PhaseDates {
    pub date_in: Option<Date>,
    pub date_out: Option<Date>,
    pub begun: bool,
}
