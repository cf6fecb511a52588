//! Error of positions entered as a word or assumed from a pattern.

use crate::mouth::pose::ToothPose;
use springline_mechanics::StandError;
use springline_model::crowding::PATTERN_ERROR;
use springline_model::provenance::Origin;
use springline_model::stand::Stand;

/// The errors of one tooth's entered position, with that position.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Coarse {
    lingual_mm: ErrorPart,
    gingival_mm: ErrorPart,
    rotated_rad: ErrorPart,
}

/// Half-width of an error, and the displacement it was entered with.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct ErrorPart {
    error: f64,
    at: f64,
}

impl ErrorPart {
    /// The error shrinks in proportion as the tooth is aligned; none is left where the wire determines
    /// the position.
    fn now(self, off: f64) -> f64 {
        if self.at > 0.0 { self.error * (off.abs() / self.at).min(1.0) } else { self.error }
    }
}

impl Coarse {
    /// Takes over a measurement: a figure replaces a word.
    pub fn enter(&mut self, pose: &ToothPose, stand: &Stand, origin: Origin) {
        let (mm, rad) = (PATTERN_ERROR.0, PATTERN_ERROR.1.to_radians());
        if origin == Origin::Pattern {
            *self = Coarse {
                lingual_mm: ErrorPart { error: mm, at: pose.lingual_mm.abs() },
                gingival_mm: ErrorPart::default(),
                rotated_rad: ErrorPart { error: rad, at: pose.rotated_rad.abs() },
            };
            return;
        }
        if let Some((by, _)) = stand.in_out {
            let error = by.error_mm().unwrap_or(0.0);
            self.lingual_mm = ErrorPart { error, at: pose.lingual_mm.abs() };
        }
        if let Some((by, _)) = stand.up_down {
            let error = by.error_mm().unwrap_or(0.0);
            self.gingival_mm = ErrorPart { error, at: pose.gingival_mm.abs() };
        }
        if let Some((by, _)) = stand.rotated {
            let error = by.error_deg().unwrap_or(0.0).to_radians();
            self.rotated_rad = ErrorPart { error, at: pose.rotated_rad.abs() };
        }
    }

    pub fn now(&self, pose: &ToothPose) -> StandError {
        StandError {
            lingual_mm: self.lingual_mm.now(pose.lingual_mm),
            gingival_mm: self.gingival_mm.now(pose.gingival_mm),
            rotated_rad: self.rotated_rad.now(pose.rotated_rad),
            ..StandError::default()
        }
    }
}
