//! State that one phase passes to the next.

use std::collections::BTreeSet;

use crate::mouth::bite_figures::BiteFigures;
use crate::mouth::positions::Mouth;
use springline_units::tooth::Tooth;

/// State carried from one phase into the next.
#[derive(Debug, Clone)]
pub(crate) struct CarriedState {
    pub mouth: Mouth,
    /// Room still missing for the engaged teeth, once computed; and whether it was assumed.
    pub missing: Option<(f64, bool)>,
    pub released: BTreeSet<Tooth>,
    pub over_the_bite: BTreeSet<Tooth>,
    pub bite: BiteFigures,
}
