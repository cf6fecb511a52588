//! Textbook sizes of teeth, used where a case gives none.

use super::tooth::{Arch, Tooth};

/// Mesiodistal crown width, mm.
///
/// Source: Ash MM, Wheeler's Dental Anatomy, Physiology and Occlusion (textbook table); 11 and 12
/// found, the rest from memory. Deciduous: same book, from memory.
pub fn crown_width_mm(tooth: Tooth) -> f64 {
    const UPPER: [f64; 8] = [8.5, 6.5, 7.5, 7.0, 7.0, 10.0, 9.0, 8.5];
    const LOWER: [f64; 8] = [5.0, 5.5, 7.0, 7.0, 7.0, 11.0, 10.5, 10.0];
    const UPPER_DECIDUOUS: [f64; 5] = [6.5, 5.1, 7.0, 7.3, 8.2];
    const LOWER_DECIDUOUS: [f64; 5] = [4.2, 4.1, 5.0, 7.7, 9.9];
    let index = usize::from(tooth.position()) - 1;
    match (tooth.is_deciduous(), tooth.arch()) {
        (false, Arch::Upper) => UPPER[index],
        (false, Arch::Lower) => LOWER[index],
        (true, Arch::Upper) => UPPER_DECIDUOUS[index],
        (true, Arch::Lower) => LOWER_DECIDUOUS[index],
    }
}

/// Root surface area, mm^2.
///
/// Source: Jepsen A, Acta Odontol Scand 1963;21:35-46, means by the membrane technique (value from
/// memory). Third molars and deciduous teeth: estimate, no source.
pub fn root_area_mm2(tooth: Tooth) -> f64 {
    const UPPER: [f64; 8] = [204.0, 179.0, 273.0, 234.0, 220.0, 433.0, 431.0, 400.0];
    const LOWER: [f64; 8] = [154.0, 168.0, 268.0, 180.0, 207.0, 431.0, 426.0, 400.0];
    let index = usize::from(tooth.position()) - 1;
    let permanent = match tooth.arch() {
        Arch::Upper => UPPER[index],
        Arch::Lower => LOWER[index],
    };
    if tooth.is_deciduous() { 0.6 * permanent } else { permanent }
}
