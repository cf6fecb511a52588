//! Lists over all cases of a practice: appointments, tray set-up, overdue patients, departures from the
//! usual sequence, unused wires.

mod day;
mod departures;
mod full_days;
pub mod listing;
mod overdue;
mod overview;
mod setup_list;
pub mod steps;
mod unused;

pub use day::{DayRow, DaySheet, day_sheet, visits_on};
pub use departures::{OffSequence, off_sequence};
pub use full_days::{FullDay, full_days};
pub use overdue::{Overdue, overdue};
pub use overview::{
    Ask, OpenFinding, Overview, OverviewDays, Unused, day as day_listing, overview,
};
pub use setup_list::{PullItem, PullList, pull_list};
pub use unused::unused_wires;

/// Version of the JSON of these lists.
pub const SCHEMA: &str = "springline.practice/1";
