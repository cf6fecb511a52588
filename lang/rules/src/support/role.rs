//! What a wire does, told from the wire itself: the word of a step is a label, its wire does the work.

use super::strength::{is_at_least, is_rigid_alloy};
use crate::view::StepView;
use springline_model::step::StepKind;
use springline_model::stock::Wire;
use springline_units::quantity::mm;

/// Round wires of a rigid alloy work from this size on, in.
const WORKING_ROUND_IN: f64 = 0.018;

/// What a wire can do in an arch (common practice, no source).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WireRole {
    /// Round nickel-titanium, or strands: it brings crowns into line.
    Aligning,
    /// Light rectangular nickel-titanium, or thin steel.
    Levelling,
    /// Full-size rectangular, or stiff.
    Working,
}

pub fn role(wire: &Wire) -> WireRole {
    let round = wire.section.is_round();
    let strands = wire.alloy == springline_model::stock::Alloy::MultistrandSteel;
    if strands || (wire.alloy.is_niti() && round) {
        return WireRole::Aligning;
    }
    let full = match round {
        true => mm(wire.section.height()) >= WORKING_ROUND_IN * 25.4 - 1e-6,
        false if is_rigid_alloy(wire) => is_at_least(wire, 0.016, 0.022),
        false => is_at_least(wire, 0.018, 0.025),
    };
    if full { WireRole::Working } else { WireRole::Levelling }
}

/// The kind of a step as its wire has it: an aligning wire under the name of a working one aligns.
pub fn purpose(view: &StepView<'_>) -> StepKind {
    match (view.step.kind, role(&view.wire().wire)) {
        (kind @ (StepKind::Align | StepKind::Level), _) => kind,
        (_, WireRole::Aligning) => StepKind::Align,
        (_, WireRole::Levelling) => StepKind::Level,
        (kind, WireRole::Working) => kind,
    }
}
