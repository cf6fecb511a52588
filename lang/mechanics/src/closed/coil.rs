//! The linear open-coil spring.

/// An open coil pressed together on the wire: linear from its free length until it is solid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenCoil {
    /// Force for every millimetre it is pressed, N/mm; above zero.
    pub rate_n_per_mm: f64,
    /// Length with no force on it, mm.
    pub free_length_mm: f64,
}

/// Rate of a helical spring of round wire, `G d^4 / (8 D^3 n)`, N/mm: its wire's diameter and the coil's mean
/// diameter, mm, the turns that give, the wire's shear modulus, MPa. A piece cut to half its length has half
/// the turns and twice the rate.
pub fn helical_rate(
    wire_mm: f64,
    mean_coil_mm: f64,
    active_turns: f64,
    shear_modulus_mpa: f64,
) -> Option<f64> {
    let rate = shear_modulus_mpa * wire_mm.powi(4) / (8.0 * mean_coil_mm.powi(3) * active_turns);
    (rate.is_finite() && rate > 0.0).then_some(rate)
}

/// Force N squeezed into `gap_mm`, and the space in mm that it gains until its force has fallen to
/// `stop_force_n` (zero when it starts under it).
pub fn open_coil(coil: &OpenCoil, gap_mm: f64, stop_force_n: f64) -> Option<(f64, f64)> {
    let rate = coil.rate_n_per_mm;
    if !(rate.is_finite() && rate > 0.0 && gap_mm >= 0.0 && stop_force_n >= 0.0) {
        return None;
    }
    let squeeze = (coil.free_length_mm - gap_mm).max(0.0);
    let gain = (squeeze - stop_force_n / rate).max(0.0);
    (squeeze.is_finite() && gain.is_finite()).then_some((rate * squeeze, gain))
}
