//! The booking window of a phase, as the schedule needs it.

use jiff::civil::Date;

/// The booking window of a phase, in days since insertion.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct BookingWindow {
    /// The change is booked for this day, not before.
    pub ready_days: f64,
    /// Share of patients in whom it is possible by then.
    pub chance: Option<f64>,
    /// Longest time between two looks while this wire is in, and what demands it where it is not
    /// the house.
    pub look_days: f64,
    pub first_look_days: f64,
    pub supervises: Option<&'static str>,
    /// Earlier end of the range that the plan states for the next visit.
    pub earliest_days: Option<f64>,
    /// From then on the wire only holds: it is passive, and nothing on it has to be looked at.
    pub rests_days: Option<f64>,
    /// The plan names the day of the next visit.
    pub fixed: Option<Date>,
}

impl Default for BookingWindow {
    fn default() -> BookingWindow {
        BookingWindow {
            ready_days: 0.0,
            chance: None,
            look_days: 84.0,
            first_look_days: 84.0,
            supervises: None,
            earliest_days: None,
            rests_days: None,
            fixed: None,
        }
    }
}
