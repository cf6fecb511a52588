//! A predicted time with its band, in days and in dates.

use jiff::civil::Date;
/// A predicted time: days since the wire went in, for the patient faster than nine in ten, the
/// median one and the one slower than nine in ten, so that eight in ten lie between; and the dates where the case has a start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimeBand {
    pub early_days: f64,
    pub median_days: f64,
    pub late_days: f64,
    pub dates: Option<[Date; 3]>,
}

impl TimeBand {
    /// There is nothing to wait for.
    pub fn is_at_once(&self) -> bool {
        self.late_days <= 0.0
    }

    /// "9 wk (6 to 14)".
    pub fn weeks(&self) -> String {
        let [early, median, late] = [self.early_days, self.median_days, self.late_days].map(weeks);
        format!("{median} wk ({early} to {late})")
    }
}

/// Whole weeks; what is left, but less than half a week, is not nothing.
pub fn weeks(days: f64) -> String {
    match days / 7.0 {
        w if w > 0.0 && w < 0.5 => "<1".to_owned(),
        w => format!("{:.0}", w.max(0.0)),
    }
}
