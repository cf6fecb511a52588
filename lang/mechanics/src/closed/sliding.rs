//! Sliding along a wire with friction.

use std::f64::consts::PI;

/// Share of a force along the wire that moves a tooth which slides upright: `1 / (1 + 2 mu d / w)`, with `d` from
/// the bracket to the centre of resistance and `w` the width of the bracket, mm. The couple that keeps the tooth
/// upright presses the wire onto both edges of the slot (after Drescher D, Bourauel C, Schumacher HA. Am J Orthod
/// Dentofacial Orthop 1989;96(5):397-404).
pub fn sliding_share(coefficient: f64, to_centre_mm: f64, width_mm: f64) -> Option<f64> {
    let possible = coefficient >= 0.0 && to_centre_mm >= 0.0 && width_mm > 0.0;
    possible.then(|| 1.0 / (1.0 + 2.0 * coefficient * to_centre_mm / width_mm))
}

/// Force under which a free tail of wire buckles, N, clamped at one end: Euler's `pi^2 EI / 4 L^2`; stiffness in
/// N mm^2.
pub fn tail_buckles_n(stiffness_nmm2: f64, length_mm: f64) -> Option<f64> {
    (length_mm > 0.0).then(|| PI * PI * stiffness_nmm2 / (4.0 * length_mm * length_mm))
}
