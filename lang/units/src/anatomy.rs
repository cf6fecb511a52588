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

/// How far labial (buccal) of the line through the crowns' contacts the slots of an aligned arch lie, mm: half the
/// crown's depth at its contacts, and the bracket from its base to the middle of its slot.
///
/// One figure for all teeth, because preadjusted brackets are made so: thick on flat crowns and thin on prominent
/// ones, so that a wire without in-out bends runs at one distance from the contacts (Andrews LF. Br J Orthod
/// 1979;6:125-143: "the distance from the base of the slot to the base of the bracket varies for each tooth
/// type"). Crowns stand 1.2 mm (lower incisors) to 2.9 mm (upper molars) before the contacts (Andrews LF.
/// Straight Wire, 1989; values from memory), brackets add 0.7 to 1.8 mm (common practice, no source): 2.7 to 3.3 mm
/// in all, an estimate.
///
/// A molar's tube may lie half a millimetre farther out. That was left out: lengths on the two lines differ by this
/// distance times the turn of the arch, which from canine to molar is some 20 deg, so it moves a molar's station by
/// less than 0.2 mm; in front, where the line is curved, the figure counts.
pub const SLOT_BEFORE_CONTACTS_MM: f64 = 3.0;

/// Labiolingual (buccolingual) crown diameter, mm: for drawings; no figure of a plan depends on it.
///
/// Source: Ash MM, Wheeler's Dental Anatomy, Physiology and Occlusion (textbook table; values from memory).
/// Deciduous: the permanent tooth's in proportion to the width (estimate, no source).
pub fn crown_depth_mm(tooth: Tooth) -> f64 {
    const UPPER: [f64; 8] = [7.0, 6.0, 8.0, 9.0, 9.0, 11.0, 11.0, 10.0];
    const LOWER: [f64; 8] = [6.0, 6.5, 7.5, 7.5, 8.0, 10.5, 10.0, 9.5];
    let index = usize::from(tooth.position()) - 1;
    let permanent = match tooth.arch() {
        Arch::Upper => UPPER[index],
        Arch::Lower => LOWER[index],
    };
    if tooth.is_deciduous() { 0.9 * permanent } else { permanent }
}

/// How far the middle of a crown's face stands before the line through its contacts, mm: for drawings, and to find the
/// slot of a crown whose face was picked as a point.
///
/// Source: Andrews LF. Straight Wire, 1989 (values from memory); third molars as second molars.
pub fn crown_prominence_mm(tooth: Tooth) -> f64 {
    const UPPER: [f64; 8] = [2.1, 1.65, 2.5, 2.4, 2.4, 2.9, 2.9, 2.9];
    const LOWER: [f64; 8] = [1.2, 1.2, 1.9, 2.35, 2.35, 2.5, 2.5, 2.5];
    let index = usize::from(tooth.position()) - 1;
    match tooth.arch() {
        Arch::Upper => UPPER[index],
        Arch::Lower => LOWER[index],
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
