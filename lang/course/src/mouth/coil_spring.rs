//! Open coils as linear springs, whose force falls as their space opens.

use crate::law::passive::FLOOR_N;
use crate::mouth::pair::pair;
use springline_mechanics::closed::{OpenCoil, open_coil};
use springline_model::step::{Act, ActKind, Activation};
use springline_model::stock::Coil;
use springline_text::Place;
use springline_units::quantity::{from_grams, mm, newtons};
use springline_units::tooth::Tooth;

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
    /// Compression, mm.
    pub pressed_mm: f64,
}

impl CoilSpring {
    /// As inserted; `None` for one that only maintains its space.
    pub fn of(coil: Option<&Coil>, activation: &Activation) -> Option<CoilSpring> {
        let label = match (coil.and_then(|c| c.force), activation) {
            (Some(label), _) => label,
            // Only the intended force of the coil is known; it is taken as the label's force.
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

/// Compression at which a coil has its label's force, mm.
pub fn label_mm(coil: Option<&Coil>) -> f64 {
    let said = coil.and_then(|c| c.force_at.or(c.stroke)).map(mm);
    let by_length = coil.and_then(|c| c.length).map(|l| LABEL_SHARE * mm(l));
    said.or(by_length).filter(|l| l.is_finite() && *l > 0.0).unwrap_or(LABEL_MM)
}

/// Identifies a coil among others between the same teeth: the place of its act.
pub(crate) type CoilKey = (Tooth, Tooth, Place);

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
pub(crate) mod tests {
    use super::*;
    use springline_model::stock::CoilKind;
    use springline_test_support::nowhere;
    use springline_units::quantity::{from_mm, grams_to_newtons};

    pub(crate) fn stock(force_g: f64, stroke: Option<f64>, length: Option<f64>) -> Coil {
        Coil {
            name: "open".into(),
            kind: CoilKind::Open,
            force: Some(from_grams(force_g)),
            force_at: None,
            stroke: stroke.map(from_mm),
            length: length.map(from_mm),
            lumen: None,
            place: nowhere(),
        }
    }

    pub(crate) fn pressed(coil: &Coil, by: f64) -> CoilSpring {
        let by = Activation::Pressed { by: from_mm(by), each_visit: false };
        CoilSpring::of(Some(coil), &by).unwrap()
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
}
