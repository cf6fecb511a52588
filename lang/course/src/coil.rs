//! Open coils at work: linear springs that push two teeth apart, weaker with every tenth of a millimetre.

use super::account::{Supply, along};
use super::mouth::pair;
use super::passive::FLOOR_N;
use super::rates::open_coil_mm_per_day;
use crate::finding::Place;
use crate::mechanics::closed::{OpenCoil, open_coil};
use crate::model::quantity::{from_grams, mm, newtons};
use crate::model::step::{Act, ActKind, Activation};
use crate::model::stock::Coil;
use crate::model::tooth::Tooth;

/// Label of a coil where neither the act nor the drawer says a force, g (common practice, no source).
const LABEL_G: f64 = 100.0;
/// Share of its length that a coil is pressed by when it gives its label's force, where the drawer says
/// neither `at` nor a stroke: superelastic coils are compared so (Brauchli LM et al. Am J Orthod
/// Dentofacial Orthop 2011;139(5):601-605).
const LABEL_SHARE: f64 = 0.25;
/// The same where the drawer has no length either, mm (common practice, no source).
const LABEL_MM: f64 = 4.0;

/// An open coil as it lies pressed between two brackets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoilSpring {
    /// Force for every millimetre it is pressed, N/mm.
    pub rate_n_per_mm: f64,
    /// By how much it is pressed, mm.
    pub pressed_mm: f64,
}

impl CoilSpring {
    /// As it goes in; `None` for one that only keeps its space.
    pub fn of(coil: Option<&Coil>, activation: &Activation) -> Option<CoilSpring> {
        let label = match (coil.and_then(|c| c.force), activation) {
            (Some(label), _) => label,
            // Nothing is known of the coil but what it is to push with: a label of that force.
            (None, Activation::Force { force }) => *force,
            (None, _) => from_grams(LABEL_G),
        };
        let (label_n, label_mm) = (newtons(label), label_mm(coil));
        let rate_n_per_mm = label_n / label_mm;
        if !(rate_n_per_mm.is_finite() && rate_n_per_mm > 0.0) {
            return None;
        }
        let pressed_mm = match activation {
            Activation::Passive => return None,
            Activation::Pressed { by, .. } => mm(*by),
            Activation::Force { force } => newtons(*force) / rate_n_per_mm,
            Activation::Unsaid => label_mm,
        };
        Some(CoilSpring { rate_n_per_mm, pressed_mm })
    }

    pub fn force_n(&self) -> f64 {
        self.rate_n_per_mm * self.pressed_mm
    }

    /// The same coil with the gap so much wider.
    pub fn after(&self, made_mm: f64) -> CoilSpring {
        CoilSpring { pressed_mm: (self.pressed_mm - made_mm).max(0.0), ..*self }
    }

    /// Space it gains until its force is under the floor, mm.
    pub fn gain_mm(&self) -> f64 {
        let spring =
            OpenCoil { rate_n_per_mm: self.rate_n_per_mm, free_length_mm: self.pressed_mm };
        open_coil(&spring, 0.0, FLOOR_N).map_or(0.0, |(_, gain)| gain)
    }
}

/// How far a coil is pressed when it gives its label's force, mm.
pub fn label_mm(coil: Option<&Coil>) -> f64 {
    let said = coil.and_then(|c| c.force_at.or(c.stroke)).map(mm);
    let by_length = coil.and_then(|c| c.length).map(|l| LABEL_SHARE * mm(l));
    said.or(by_length).filter(|l| l.is_finite() && *l > 0.0).unwrap_or(LABEL_MM)
}

/// By which a coil is told from another between the same teeth: its act's place.
pub(crate) type CoilKey = (Tooth, Tooth, Place);

/// One open coil during one leg of a phase.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CoilAtWork {
    pub key: CoilKey,
    /// As pressed when the leg begins.
    pub spring: CoilSpring,
    /// Days at unit rate from one visit that presses it again to the next.
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
    /// `sides` are the teeth that each end moves, none where that end stands fast.
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
            Some(days) => again_and_again(&once, days),
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

/// The same, pressed again by as much every so many days.
fn again_and_again(once: &[(f64, f64)], every: f64) -> Vec<(f64, f64)> {
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

/// The open coils of a step that push, the latest of each place, with its act.
pub(crate) fn pushing(acts: &[Act]) -> Vec<(CoilKey, CoilSpring, bool)> {
    let mut seen: Vec<(Tooth, Tooth)> = Vec::new();
    let mut out = Vec::new();
    for act in acts.iter().rev() {
        let ActKind::OpenCoil { first, second, coil, activation } = &act.kind else { continue };
        let place = pair(*first, *second);
        // The latest first: a fresh coil, or a passive one, stands in for the one it replaces.
        if seen.contains(&place) {
            continue;
        }
        seen.push(place);
        if let Some(spring) = CoilSpring::of(coil.as_deref(), activation) {
            let again = matches!(activation, Activation::Pressed { each_visit: true, .. });
            out.push(((*first, *second, act.place), spring, again));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::course::movement::MONTH_DAYS;
    use crate::course::testing::place;
    use crate::model::quantity::{from_mm, grams_to_newtons};
    use crate::model::stock::CoilKind;

    fn stock(force_g: f64, stroke: Option<f64>, length: Option<f64>) -> Coil {
        Coil {
            name: "open".into(),
            kind: CoilKind::Open,
            force: Some(from_grams(force_g)),
            force_at: None,
            stroke: stroke.map(from_mm),
            length: length.map(from_mm),
            lumen: None,
            place: place(),
        }
    }

    fn pressed(coil: &Coil, by: f64) -> CoilSpring {
        let by = Activation::Pressed { by: from_mm(by), each_visit: false };
        CoilSpring::of(Some(coil), &by).unwrap()
    }

    fn teeth(codes: &[u32]) -> Vec<Tooth> {
        codes.iter().filter_map(|c| Tooth::iso(*c)).collect()
    }

    fn at_work(spring: CoilSpring, every: Option<f64>) -> CoilAtWork {
        let (a, b) = (teeth(&[13]), teeth(&[11, 21, 22]));
        CoilAtWork::new((a[0], b[0], place()), spring, (&a, &b), every)
    }

    #[test]
    fn the_force_follows_how_far_it_is_pressed() {
        let coil = stock(100.0, Some(4.0), Some(15.0));
        for (by, g) in [(1.0, 25.0), (2.0, 50.0), (4.0, 100.0), (7.5, 187.5)] {
            assert!((pressed(&coil, by).force_n() - grams_to_newtons(g)).abs() < 1e-9, "{by}");
        }
        assert!((pressed(&coil, 3.0).after(1.0).force_n() - grams_to_newtons(50.0)).abs() < 1e-9);
    }

    /// Superelastic coils pressed by a quarter of their length gave 0.25 to 1.3 N on average, 23 types at
    /// 36 C (Brauchli LM et al. Am J Orthod Dentofacial Orthop 2011;139(5):601-605): coils of 50 and 100 g
    /// on the label and 15 mm, as a drawer has them, lie within.
    #[test]
    fn a_quarter_of_its_length_gives_what_was_published() {
        for (label, stroke) in [(50.0, Some(4.0)), (100.0, Some(4.0)), (100.0, None)] {
            let force = pressed(&stock(label, stroke, Some(15.0)), 15.0 / 4.0).force_n();
            assert!((0.25..=1.3).contains(&force), "{label} g: {force} N");
        }
    }

    #[test]
    fn of_a_coil_in_no_drawer_the_force_is_its_label() {
        let asked = Activation::Force { force: from_grams(320.0) };
        let spring = CoilSpring::of(None, &asked).unwrap();
        assert!((spring.pressed_mm - LABEL_MM).abs() < 1e-9, "{spring:?}");
        assert!((spring.force_n() - grams_to_newtons(320.0)).abs() < 1e-9);
        assert!(CoilSpring::of(None, &Activation::Passive).is_none());
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
        let coil = CoilAtWork::new((t[0], t[1], place()), spring, (&[], &[]), None);
        assert_eq!(coil.supply.most_mm(), 0.0);
        assert_eq!(coil.supply.made_mm(500.0), 0.0);
    }
}
