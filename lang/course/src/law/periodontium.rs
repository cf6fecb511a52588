//! Root and periodontal ligament: the area that carries a force, and the lever of a couple.

use springline_units::anatomy::root_area_mm2;
use springline_units::tooth::{Arch, Tooth};

/// Area of the root as seen from the front, mm^2: what a labiolingual force presses on.
///
/// Source: estimate from root shapes, uncertain by 30 % (common practice, no source); the named
/// factors of [`movement`](super::movement) absorb it. Uppers by the ratio to the membrane area that
/// the lowers have (0.19).
pub fn projected_area_mm2(tooth: Tooth) -> f64 {
    const LOWER: [f64; 7] = [28.0, 32.0, 50.0, 45.0, 45.0, 80.0, 75.0];
    let index = usize::from(tooth.position()) - 1;
    match (tooth.is_deciduous(), tooth.arch(), LOWER.get(index)) {
        (false, Arch::Lower, Some(area)) => *area,
        _ => 0.19 * root_area_mm2(tooth),
    }
}

/// Lever at which a couple about the long axis loads the ligament, mm: half the mean root radius,
/// because the ligament is sheared round the root and pressed only at its corners.
///
/// The radius is that of a round root of the tooth's membrane area, 4.5 times as long as it is
/// half thick (estimate, no source).
pub fn rotation_lever_mm(tooth: Tooth) -> f64 {
    0.5 * root_area_mm2(tooth).sqrt() / 4.5
}

/// Mean pressure, kPa, of a force on an area.
pub fn pressure_kpa(force_n: f64, area_mm2: f64) -> f64 {
    if area_mm2 > 0.0 { 1000.0 * force_n.abs() / area_mm2 } else { 0.0 }
}
