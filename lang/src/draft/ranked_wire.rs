//! A wire of the drawer with its stiffness.

use std::sync::Arc;

use super::draft_step::DraftStep;
use springline_course::setup::rigidity;
use springline_model::Wire;
use springline_model::step::WireUse;

/// A wire of the drawer with its stiffness.
#[derive(Debug, Clone)]
pub struct RankedWire {
    pub step: DraftStep,
    pub rigidity: f64,
}

fn alone(wire: &Arc<Wire>) -> WireUse {
    WireUse { wire: wire.clone(), tandem: None, kept: false }
}

pub fn ranked(wire: &Arc<Wire>) -> RankedWire {
    RankedWire { step: DraftStep::plain(wire), rigidity: rigidity(&alone(wire)) }
}
