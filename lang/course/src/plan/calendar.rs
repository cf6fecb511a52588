//! Day counts between dates.

use jiff::civil::Date;

pub(crate) fn days_between(from: Date, to: Date) -> f64 {
    from.until(to).map_or(0.0, |span| f64::from(span.get_days()))
}
