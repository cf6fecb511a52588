//! Outcome of a phase: the reason why it ends, and what its visits found.

use crate::mouth::pose::ToothPose;
use crate::run::chair_reading::ChairReading;
use jiff::civil::Date;
use springline_model::case::Found;
use springline_units::tooth::Tooth;

/// Why a phase ends.
#[derive(Debug, Clone, PartialEq)]
pub enum EndReason {
    Passive,
    /// A stated time, or the settling time.
    Time,
    /// A measure is predicted to be reached: the condition as written.
    Measure {
        text: String,
    },
    /// The doctor decides; the date is that of the first review, assumed.
    Decided,
    /// The next phase is recorded in a visit.
    Recorded {
        visit: usize,
    },
    /// The condition is not reached within the predictable time.
    Never {
        why: String,
    },
}

/// A recorded visit's observation of this wire, with the prediction.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenWire {
    /// Index into the case's visits.
    pub visit: usize,
    pub on: Date,
    pub found: Option<Found>,
    /// Predicted share of patients whose wire is passive by that day.
    pub expected_passive: Option<f64>,
    /// The chair test as predicted for that day, before the visit.
    pub chair: Option<ChairReading>,
    /// Teeth whose measured pose replaced the predicted one: predicted, measured.
    pub replaced: Vec<(Tooth, ToothPose, ToothPose)>,
}
