//! Rates of sliding and space closure, each a named factor on the law of movement or a stated figure.

use crate::law::movement::{K_SLIDE, MONTH_DAYS, rate_mm_per_day};
use crate::law::periodontium::{pressure_kpa, projected_area_mm2};
use springline_units::tooth::Tooth;

/// NiTi spring: 1.0 (J Int Med Res 2018, doi 10.1177/0300060518811765), 0.81 (Dixon V et al. J Orthod
/// 2002;29(1):31-36) and 1.1 (Nightingale C, Jones SP. J Orthod 2003;30(4):289-297) mm a month; the last two from
/// memory.
pub const CLOSING_COIL_MM_PER_MONTH: f64 = 0.9;
/// Elastomeric chain: 0.58 (Dixon et al.) and 0.9 (Nightingale and Jones) mm a month (values from memory).
pub const CHAIN_MM_PER_MONTH: f64 = 0.7;
/// A canine alone, on a spring of 100 g along a steel wire in self-ligating or conventional brackets, no
/// difference: above and below (Monini 2019, abstract; 25 patients, age not in it).
pub const CANINE_UPPER_MM_PER_MONTH: f64 = 0.71;
pub const CANINE_LOWER_MM_PER_MONTH: f64 = 0.57;
/// Of a canine alone that is pulled at a power arm, over the same pulled at its bracket: 1.57 and 2.09 mm in three
/// months, upper, 150 g of chain to a screw (Prog Orthod 2021;22, article s40510-021-00374-4, abstract; 36 patients of
/// 16.9 years, split mouth; angulation did not differ).
pub const AT_AN_ARM: f64 = 1.57 / 2.09;
/// Chain from second molar to second molar below, on 0.019 x 0.025 steel, towards a healed first premolar's
/// place and one just extracted (Abu Alhaija 2022, abstract; 23 patients).
pub const LOWER_CHAIN_HEALED_MM_PER_MONTH: f64 = 0.66;
pub const LOWER_CHAIN_FRESH_MM_PER_MONTH: f64 = 1.01;
/// Active ligature: 0.35 (Dixon et al.) mm a month (value from memory). A laceback begins no faster.
pub const LIGATURE_MM_PER_MONTH: f64 = 0.35;
/// All that a laceback ever closes, mm (Eur J Orthod 2013;35:539, abstract): it holds.
pub const LACEBACK_MOST_MM: f64 = 0.5;
/// A bar across the palate or behind the lower incisors takes a quarter off what its molars give way (common
/// practice, no source): with the second molars tied in they lose 2.1 of 7 mm, as much as a palatal arch lost
/// more than screws (Angle Orthod 2017;87:147, abstract; what was tied in is not in it).
pub const BAR_GIVES: f64 = 0.75;
/// Arch length won by a millimetre of width: 0.7 of the width won at the first premolars (Adkins MD, Nanda RS, Currier
/// GF. Am J Orthod Dentofacial Orthop 1990;97(3):194-199; value from memory). Taken of what the screw opens.
pub const LENGTH_PER_WIDTH: f64 = 0.7;
/// Pressure that crowding shares out on the front teeth as they come forward, kPa.
pub const SHARED_KPA: f64 = 2.0;
/// Arch length won by a millimetre forward, 3 to 3 (computed for catenaries of radius 13 to 18 mm).
pub const LENGTH_PER_FORWARD: f64 = 1.7;
/// A canine sliding into an open gap, mm a month: the law times 0.5 at 100 to 200 g gives 0.7 to 0.8.
pub const INTO_GAP_MM_PER_MONTH: f64 = 0.75;

/// mm a day from mm a month.
pub fn per_day(mm_per_month: f64) -> f64 {
    mm_per_month / MONTH_DAYS
}

/// How fast the front teeth come forward under crowding, mm a day at unit rate.
pub fn forward_mm_per_day() -> f64 {
    rate_mm_per_day(SHARED_KPA)
}

/// How fast a coil opens its space, mm a day at unit rate: both abutments by the law times K_SLIDE,
/// tied teeth sharing the force.
pub fn open_coil_mm_per_day(force_n: f64, first: &[Tooth], second: &[Tooth]) -> f64 {
    let side = |teeth: &[Tooth]| {
        let area: f64 = teeth.iter().map(|t| projected_area_mm2(*t)).sum();
        if area > 0.0 { K_SLIDE * rate_mm_per_day(pressure_kpa(force_n, area)) } else { 0.0 }
    };
    side(first) + side(second)
}

#[cfg(test)]
mod tests {
    use super::*;
    use springline_units::quantity::grams_to_newtons;

    fn teeth(codes: &[u32]) -> Vec<Tooth> {
        codes.iter().filter_map(|c| Tooth::iso(*c)).collect()
    }

    /// Common practice: about 1 mm a month, 0.5 to 1.5, for 50 to 150 g against tied incisors.
    #[test]
    fn an_open_coil_makes_about_a_millimetre_a_month() {
        let mut last = 0.0;
        for grams in [50.0, 100.0, 150.0] {
            let force = grams_to_newtons(grams);
            let month =
                MONTH_DAYS * open_coil_mm_per_day(force, &teeth(&[13]), &teeth(&[11, 21, 22]));
            assert!((0.5..=1.5).contains(&month), "{grams} g: {month}");
            assert!(month > last);
            last = month;
        }
    }

    /// 1.7 mm of arch length a millimetre, at the rate of the law at 2 kPa: 1.1 mm a month, range 0.9
    /// to 1.4 (not separately fitted).
    #[test]
    fn the_front_gains_about_a_millimetre_a_month() {
        let month = MONTH_DAYS * LENGTH_PER_FORWARD * forward_mm_per_day();
        assert!((0.9..=1.4).contains(&month), "{month}");
    }
}
