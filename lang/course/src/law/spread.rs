//! Uncertainty of predicted times.
//!
//! Times are log-normal about the median. The component spreads are stated and independent, so their
//! squares add; no random draw is needed and the band is reproducible. The share of entry and of wire was
//! determined from phases simulated with drawn positions and wires (`lang/tests/course_bands.rs`).

use jiff::civil::Date;

use crate::law::movement::{SIGMA_PATIENT, SIGMA_PRACTICE};
use crate::law::statistics::{lower_tail, quantile};
use crate::law::time_band::TimeBand;
use springline_model::House;
use springline_model::stock::Name;
use springline_units::quantity::Period;
use springline_units::quantity::factor;

/// Wire and slot: stresses differ by 15 % between lots and the rate goes with the logarithm of the
/// force, so some 4 % remain; play by size tolerance as much again (ISO 15841 does not narrow either).
pub const SIGMA_WIRE: f64 = 0.05;
/// Entry of the stands to half a millimetre and five degrees: what phases simulated anew from stands
/// within that rounding scatter by, about the prediction from the written ones (lang/tests/course_bands.rs:
/// 0.32 where 1.5 mm can be removed, 0.17 to 0.20 where 3 mm and more can).
///
/// Where a place was entered by a word its error is larger, and the scatter grows with it; where all were read from
/// points it may be less. `error_mm` is the largest half-width among the teeth in the wire. The error of rounding is a
/// quarter of a millimetre; that the scatter goes with the error was found from there upwards, and is taken to hold
/// below.
pub fn sigma_entry(removable_mm: f64, error_mm: f64) -> f64 {
    let times = error_mm.max(0.0) / ROUNDING_MM;
    if removable_mm > 0.0 {
        let least = 0.18 * times.min(1.0);
        (0.45 * times / removable_mm).max(least).min(0.35 * times).min(WIDEST_ENTRY)
    } else {
        0.0
    }
}

/// Half a step of the entry grid.
pub const ROUNDING_MM: f64 = 0.25;
/// Largest spread that is meaningful: eight in ten then lie between a third and three times.
const WIDEST_ENTRY: f64 = 0.85;

/// Learned time factor of one wire, or the default.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WireTimeFactor {
    pub factor: f64,
    pub sigma: f64,
    pub cases: Option<u32>,
}

/// 1.28: the tenth and the ninetieth percentile.
pub const Z90: f64 = 1.281_551_565_544_600_4;

/// Factor and spread for a wire: its own estimate, else the practice's, else factor 1 and the wide
/// default.
pub fn learnt(house: &House, wire: &Name) -> WireTimeFactor {
    let own = house.learned.iter().find(|l| l.wire.as_ref() == Some(wire));
    let all = || house.learned.iter().find(|l| l.wire.is_none());
    match own.or_else(all) {
        Some(l) => {
            let (factor, spread) = (factor(l.factor), factor(l.spread));
            let factor = if factor.is_finite() && factor > 0.0 { factor } else { 1.0 };
            let sigma =
                if spread.is_finite() && spread >= 1.0 { spread.ln() } else { default_sigma() };
            WireTimeFactor { factor, sigma, cases: Some(l.cases) }
        }
        None => WireTimeFactor { factor: 1.0, sigma: default_sigma(), cases: None },
    }
}

/// Between patients and practices, before anything is learned: together 0.51, so eight in ten lie
/// between 0.52 and 1.92 of the prediction. Trials alone differ by a factor of two in speed, so nothing
/// narrower is deserved.
pub fn default_sigma() -> f64 {
    SIGMA_PATIENT.hypot(SIGMA_PRACTICE)
}

/// A time in days since insertion: `offset` plus a log-normal time, truncated below where a visit found
/// the event had not happened yet. Without a spread it is a date.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Time {
    pub offset: f64,
    pub median: f64,
    pub sigma: f64,
    /// Known to be later than this.
    pub after: f64,
}

impl Time {
    pub fn scaled(offset: f64, median: f64, sigma: f64) -> Time {
        Time { offset, median, sigma, after: 0.0 }
    }

    pub fn calendar(days: f64) -> Time {
        Time { offset: days, median: 0.0, sigma: 0.0, after: 0.0 }
    }

    /// The time by which a share of patients has reached the event.
    pub fn at(&self, share: f64) -> f64 {
        if self.sigma <= 0.0 || self.median <= 0.0 {
            return (self.offset + self.median).max(self.after);
        }
        let known = self.share_ever_by(self.after);
        let z = quantile(known + share * (1.0 - known));
        (self.offset + self.median * (self.sigma * z).exp()).max(self.after)
    }

    /// Share by a day, ignoring the findings of visits.
    pub fn share_ever_by(&self, days: f64) -> f64 {
        let days = days - self.offset;
        if self.sigma <= 0.0 || self.median <= 0.0 {
            return if days >= self.median { 1.0 } else { 0.0 };
        }
        if days <= 0.0 { 0.0 } else { lower_tail((days / self.median).ln() / self.sigma) }
    }

    /// Share of patients who have reached the event by then.
    pub fn share_by(&self, days: f64) -> f64 {
        let (known, by) = (self.share_ever_by(self.after), self.share_ever_by(days));
        if known >= 1.0 { by } else { ((by - known) / (1.0 - known)).clamp(0.0, 1.0) }
    }

    /// Early, median and late, with dates from the day the wire went in.
    pub fn band(&self, start: Option<Date>) -> TimeBand {
        band([0.1, 0.5, 0.9].map(|share| self.at(share)), start)
    }
}

/// A band from its three times.
pub fn band(days: [f64; 3], start: Option<Date>) -> TimeBand {
    let dates = start.and_then(|s| {
        let on = |d: f64| Period::days_of(d.min(1.0e5)).after(s);
        Some([on(days[0])?, on(days[1])?, on(days[2])?])
    });
    TimeBand { early_days: days[0], median_days: days[1], late_days: days[2], dates }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// lang/docs/course.md: before learning, ten to ninety percent is 0.52 to 1.92 of the prediction.
    #[test]
    fn the_default_band_is_as_wide_as_stated() {
        let band = Time::scaled(0.0, 100.0, default_sigma()).band(None);
        assert!((band.early_days - 52.0).abs() < 0.5, "{band:?}");
        assert!((band.late_days - 192.0).abs() < 0.5, "{band:?}");
        assert!((band.median_days - 100.0).abs() < 1e-9);
    }

    #[test]
    fn a_wire_seen_active_is_passive_later() {
        let fresh = Time::scaled(0.0, 60.0, 0.5);
        let seen = Time { after: 60.0, ..fresh };
        assert!(seen.at(0.5) > 60.0);
        assert!(seen.at(0.1) >= 60.0);
        assert_eq!(seen.share_by(60.0), 0.0);
        assert!((seen.share_by(seen.at(0.7)) - 0.7).abs() < 1e-9);
        // Half of those still active at the median are there by the third quartile of all.
        assert!((seen.at(0.5) - fresh.at(0.75)).abs() < 1e-9);
    }
}
