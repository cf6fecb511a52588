//! Error of positions entered as a word, assumed from a pattern, or read from points.

use crate::mouth::pose::ToothPose;
use springline_mechanics::StandError;
use springline_model::crowding::PATTERN_ERROR;
use springline_model::provenance::Origin;
use springline_model::stand::{Stand, StandAxis};

/// The errors of one tooth's entered position, with that position.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Coarse {
    lingual_mm: ErrorPart,
    gingival_mm: ErrorPart,
    rotated_rad: ErrorPart,
    tipped_rad: ErrorPart,
    /// The most that the error can be where points say it; an error of rounding is not added to theirs.
    points: Option<StandError>,
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
    /// Takes over a measurement: a figure replaces a word, and points replace both.
    pub fn enter(&mut self, pose: &ToothPose, stand: &Stand, origin: Origin) {
        let (mm, rad) = (PATTERN_ERROR.0, PATTERN_ERROR.1.to_radians());
        if origin == Origin::Pattern {
            *self = Coarse {
                lingual_mm: ErrorPart { error: mm, at: pose.lingual_mm.abs() },
                rotated_rad: ErrorPart { error: rad, at: pose.rotated_rad.abs() },
                ..Coarse::default()
            };
            return;
        }
        for (part, axis, at) in [
            (&mut self.lingual_mm, StandAxis::InOut, pose.lingual_mm),
            (&mut self.gingival_mm, StandAxis::UpDown, pose.gingival_mm),
            (&mut self.rotated_rad, StandAxis::Rotation, pose.rotated_rad),
            (&mut self.tipped_rad, StandAxis::Tip, pose.tipped_rad),
        ] {
            if stand.tells(axis) {
                let error = stand.error(axis).unwrap_or(0.0);
                let error = if axis.is_angle() { error.to_radians() } else { error };
                *part = ErrorPart { error, at: at.abs() };
            }
        }
        self.points = of_points(stand);
    }

    /// What is known of the largest error by the points, if it was read from points.
    pub fn points_most(&self) -> Option<StandError> {
        self.points
    }

    pub fn now(&self, pose: &ToothPose) -> StandError {
        StandError {
            lingual_mm: self.lingual_mm.now(pose.lingual_mm),
            gingival_mm: self.gingival_mm.now(pose.gingival_mm),
            rotated_rad: self.rotated_rad.now(pose.rotated_rad),
            tipped_rad: self.tipped_rad.now(pose.tipped_rad),
            ..StandError::default()
        }
    }
}

fn of_points(stand: &Stand) -> Option<StandError> {
    let errors = (!stand.errors.is_none()).then_some(stand.errors)?;
    let mm = |error: Option<f64>| error.unwrap_or(f64::INFINITY);
    Some(StandError {
        lingual_mm: mm(errors.in_out_mm),
        gingival_mm: mm(errors.up_down_mm),
        rotated_rad: mm(errors.rotated_deg).to_radians(),
        tipped_rad: mm(errors.tipped_deg).to_radians(),
        torque_rad: f64::INFINITY,
    })
}
