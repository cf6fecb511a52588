//! How two neighbours stand to each other along the contact line: apart, or overlapping.

use serde::Serialize;

use springline_text::Place;
use springline_units::quantity::Length;
use springline_units::tooth::Tooth;

/// The crowns of two neighbours in the arch stand so far apart.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Gap {
    pub first: Tooth,
    pub second: Tooth,
    pub length: Length,
    pub place: Place,
}

/// How far the crowns of two neighbours overlap along the contact line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Overlap {
    pub first: Tooth,
    pub second: Tooth,
    /// So much nearer are their middles than half of both widths.
    pub length: Length,
    pub place: Place,
}
