//! Date formats of cards, and the clinic's working days.

use jiff::ToSpan;
use jiff::civil::{Date, Weekday};

use springline_model::House;
use springline_units::quantity::{Period, plain};

const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

pub fn weekday(day: Weekday) -> &'static str {
    match day {
        Weekday::Monday => "Mon",
        Weekday::Tuesday => "Tue",
        Weekday::Wednesday => "Wed",
        Weekday::Thursday => "Thu",
        Weekday::Friday => "Fri",
        Weekday::Saturday => "Sat",
        Weekday::Sunday => "Sun",
    }
}

/// "Mon 16 Nov 2026": no day and month can be taken for each other.
pub fn long(date: Date) -> String {
    let month = MONTHS.get(usize::from(date.month().unsigned_abs()) - 1).copied().unwrap_or("?");
    format!("{} {} {month} {}", weekday(date.weekday()), date.day(), date.year())
}

/// "16 Nov".
pub fn short(date: Date) -> String {
    let month = MONTHS.get(usize::from(date.month().unsigned_abs()) - 1).copied().unwrap_or("?");
    format!("{} {month}", date.day())
}

/// "Nov 2026".
pub fn month(date: Date) -> String {
    let month = MONTHS.get(usize::from(date.month().unsigned_abs()) - 1).copied().unwrap_or("?");
    format!("{month} {}", date.year())
}

pub use springline_course::calendar::{after, days_between};

/// "8 weeks", "10 days".
pub fn apart(from: Date, to: Date) -> String {
    let days = days_between(from, to);
    let weeks = (days / 7.0).round() as i64;
    match (days as i64, weeks) {
        (1, _) => "1 day".to_owned(),
        (d, _) if d < 14 => format!("{d} days"),
        (_, w) => format!("{w} weeks"),
    }
}

/// The first day on or after `from` on which patients are seen; after a year of closed days the search
/// stops.
pub fn next_open(house: &House, from: Date) -> Date {
    let mut day = from;
    for _ in 0..366 {
        if house.is_open(day) {
            return day;
        }
        match day.checked_add(1.day()) {
            Ok(next) => day = next,
            Err(_) => return from,
        }
    }
    from
}

/// The last day up to `to` on which patients are seen.
pub fn last_open(house: &House, to: Date) -> Date {
    let mut day = to;
    for _ in 0..366 {
        if house.is_open(day) {
            return day;
        }
        match day.checked_sub(1.day()) {
            Ok(before) => day = before,
            Err(_) => return to,
        }
    }
    to
}

pub fn open_after(house: &House, from: Date, period: Period) -> Date {
    next_open(house, period.after(from).unwrap_or(from))
}

/// "6 weeks", "2 days": in words, not in the language's notation.
pub fn period(period: Period) -> String {
    use springline_units::quantity::Unit;
    let amount = plain(period.amount);
    let (one, many) = match period.unit {
        Unit::Wk => ("week", "weeks"),
        Unit::Mo => ("month", "months"),
        Unit::D => ("day", "days"),
        Unit::H => ("hour", "hours"),
        Unit::Min => ("minute", "minutes"),
        _ => ("", ""),
    };
    format!("{amount} {}", if amount == "1" { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn days_are_written_so_that_none_is_misread() {
        assert_eq!(long(date(2026, 11, 16)), "Mon 16 Nov 2026");
        assert_eq!(apart(date(2026, 9, 14), date(2026, 11, 9)), "8 weeks");
        assert_eq!(apart(date(2026, 12, 28), date(2027, 1, 7)), "10 days");
    }

    #[test]
    fn closed_days_are_passed_over() {
        let mut house = springline_model::builtin::house();
        house.closed = vec![(date(2026, 12, 24), date(2027, 1, 2))];
        assert_eq!(next_open(&house, date(2026, 12, 24)), date(2027, 1, 4));
        assert_eq!(last_open(&house, date(2027, 1, 3)), date(2026, 12, 23));
    }
}
