//! The days on which Saltmarsh sees patients.

use jiff::ToSpan as _;
use jiff::civil::{Date, Weekday};

/// Days when the house is closed, as in its file, of the years a demonstration may reach back to.
const CLOSED: [(Date, Date); 4] = [
    (jiff::civil::date(2025, 12, 24), jiff::civil::date(2026, 1, 2)),
    (jiff::civil::date(2026, 4, 3), jiff::civil::date(2026, 4, 6)),
    (jiff::civil::date(2026, 8, 3), jiff::civil::date(2026, 8, 14)),
    (jiff::civil::date(2026, 12, 24), jiff::civil::date(2027, 1, 2)),
];

fn is_open(day: Date) -> bool {
    matches!(day.weekday(), Weekday::Monday | Weekday::Tuesday | Weekday::Thursday)
        && !CLOSED.iter().any(|(from, to)| *from <= day && day <= *to)
}

/// The last open day on or before a day.
pub fn open_before(day: Date) -> Date {
    (0..30).filter_map(|n| day.checked_sub(n.days()).ok()).find(|d| is_open(*d)).unwrap_or(day)
}

/// The first open day after so many days.
pub fn open_after(day: Date, days: i64) -> Date {
    let from = day.checked_add(days.days()).unwrap_or(day);
    (0..30).filter_map(|n| from.checked_add(n.days()).ok()).find(|d| is_open(*d)).unwrap_or(from)
}
