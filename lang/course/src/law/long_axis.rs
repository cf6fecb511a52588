//! Where a tooth's long axis stands behind its slot.

use springline_units::tooth::{Arch, Tooth};

/// From the facial surface to the middle of the slot, mm (common practice, no source).
const BRACKET_MM: f64 = 1.0;

/// How far the middle of the slot lies before the tooth's long axis, mm: half of the crown's labiolingual
/// diameter, and the bracket.
///
/// Diameters: Ash MM, Wheeler's Dental Anatomy, Physiology and Occlusion (textbook table; values from
/// memory). That the axis is in the middle of the crown is an assumption.
pub(crate) fn slot_before_axis_mm(tooth: Tooth) -> f64 {
    const UPPER: [f64; 8] = [7.0, 6.0, 8.0, 9.0, 9.0, 11.0, 11.0, 10.0];
    const LOWER: [f64; 8] = [6.0, 6.5, 7.5, 7.5, 8.0, 10.5, 10.0, 9.5];
    let index = usize::from(tooth.position()) - 1;
    let diameter = match tooth.arch() {
        Arch::Upper => UPPER.get(index),
        Arch::Lower => LOWER.get(index),
    };
    0.5 * diameter.copied().unwrap_or(8.0) + BRACKET_MM
}
