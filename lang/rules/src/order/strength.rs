//! Stiffness of wires, for comparing steps and for the deflection under elastics.

use springline_course::setup::stock;
use springline_mechanics::closed::flexural_rigidity;
use springline_model::step::WireUse;
use springline_model::stock::{Alloy, Wire};
use springline_units::quantity::mm;

/// Bending stiffness up and down, N mm2, both wires of a tandem together.
pub fn rigidity(wire: &WireUse) -> f64 {
    of(&wire.wire) + wire.tandem.as_ref().map_or(0.0, |w| of(w))
}

fn of(wire: &Wire) -> f64 {
    let stock = stock(wire);
    flexural_rigidity(&stock.section, &stock.law).map_or(0.0, |(up_down, _)| up_down)
}

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
