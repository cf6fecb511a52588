//! The linear open-coil spring.

/// A helical spring of round wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenCoil {
    /// Diameter of the spring's own wire, mm.
    pub wire_mm: f64,
    /// Mean diameter of the coil, mm.
    pub mean_coil_mm: f64,
    /// Turns that give; above zero.
    pub active_turns: f64,
    /// Shear modulus of the spring's wire, MPa.
    pub shear_modulus_mpa: f64,
    /// Length with no force on it, mm.
    pub free_length_mm: f64,
}

impl OpenCoil {
    /// `G d^4 / (8 D^3 n)`, N/mm.
    pub fn rate_n_per_mm(&self) -> f64 {
        self.shear_modulus_mpa * self.wire_mm.powi(4)
            / (8.0 * self.mean_coil_mm.powi(3) * self.active_turns)
    }
}

/// Rate N/mm, force N squeezed into `gap_mm`, and the space in mm that it gains until its force has
/// fallen to `stop_force_n` (zero when it starts under it).
pub fn open_coil(coil: &OpenCoil, gap_mm: f64, stop_force_n: f64) -> Option<(f64, f64, f64)> {
    let rate = coil.rate_n_per_mm();
    if !(rate.is_finite() && rate > 0.0 && gap_mm >= 0.0 && stop_force_n >= 0.0) {
        return None;
    }
    let squeeze = (coil.free_length_mm - gap_mm).max(0.0);
    let gain = (squeeze - stop_force_n / rate).max(0.0);
    (squeeze.is_finite() && gain.is_finite()).then_some((rate, rate * squeeze, gain))
}
