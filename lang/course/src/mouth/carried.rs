//! State that one phase passes to the next.

use std::collections::BTreeSet;

use crate::mouth::positions::Mouth;
use springline_units::tooth::Tooth;

/// What is carried from one phase into the next.
#[derive(Debug, Clone)]
pub(crate) struct CarriedState {
    pub mouth: Mouth,
    /// Room still missing for the teeth in the wire, once reckoned; and whether it was assumed.
    pub missing: Option<(f64, bool)>,
    pub released: BTreeSet<Tooth>,
    pub over_the_bite: BTreeSet<Tooth>,
    /// Negative where the lower front teeth bite in front.
    pub overjet_mm: Option<f64>,
    pub overbite_mm: Option<f64>,
}
