//! What the table of forces says of a wire beyond the figures of its phase.

use crate::run::insertion::{InsertionBands, bands};
use crate::setup::arch_setup::unfitted;
use crate::setup::measured::fitted;
use crate::timeline::phase::Phase;
use springline_mechanics::{Fit, Refusal, Spread};
use springline_model::stock::Wire;
use springline_units::quantity::mm;

/// Ranges of a phase's figures, and the law fitted to the house's own curve of its wire.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PhaseFigures {
    /// `None` where none were asked for, or the wire has no figures.
    pub bands: Option<InsertionBands>,
    /// `None` where the house has measured no curve.
    pub fit: Option<Result<Fit, Refusal>>,
}

/// With bands the wire is solved some hundred times more.
pub fn phase_figures(phase: &Phase, with_bands: bool) -> PhaseFigures {
    let wire = &phase.wire.wire;
    let wanted = with_bands && phase.insertion.refused.is_none();
    PhaseFigures {
        bands: wanted.then(|| bands(&phase.setup, &spread(wire))).flatten(),
        fit: fitted(wire, &unfitted(wire)),
    }
}

/// The default spread, with the wire's own tolerance where the house gives one.
fn spread(wire: &Wire) -> Spread {
    let own = wire.tolerance.map(|t| mm(t) / mm(wire.section.height()));
    let common = Spread::default();
    Spread { wire_size: own.map_or(common.wire_size, |share| share.clamp(0.0, 0.2)), ..common }
}
