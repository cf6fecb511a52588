//! Rates of sliding, space closure and bite correction, each a named factor on the law of movement or a
//! stated figure.

use crate::law::movement::{K_SLIDE, MONTH_DAYS, rate_mm_per_day};
use crate::law::periodontium::{pressure_kpa, projected_area_mm2};
use springline_model::case::{Elastics, ElasticsKind};
use springline_units::tooth::Tooth;

/// NiTi spring: 1.0 (J Int Med Res 2018, doi 10.1177/0300060518811765), 0.81 (Dixon V et al. J Orthod
/// 2002;29(1):31-36) and 1.1 (Nightingale C, Jones SP. J Orthod 2003;30(4):289-297) mm a month; the last two from
/// memory.
pub const CLOSING_COIL_MM_PER_MONTH: f64 = 0.9;
/// Elastomeric chain: 0.58 (Dixon et al.) and 0.9 (Nightingale and Jones) mm a month (values from memory).
pub const CHAIN_MM_PER_MONTH: f64 = 0.7;
/// Ligature or laceback: 0.35 (Dixon et al.) mm a month (value from memory).
pub const LIGATURE_MM_PER_MONTH: f64 = 0.35;
/// Class II and III elastics worn 22 h, overjet: 0.5 to 1; 6.6 mm in the first six months is the upper
/// edge (Am J Orthod Dentofacial Orthop 1999;115(1):13-23, n = 18, abstract).
pub const OVERJET_MM_PER_MONTH: f64 = 0.75;
/// Levelling of a deep bite: 0.3 to 0.7; 4.1 mm in six months is the upper edge (same abstract).
pub const OVERBITE_MM_PER_MONTH: f64 = 0.5;
/// Hours a day that count as full time.
pub const FULL_WEAR_H: f64 = 22.0;
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

/// How fast a block of elastics changes the overjet, mm a day at unit rate; negative lessens it.
pub fn overjet_mm_per_day(block: &Elastics) -> f64 {
    let sign = match block.kind {
        ElasticsKind::Class2 => -1.0,
        ElasticsKind::Class3 => 1.0,
        _ => return 0.0,
    };
    if block.runs.is_empty() {
        return 0.0;
    }
    let hours: f64 = block.runs.iter().map(|r| r.hours_a_day.clamp(0.0, 24.0)).sum();
    let mean = hours / block.runs.len() as f64;
    sign * per_day(OVERJET_MM_PER_MONTH) * (mean / FULL_WEAR_H).min(1.1)
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
