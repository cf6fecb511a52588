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

/// Wide enough for the longest, two blanks between columns.
fn columns(rows: &[Vec<String>]) -> String {
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let width = |i: usize| {
        rows.iter().filter_map(|r| r.get(i)).map(|c| c.chars().count()).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..count).map(width).collect();
    let mut out = String::new();
    for row in rows {
        let mut line = String::new();
        for (cell, width) in row.iter().zip(&widths) {
            line.push_str(&format!("{cell:<width$}  "));
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}
