//! The predicted time of a condition: combines the times of its terms.

use crate::law::spread::{Time, band};
use crate::law::time_band::TimeBand;
use jiff::civil::Date;

/// Combines several times: all must have come, or one. The same patient is fast or slow in all of them,
/// so the quantiles are comonotonic.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ConditionTime {
    pub times: Vec<Time>,
    pub all: bool,
}

impl ConditionTime {
    /// From the terms of a condition, `None` where a term never holds.
    pub fn of(terms: Vec<Option<Time>>, all: bool) -> Option<ConditionTime> {
        if all {
            let times: Option<Vec<Time>> = terms.into_iter().collect();
            times.filter(|t| !t.is_empty()).map(|times| ConditionTime { times, all })
        } else {
            let times: Vec<Time> = terms.into_iter().flatten().collect();
            (!times.is_empty()).then_some(ConditionTime { times, all })
        }
    }

    /// A lower bound on the time.
    pub fn and(self, time: Time) -> ConditionTime {
        if self.all {
            let mut times = self.times;
            times.push(time);
            ConditionTime { times, all: true }
        } else {
            // The one time that comes first, no earlier than the other: by its own shares.
            let first = self.times.iter().copied().min_by(|a, b| a.at(0.5).total_cmp(&b.at(0.5)));
            ConditionTime { times: first.into_iter().chain([time]).collect(), all: true }
        }
    }

    pub fn at(&self, share: f64) -> f64 {
        let times = self.times.iter().map(|t| t.at(share));
        if self.all { times.fold(0.0, f64::max) } else { times.fold(f64::INFINITY, f64::min) }
    }

    pub fn share_by(&self, days: f64) -> f64 {
        let shares = self.times.iter().map(|t| t.share_by(days));
        if self.all { shares.fold(1.0, f64::min) } else { shares.fold(0.0, f64::max) }
    }

    pub fn band(&self, start: Option<Date>) -> TimeBand {
        band([0.1, 0.5, 0.9].map(|share| self.at(share)), start)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_waits_for_the_last_and_any_for_the_first() {
        let (a, b) = (Time::scaled(0.0, 40.0, 0.5), Time::calendar(60.0));
        let all = ConditionTime { times: vec![a, b], all: true };
        let any = ConditionTime { times: vec![a, b], all: false };
        assert_eq!(all.at(0.5), 60.0);
        assert!((any.at(0.5) - 40.0).abs() < 1e-9);
        assert!(all.at(0.95) > 60.0);
        assert_eq!(any.at(0.95), 60.0);
        assert_eq!(all.share_by(59.0), 0.0);
        assert_eq!(any.share_by(60.0), 1.0);
        assert!(ConditionTime::of(vec![Some(a), None], true).is_none());
        assert!(ConditionTime::of(vec![Some(a), None], false).is_some());
    }
}
