//! Computes the room account: the supply of room against the demand, and the delay that a shortage
//! causes.
//!
//! A crowded front cannot align faster than it gets room: the remaining share of the irregularity cannot
//! fall below the share of the room that is still missing. `lang/docs/course.md` records the alternatives
//! that were tried and why this one was kept.

use crate::law::rates::{INTO_GAP_MM_PER_MONTH, LENGTH_PER_FORWARD, forward_mm_per_day, per_day};
use crate::room::room_account::RoomSource;
use crate::run::trace::PhaseTrace;
use springline_units::tooth::Tooth;

/// One source of room, at unit rate.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Supply {
    pub source: RoomSource,
    pub teeth: Vec<Tooth>,
    /// Initial rate; zero where the room is available at once.
    pub mm_per_day: f64,
    /// Days and millimetres made by then, straight lines between: never fewer of either.
    way: Vec<(f64, f64)>,
}

/// Millimetres made by a day.
pub(crate) fn along(way: &[(f64, f64)], day: f64) -> f64 {
    let after = way.partition_point(|(d, _)| *d <= day.max(0.0));
    match (after.checked_sub(1).and_then(|i| way.get(i)), way.get(after)) {
        (Some(a), Some(b)) => a.1 + (b.1 - a.1) * (day.max(0.0) - a.0) / (b.0 - a.0),
        (Some(last), None) => last.1,
        (None, _) => 0.0,
    }
}

impl Supply {
    pub fn made_mm(&self, days: f64) -> f64 {
        along(&self.way, days)
    }

    /// The most it can provide.
    pub fn most_mm(&self) -> f64 {
        self.way.last().map_or(0.0, |(_, mm)| *mm)
    }

    /// A constant rate until the maximum; at once where the rate is zero.
    fn steady(source: RoomSource, teeth: Vec<Tooth>, mm_per_day: f64, most_mm: f64) -> Supply {
        let way = match mm_per_day > 0.0 {
            true => vec![(0.0, 0.0), (most_mm / mm_per_day, most_mm)],
            false => vec![(0.0, most_mm)],
        };
        Supply { source, teeth, mm_per_day, way }
    }

    pub fn enamel(contact: (Tooth, Tooth), amount_mm: f64) -> Supply {
        let teeth = vec![contact.0, contact.1];
        Supply::steady(RoomSource::Enamel, teeth, 0.0, amount_mm)
    }

    /// The front comes forward as far as needed; whether that is acceptable is the doctor's judgement and
    /// checked by a rule.
    pub fn forward(teeth: Vec<Tooth>) -> Supply {
        let mm_per_day = LENGTH_PER_FORWARD * forward_mm_per_day();
        Supply::steady(RoomSource::Forward, teeth, mm_per_day, 8.0)
    }

    /// What was won before the wire went in is there at once, the rest while the screw is turned.
    pub fn expansion(
        teeth: Vec<Tooth>,
        at_once_mm: f64,
        (mm_per_day, more_mm): (f64, f64),
    ) -> Supply {
        let begun = (0.0, at_once_mm);
        let way = match mm_per_day > 0.0 && more_mm > 0.0 {
            true => vec![begun, (more_mm / mm_per_day, at_once_mm + more_mm)],
            false => vec![begun],
        };
        Supply { source: RoomSource::Expansion, teeth, mm_per_day, way }
    }

    pub fn gap(pair: (Tooth, Tooth), length_mm: f64) -> Supply {
        let teeth = vec![pair.0, pair.1];
        let mm_per_day = per_day(INTO_GAP_MM_PER_MONTH);
        Supply::steady(RoomSource::Gap, teeth, mm_per_day, length_mm)
    }

    /// By its own way: a coil pushes less as its space opens.
    pub fn coil(teeth: Vec<Tooth>, mm_per_day: f64, way: Vec<(f64, f64)>) -> Supply {
        Supply { source: RoomSource::OpenCoil, teeth, mm_per_day, way }
    }

    /// This share of it, for one of several that it serves.
    pub fn shared(&self, share: f64) -> Supply {
        let way = self.way.iter().map(|(day, mm)| (*day, mm * share)).collect();
        Supply { mm_per_day: self.mm_per_day * share, way, ..self.clone() }
    }

    /// Stops push their teeth apart, as the run of the wire has it: days and mm.
    pub fn stops(teeth: Vec<Tooth>, way: Vec<(f64, f64)>) -> Supply {
        let rate = |w: &&[(f64, f64)]| w[1].0 > w[0].0;
        let first = way.windows(2).find(rate);
        let mm_per_day = first.map_or(0.0, |w| (w[1].1 - w[0].1) / (w[1].0 - w[0].0));
        Supply { source: RoomSource::Stops, teeth, mm_per_day, way }
    }
}

/// Room made by all of them after so many days.
pub(crate) fn made_mm(supplies: &[Supply], days: f64) -> f64 {
    supplies.iter().map(|s| s.made_mm(days)).sum()
}

/// First day on which so much room is made; `None` where the sources do not suffice.
pub(crate) fn time_to_make(supplies: &[Supply], wanted_mm: f64) -> Option<f64> {
    if wanted_mm <= 1e-9 || made_mm(supplies, 0.0) >= wanted_mm - 1e-9 {
        return Some(0.0);
    }
    // The room made is piecewise linear; the last corner of each source is where it is exhausted.
    let mut corners: Vec<f64> = supplies
        .iter()
        .flat_map(|s| s.way.iter().map(|(day, _)| *day))
        .filter(|d| *d > 0.0 && d.is_finite())
        .collect();
    corners.sort_by(f64::total_cmp);
    let (mut day, mut made) = (0.0, made_mm(supplies, 0.0));
    for corner in corners {
        let then = made_mm(supplies, corner);
        if then >= wanted_mm - 1e-9 {
            let share = if then > made { (wanted_mm - made) / (then - made) } else { 1.0 };
            return Some(day + share.clamp(0.0, 1.0) * (corner - day));
        }
        (day, made) = (corner, then);
    }
    None
}

/// The account of the teeth in the wire.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Account {
    pub demanded_mm: f64,
    pub assumed: bool,
    pub supplies: Vec<Supply>,
}

impl Account {
    pub fn missing_mm(&self, days: f64) -> f64 {
        (self.demanded_mm - made_mm(&self.supplies, days)).max(0.0)
    }

    /// First day on which no more than this share of the room is missing.
    fn time_to_share(&self, share: f64) -> Option<f64> {
        if self.demanded_mm <= 1e-9 {
            return Some(0.0);
        }
        time_to_make(&self.supplies, self.demanded_mm * (1.0 - share.clamp(0.0, 1.0)))
    }

    /// The most that the sources fall short by.
    pub fn uncovered_mm(&self) -> f64 {
        self.missing_mm(f64::MAX)
    }
}

/// The day, at unit rate, on which each sample of a run is reached given the room; `None` from the first
/// sample that never has room.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RoomLimitedTime {
    pub days: Vec<Option<f64>>,
}

impl RoomLimitedTime {
    pub fn new(run: &PhaseTrace, account: &Account) -> RoomLimitedTime {
        let mut last = Some(0.0_f64);
        let days = run
            .samples
            .iter()
            .map(|s| {
                let room = account.time_to_share(s.share);
                last = match (last, room) {
                    (Some(l), Some(r)) => Some(l.max(s.days).max(r)),
                    _ => None,
                };
                last
            })
            .collect();
        RoomLimitedTime { days }
    }

    /// Maps a day without room limit to the day with it, by linear interpolation.
    pub fn day(&self, run: &PhaseTrace, ungated: f64) -> Option<f64> {
        let samples = &run.samples;
        let after = samples.partition_point(|s| s.days < ungated);
        let Some(b) = samples.get(after) else {
            return self.days.last().copied().flatten().map(|d| d.max(ungated));
        };
        let to = self.days[after]?;
        let Some(i) = after.checked_sub(1) else { return Some(to) };
        let (a, from) = (&samples[i], self.days[i]?);
        let share = if b.days > a.days { (ungated - a.days) / (b.days - a.days) } else { 1.0 };
        Some(from + share * (to - from))
    }

    /// The inverse: the day on the run's path that is reached on a day with room limit.
    pub fn progress(&self, run: &PhaseTrace, gated: f64) -> f64 {
        let mut before = (0.0, 0.0);
        for (s, day) in run.samples.iter().zip(&self.days) {
            match day {
                Some(d) if *d <= gated => before = (*d, s.days),
                Some(d) => {
                    let share =
                        if *d > before.0 { (gated - before.0) / (d - before.0) } else { 1.0 };
                    return before.1 + share.clamp(0.0, 1.0) * (s.days - before.1);
                }
                None => return before.1,
            }
        }
        before.1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn supply(mm_per_day: f64, most_mm: f64) -> Supply {
        Supply::steady(RoomSource::Gap, Vec::new(), mm_per_day, most_mm)
    }

    #[test]
    fn sources_run_dry_one_after_the_other() {
        let sources = [supply(0.1, 1.0), supply(0.05, 2.0), supply(0.0, 0.5)];
        assert_eq!(time_to_make(&sources, 0.4), Some(0.0));
        let day = time_to_make(&sources, 2.0).unwrap();
        assert!((made_mm(&sources, day) - 2.0).abs() < 1e-9, "{day}");
        let day = time_to_make(&sources, 3.0).unwrap();
        assert!((made_mm(&sources, day) - 3.0).abs() < 1e-9, "{day}");
        assert_eq!(time_to_make(&sources, 3.6), None);
        assert_eq!(time_to_make(&[], 0.1), None);
    }
}
