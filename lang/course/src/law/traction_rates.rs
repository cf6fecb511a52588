//! How fast an unerupted tooth comes under traction, and how long it may take.

use springline_units::tooth::{Arch, Tooth};

/// A tooth under traction, mm a month along its way: 0.5 to 1.5 (common practice, no source).
pub const TRACTION_MM_PER_MONTH: f64 = 1.0;
pub const TRACTION_RANGE_MM_PER_MONTH: (f64, f64) = (0.5, 1.5);
/// Upper canines that lie palatally: 0.70 mm a month, standard deviation 0.33 (F1000Research 2023;12:699,
/// abstract). As printed, whatever the patient's growth: the ages are those of its own patients.
pub const PALATAL_CANINE_MM_PER_MONTH: f64 = 0.70;
pub const PALATAL_CANINE_SD: f64 = 0.33;

/// Traction is felt at the gauge as so many grams (common practice, no source).
pub const USUAL_TRACTION_G: f64 = 60.0;
/// Under the first nothing is felt to move, over the second root and anchorage suffer (common practice, no source).
pub const TRACTION_RANGE_G: (f64, f64) = (30.0, 100.0);

/// Canines came through after 16 months, standard deviation 9 (Angle Orthod 2025;95:266, abstract): beyond the two
/// together the plan itself is in doubt.
pub const LONGEST_TRACTION_MONTHS: f64 = 25.0;

/// An upper canine is palatal from here on, mm behind the line (common practice, no source).
const PALATAL_MM: f64 = 1.0;

/// The median rate of a tooth that lies so far behind the line.
pub fn traction_mm_per_month(tooth: Tooth, lingual_mm: f64) -> f64 {
    let palatal_canine =
        tooth.arch() == Arch::Upper && tooth.position() == 3 && lingual_mm >= PALATAL_MM;
    if palatal_canine { PALATAL_CANINE_MM_PER_MONTH } else { TRACTION_MM_PER_MONTH }
}

/// Spread of the time as that of its logarithm: a third of the mean for the range of common practice is less than
/// what was measured of palatal canines, which is taken for all.
pub fn traction_sigma() -> f64 {
    let share = PALATAL_CANINE_SD / PALATAL_CANINE_MM_PER_MONTH;
    (1.0 + share * share).ln().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn palatal_canines_come_as_published_and_others_about_a_millimetre_a_month() {
        let tooth = |code| Tooth::iso(code).unwrap();
        assert_eq!(traction_mm_per_month(tooth(23), 5.0), 0.70);
        assert_eq!(traction_mm_per_month(tooth(23), 0.0), 1.0);
        assert_eq!(traction_mm_per_month(tooth(33), 5.0), 1.0);
        // Of a normal distribution with 0.33 about 0.70 the log has this spread.
        assert!((traction_sigma() - 0.448).abs() < 0.005, "{}", traction_sigma());
    }
}
