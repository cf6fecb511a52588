//! How fast the bite moves by what acts on it, mm a month.
//!
//! Published figures are taken as printed: they are not scaled by growth, since the ages of their patients
//! are their own. Citations stand at the end of `lang/docs/course.md`.

use crate::law::movement::{K_SLIDE, MONTH_DAYS, rate_mm_per_day};
use crate::law::periodontium::{pressure_kpa, projected_area_mm2};
use springline_units::tooth::{Arch, Tooth};

/// Class II and III elastics worn 22 h, overjet: 0.5 to 1 (common practice, no source); 6.6 mm in the first
/// six months is the upper edge (AJODO 1999, n = 18, abstract).
pub const OVERJET_MM_PER_MONTH: f64 = 0.75;
/// The same elastics, molars and canines: 0.25 to 0.5 (common practice, no source).
pub const RELATION_MM_PER_MONTH: f64 = 0.375;
/// Vertical elastics in front, overbite: 0.3 to 0.8 (common practice, no source), as they are worn.
pub const VERTICAL_MM_PER_MONTH: f64 = 0.5;
/// Cross elastics, the tooth across: 0.5 (common practice, no source).
pub const CROSS_MM_PER_MONTH: f64 = 0.5;
/// One-sided pull, midlines to each other: 0.2 to 0.5 (common practice, no source).
pub const MIDLINE_MM_PER_MONTH: f64 = 0.3;
/// Raisers behind the upper incisors over a levelling wire: 3.15 months from 5.2 mm (Al-Zoubi 2022); taken to
/// two millimetres.
pub const RAISERS_MM_PER_MONTH: f64 = 1.0;
/// Two arches level together no faster than the upper edge of what is seen: 0.3 to 0.8 (common practice, no
/// source); 4.1 mm in six months (AJODO 1999).
pub const LEVELLING_MOST_MM_PER_MONTH: f64 = 0.8;

/// Hours a day that count as full time: pulls along the arches, and vertical ones, which are mostly worn for
/// part of the day (common practice, no source).
pub const FULL_WEAR_H: f64 = 22.0;
pub const VERTICAL_WEAR_H: f64 = 14.0;

/// An overbite at which the curves of both arches are level, mm (common practice, no source).
pub const LEVEL_OVERBITE_MM: f64 = 2.0;

/// Chord over which the depth of a curve is read, mm: premolar to premolar, as for the reverse curve.
const CHORD_MM: f64 = 30.0;

/// Force that the four incisors need before they intrude at all, N: 40 g below, 60 g above, the lower ends of
/// what is recommended (Burstone 1977, memory). Under it the bite and the lip have the last word.
fn least_n(arch: Arch) -> f64 {
    match arch {
        Arch::Upper => 0.6,
        Arch::Lower => 0.4,
    }
}

/// The same for one tooth, by its share of the roots: a wire that presses a single tooth or a whole front towards the gum
/// with less does not intrude it.
pub fn least_intruding_n(tooth: Tooth) -> f64 {
    least_n(tooth.arch()) * projected_area_mm2(tooth) / front_area_mm2(tooth.arch())
}

/// Of the roots of the four incisors.
fn front_area_mm2(arch: Arch) -> f64 {
    let quadrants = if arch == Arch::Upper { [1, 2] } else { [3, 4] };
    let front = quadrants.iter().flat_map(|q| [q * 10 + 1, q * 10 + 2]);
    front.filter_map(Tooth::iso).map(projected_area_mm2).sum()
}

/// Overbite that a levelling wire takes away, mm a day.
///
/// A wire of this bending stiffness is held out of its shape by a curve of that depth: as a beam over the
/// chord it presses with `48 E I d / c^3` at the front, the incisors there move by the law of a tooth on a
/// continuous wire. A light wire does not reach the least force, whatever the time.
pub fn levelling_mm_per_day(arch: Arch, rigidity_nmm2: f64, depth_mm: f64) -> f64 {
    let force_n = 48.0 * rigidity_nmm2 * depth_mm.max(0.0) / CHORD_MM.powi(3);
    let area = front_area_mm2(arch);
    K_SLIDE * rate_mm_per_day(pressure_kpa((force_n - least_n(arch)).max(0.0), area))
}

/// mm a day, of a rate a month at full wear, worn so many hours.
pub fn worn_mm_per_day(mm_per_month: f64, hours: f64, full_h: f64) -> f64 {
    mm_per_month / MONTH_DAYS * (hours.clamp(0.0, 24.0) / full_h).min(1.2)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Bending stiffness up and down, N mm2, of solid wires: modulus in GPa, height and depth in mm.
    fn rect(gpa: f64, height: f64, depth: f64) -> f64 {
        1000.0 * gpa * depth * height.powi(3) / 12.0
    }

    fn month(arch: Arch, rigidity: f64, depth: f64) -> f64 {
        MONTH_DAYS * levelling_mm_per_day(arch, rigidity, depth)
    }

    /// Tested: intrusion of lower incisors 0.25 mm a month at the tip, 0.2 at the root's middle by a utility
    /// arch, 0.4 and 0.3 from mini-implants (Polat-Ozsoy 2011, abstract). The law at the 40 to 80 g that
    /// such arches give, over what is needed before anything moves.
    #[test]
    fn incisors_intrude_by_the_law_as_published() {
        let area: f64 =
            [41, 42, 31, 32].iter().filter_map(|t| Tooth::iso(*t)).map(projected_area_mm2).sum();
        let at = |n: f64| K_SLIDE * MONTH_DAYS * rate_mm_per_day(pressure_kpa(n, area));
        assert!((0.15..=0.5).contains(&at(0.1)), "{}", at(0.1));
        assert!((0.2..=0.6).contains(&at(0.25)), "{}", at(0.25));
    }

    #[test]
    fn a_curve_is_levelled_by_stiffness_and_curve_not_by_a_light_wire() {
        let (round, steel) = (43.0, rect(170.0, 0.4826, 0.635));
        // 5.5 mm of overbite: half of what is over two lies in each arch.
        let depth = 1.75;
        assert_eq!(month(Arch::Lower, round, depth), 0.0);
        let plain = month(Arch::Lower, steel, depth);
        let curved = month(Arch::Lower, steel, depth + 2.0);
        assert!((0.3..=0.8).contains(&plain) && (0.3..=0.85).contains(&curved), "{plain} {curved}");
        assert!(curved > plain && plain > month(Arch::Lower, steel, 0.5));
        // Tested: 0.016 x 0.022 superelastic with a reverse curve, 4.85 (sd 1.56) months from 5.8 mm
        // (Al-Zoubi 2022). Its depth is not said: three millimetres are taken.
        let niti = rect(55.0, 0.4064, 0.5588);
        let (mut overbite, mut days) = (5.8_f64, 0.0);
        while overbite > 2.5 && days < 1000.0 {
            overbite -= levelling_mm_per_day(Arch::Lower, niti, 0.5 * (overbite - 2.0) + 3.0);
            days += 1.0;
        }
        let months = days / MONTH_DAYS;
        assert!((4.85 - 2.0 * 1.56..=4.85 + 2.0 * 1.56).contains(&months), "{months}");
    }
}
