//! Stiffness of wires, for comparing steps and for the deflection under elastics.

pub use springline_course::setup::rigidity;
use springline_model::stock::{Alloy, Wire};
use springline_units::quantity::mm;

/// Stiff enough for what is left to count in millimetres: everything but the superelastic alloys.
pub fn is_rigid_alloy(wire: &Wire) -> bool {
    matches!(
        wire.alloy,
        Alloy::Steel | Alloy::CobaltChromium | Alloy::BetaTitanium | Alloy::MultistrandSteel
    )
}

/// Height at least, and depth at least, in inches.
pub fn is_at_least(wire: &Wire, height_in: f64, depth_in: f64) -> bool {
    mm(wire.section.height()) >= height_in * 25.4 - 1e-6
        && mm(wire.section.depth()) >= depth_in * 25.4 - 1e-6
}
