//! Open coils over time: how much space each has made after a number of days.

use crate::law::rates::open_coil_mm_per_day;
use crate::mouth::coil_spring::{CoilKey, CoilSpring};
use crate::mouth::pair::pair;
use crate::room::supply_and_demand::{Supply, along};
use springline_units::tooth::Tooth;

/// One open coil during one segment of a phase.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CoilAtWork {
    pub key: CoilKey,
    /// Compression at the start of the segment.
    pub spring: CoilSpring,
    /// Days at unit rate between visits that reactivate it.
    pub every_days: Option<f64>,
    pub supply: Supply,
}

/// Most corners of the way of a coil that is pressed again and again, and the room beyond which nobody
/// asks.
const MOST_TIMES: usize = 40;
const MOST_MM: f64 = 25.0;
/// Corners between two visits.
const PARTS: usize = 16;

impl CoilAtWork {
    /// `sides` are the teeth that each end moves; none where that end is fixed.
    pub fn new(
        key: CoilKey,
        spring: CoilSpring,
        sides: (&[Tooth], &[Tooth]),
        every_days: Option<f64>,
    ) -> CoilAtWork {
        let every_days = every_days.filter(|d| d.is_finite() && *d >= 1.0);
        let rate = |force_n: f64| open_coil_mm_per_day(force_n, sides.0, sides.1);
        let once = once(&spring, rate);
        let way = match every_days {
            Some(days) => reactivated(&once, days),
            None => once,
        };
        let teeth = sides.0.iter().chain(sides.1).copied().collect();
        let supply = Supply::coil(teeth, rate(spring.force_n()), way);
        CoilAtWork { key, spring, every_days, supply }
    }

    /// How it lies pressed so many days on, at unit rate; just before the visit that presses it again.
    pub fn after(&self, days: f64) -> CoilSpring {
        let begun =
            self.every_days.map_or(0.0, |every| ((days / every).ceil() - 1.0).max(0.0) * every);
        self.spring.after(self.supply.made_mm(days) - self.supply.made_mm(begun))
    }

    pub fn between(&self, a: Tooth, b: Tooth) -> bool {
        pair(self.key.0, self.key.1) == pair(a, b)
    }

    pub fn spans(&self, tooth: Tooth) -> bool {
        let (a, b, _) = self.key;
        a != tooth && b != tooth && a.stretch(b).is_some_and(|s| s.contains(&tooth))
    }
}

/// Days and millimetres until a coil pressed once is spent.
fn once(spring: &CoilSpring, rate: impl Fn(f64) -> f64) -> Vec<(f64, f64)> {
    let gain = spring.gain_mm();
    if gain <= 0.0 || rate(spring.force_n()) <= 0.0 {
        return Vec::new();
    }
    let days_a_mm = |made: f64| 1.0 / rate(spring.after(made).force_n());
    let part = gain / PARTS as f64;
    let (mut day, mut way) = (0.0, vec![(0.0, 0.0)]);
    for i in 0..PARTS {
        let from = part * i as f64;
        // Simpson's rule: the time over a small way is smooth.
        let sum = days_a_mm(from) + 4.0 * days_a_mm(from + 0.5 * part) + days_a_mm(from + part);
        day += part * sum / 6.0;
        way.push((day, from + part));
    }
    way
}

/// The same, compressed again by the same amount every so many days.
fn reactivated(once: &[(f64, f64)], every: f64) -> Vec<(f64, f64)> {
    let Some(&(_, most)) = once.last() else { return Vec::new() };
    let until = along(once, every);
    let mut way = vec![(0.0, 0.0)];
    for time in 0..MOST_TIMES {
        let (day, made) = (time as f64 * every, time as f64 * until);
        way.extend(
            once.iter().skip(1).take_while(|(d, _)| *d < every).map(|(d, m)| (day + d, made + m)),
        );
        way.push((day + every, made + until));
        if made + most > MOST_MM {
            break;
        }
    }
    way
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::law::movement::MONTH_DAYS;
    use crate::law::passive::FLOOR_N;
    use crate::mouth::coil_spring::tests::{pressed, stock};
    use springline_test_support::nowhere;

    fn teeth(codes: &[u32]) -> Vec<Tooth> {
        codes.iter().filter_map(|c| Tooth::iso(*c)).collect()
    }

    fn at_work(spring: CoilSpring, every: Option<f64>) -> CoilAtWork {
        let (a, b) = (teeth(&[13]), teeth(&[11, 21, 22]));
        CoilAtWork::new((a[0], b[0], nowhere()), spring, (&a, &b), every)
    }

    #[test]
    fn it_slows_down_as_the_space_opens_and_stops_at_the_floor() {
        let spring = pressed(&stock(100.0, Some(4.0), None), 3.0);
        let coil = at_work(spring, None);
        let most = coil.supply.most_mm();
        assert!((most - (3.0 - FLOOR_N / spring.rate_n_per_mm)).abs() < 1e-9, "{most}");
        let months: Vec<f64> =
            (0..4).map(|m| coil.supply.made_mm(f64::from(m) * MONTH_DAYS)).collect();
        let steps: Vec<f64> = months.windows(2).map(|w| w[1] - w[0]).collect();
        assert!(steps.windows(2).all(|w| w[1] < w[0]), "{months:?}");
        let early = MONTH_DAYS * coil.supply.mm_per_day;
        assert!(steps[0] < early && steps[0] > 0.7 * early, "{steps:?} {early}");
        assert!((coil.after(1.0e5).force_n() - FLOOR_N).abs() < 1e-9);
    }

    /// The way is the integral of the rate: small steps of a day find the same.
    #[test]
    fn the_way_is_what_small_steps_find() {
        let spring = pressed(&stock(100.0, Some(4.0), None), 3.0);
        let (a, b) = (teeth(&[13]), teeth(&[11, 21, 22]));
        let coil = at_work(spring, None);
        let (mut made, mut day) = (0.0, 0.0);
        while day < 70.0 {
            made += 0.05 * open_coil_mm_per_day(spring.after(made).force_n(), &a, &b);
            day += 0.05;
        }
        assert!((coil.supply.made_mm(70.0) - made).abs() < 0.01, "{made}");
    }

    #[test]
    fn pressed_again_at_each_visit_it_never_tires() {
        let spring = pressed(&stock(100.0, Some(4.0), None), 2.0);
        let (one, again) = (at_work(spring, None), at_work(spring, Some(42.0)));
        assert!((one.supply.made_mm(42.0) - again.supply.made_mm(42.0)).abs() < 1e-9);
        let period = again.supply.made_mm(42.0);
        assert!((again.supply.made_mm(126.0) - 3.0 * period).abs() < 1e-9);
        assert!(again.supply.most_mm() > 10.0 && one.supply.most_mm() < 2.0);
        // Just before the third visit it lies as just before the first.
        assert!((again.after(126.0).force_n() - one.after(42.0).force_n()).abs() < 1e-9);
        assert!((again.after(0.0).force_n() - spring.force_n()).abs() < 1e-9);
    }

    #[test]
    fn against_two_fast_ends_it_makes_nothing() {
        let spring = pressed(&stock(100.0, Some(4.0), None), 2.0);
        let t = teeth(&[13, 11]);
        let coil = CoilAtWork::new((t[0], t[1], nowhere()), spring, (&[], &[]), None);
        assert_eq!(coil.supply.most_mm(), 0.0);
        assert_eq!(coil.supply.made_mm(500.0), 0.0);
    }
}
