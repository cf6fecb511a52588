//! Lists over all cases of a practice: appointments, tray set-up, overdue patients, departures from the
//! usual sequence, unused wires.

mod day;
mod drawer;
mod full;
pub mod listing;
mod overview;
mod pull;
pub mod steps;

pub use day::{DayRow, DaySheet, day_sheet, visits_on};
pub use drawer::{OffSequence, Overdue, off_sequence, overdue, unused_wires};
pub use full::{FullDay, full_days};
pub use overview::{
    Ask, OpenFinding, Overview, OverviewDays, Unused, day as day_listing, overview,
};
pub use pull::{PullItem, PullList, pull_list};

/// Version of the JSON of these lists.
pub const SCHEMA: &str = "springline.practice/1";
