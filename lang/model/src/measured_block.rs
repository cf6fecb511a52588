//! What a tool read from picked points, as its block in the case says it.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use super::contact::{Gap, Overlap};
use super::stand::Stand;
use springline_text::Place;
use springline_units::quantity::Length;
use springline_units::tooth::Tooth;

/// What the points were picked on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum PointsSource {
    Scan,
    /// From the bite: no heights.
    Photograph,
    Cast,
}

impl PointsSource {
    pub fn word(self) -> &'static str {
        match self {
            PointsSource::Scan => "scan",
            PointsSource::Photograph => "photograph",
            PointsSource::Cast => "cast",
        }
    }
}

/// One reading: where from, how exact, and what it says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasuredBlock {
    pub on: Date,
    pub source: PointsSource,
    /// Name of the file of points, beside the case.
    pub file: String,
    /// The first digits of that file's fingerprint.
    pub fingerprint: String,
    /// Standard deviation of each coordinate of a point.
    pub error: Length,
    /// With the errors that the points give them.
    pub stands: BTreeMap<Tooth, (Stand, Place)>,
    pub gaps: Vec<Gap>,
    pub overlaps: Vec<Overlap>,
    /// The line that opens the block, and the name of the file in it.
    pub place: Place,
    pub file_place: Place,
}
