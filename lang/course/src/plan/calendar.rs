//! Day counts between dates.

use jiff::civil::Date;

/// So many days later.
pub fn after(from: Date, days: f64) -> Date {
    let days = days.round().clamp(0.0, 36_500.0) as i64;
    from.checked_add(jiff::Span::new().days(days)).unwrap_or(from)
}

/// Whole days; negative where `to` is the earlier.
pub fn days_between(from: Date, to: Date) -> f64 {
    from.until(to).map_or(0.0, |span| f64::from(span.get_days()))
}
