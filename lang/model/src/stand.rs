//! Position of a tooth relative to its place on the arch line.

use serde::Serialize;

use super::stock::{Along, CrownTurn};
use springline_units::quantity::{Angle, Length, degrees, from_degrees, from_mm, mm};

/// Towards lip or tongue, with words that depend on jaw and tooth only in print.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum InOut {
    Labial,
    Lingual,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum UpDown {
    /// Towards the gum: a high tooth in either jaw.
    Gingival,
    Occlusal,
}

/// Direction of a rotation. `MesialIn` is the same as distal-out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Turn {
    MesialIn,
    MesialOut,
}

/// A displacement described in words instead of a measured figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Grade {
    Slightly,
    Clearly,
    Fully,
}

impl Grade {
    pub const ALL: [Grade; 3] = [Grade::Slightly, Grade::Clearly, Grade::Fully];

    pub fn word(self) -> &'static str {
        match self {
            Grade::Slightly => "slightly",
            Grade::Clearly => "clearly",
            Grade::Fully => "fully",
        }
    }

    /// The value assumed for the word, mm, and the half-width of its error: one millimetre is just
    /// visible, two are obvious, four place an edge fully behind or before the others. Common practice,
    /// no source.
    pub fn mm(self) -> (f64, f64) {
        match self {
            Grade::Slightly => (1.0, 0.5),
            Grade::Clearly => (2.0, 1.0),
            Grade::Fully => (4.0, 1.5),
        }
    }
}

/// A rotation described in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum TurnGrade {
    Slightly,
    Half,
    Across,
}

impl TurnGrade {
    pub const ALL: [TurnGrade; 3] = [TurnGrade::Slightly, TurnGrade::Half, TurnGrade::Across];

    pub fn word(self) -> &'static str {
        match self {
            TurnGrade::Slightly => "slightly",
            TurnGrade::Half => "half",
            TurnGrade::Across => "across",
        }
    }

    /// The value assumed for the word, degrees, and the half-width of its error: across is at right
    /// angles to the arch, half is half of that. Common practice, no source.
    pub fn degrees(self) -> (f64, f64) {
        match self {
            TurnGrade::Slightly => (15.0, 7.5),
            TurnGrade::Half => (45.0, 15.0),
            TurnGrade::Across => (90.0, 20.0),
        }
    }
}

/// A distance as entered: measured, or by a word with an assumed value.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Distance {
    Measured(Length),
    Graded(Grade),
}

impl Distance {
    pub fn length(self) -> Length {
        match self {
            Distance::Measured(length) => length,
            Distance::Graded(grade) => from_mm(grade.mm().0),
        }
    }

    /// Half-width of the error that the word itself has, mm; none for a figure.
    pub fn error_mm(self) -> Option<f64> {
        match self {
            Distance::Measured(_) => None,
            Distance::Graded(grade) => Some(grade.mm().1),
        }
    }
}

impl From<Length> for Distance {
    fn from(length: Length) -> Self {
        Distance::Measured(length)
    }
}

/// A rotation as it was entered.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Rotation {
    Measured(Angle),
    Graded(TurnGrade),
}

impl Rotation {
    pub fn angle(self) -> Angle {
        match self {
            Rotation::Measured(angle) => angle,
            Rotation::Graded(grade) => from_degrees(grade.degrees().0),
        }
    }

    /// Half-width of the error that the word itself has, degrees; none for a figure.
    pub fn error_deg(self) -> Option<f64> {
        match self {
            Rotation::Measured(_) => None,
            Rotation::Graded(grade) => Some(grade.degrees().1),
        }
    }
}

impl From<Angle> for Rotation {
    fn from(angle: Angle) -> Self {
        Rotation::Measured(angle)
    }
}

/// What a part of a tooth's place is about. Labial and lingual are two directions of one of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StandAxis {
    InOut,
    UpDown,
    Rotation,
    Tip,
    Torque,
    Width,
    Space,
}

impl StandAxis {
    /// In the order in which they are written.
    pub const ALL: [StandAxis; 7] = [
        StandAxis::InOut,
        StandAxis::UpDown,
        StandAxis::Rotation,
        StandAxis::Tip,
        StandAxis::Torque,
        StandAxis::Width,
        StandAxis::Space,
    ];

    /// As the beginning of a sentence.
    pub fn says(self) -> &'static str {
        match self {
            StandAxis::InOut => "How far the tooth is in or out",
            StandAxis::UpDown => "How high the tooth is",
            StandAxis::Rotation => "The rotation",
            StandAxis::Tip => "The tip",
            StandAxis::Torque => "The torque",
            StandAxis::Width => "The width",
            StandAxis::Space => "The space",
        }
    }

    /// Its figure is in degrees; else in mm.
    pub fn is_angle(self) -> bool {
        matches!(self, StandAxis::Rotation | StandAxis::Tip | StandAxis::Torque)
    }

    /// Its figure has no direction.
    pub fn is_room(self) -> bool {
        matches!(self, StandAxis::Width | StandAxis::Space)
    }
}

/// Amounts are never negative: the direction is a word.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Stand {
    pub in_out: Option<(Distance, InOut)>,
    pub up_down: Option<(Distance, UpDown)>,
    pub rotated: Option<(Rotation, Turn)>,
    pub tipped: Option<(Angle, Along)>,
    pub torque: Option<(Angle, CrownTurn)>,
    /// Mesiodistal crown width.
    pub width: Option<Length>,
    /// Space available for it between its neighbours.
    pub space: Option<Length>,
    /// Errors of what was read from points; none of what somebody wrote.
    #[serde(skip_serializing_if = "PointErrors::is_none")]
    pub errors: PointErrors,
}

/// Half-widths of the errors that picked points give the parts of a stand.
///
/// A part has one too where it was found in line, and so has no figure.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct PointErrors {
    pub in_out_mm: Option<f64>,
    pub up_down_mm: Option<f64>,
    pub rotated_deg: Option<f64>,
    pub tipped_deg: Option<f64>,
}

/// From edge or cusp to the gum point above it, mm: a clinical crown (common practice, no source).
const CROWN_HEIGHT_MM: f64 = 9.0;

impl PointErrors {
    /// Of a crown `width_mm` wide whose points have a standard deviation of `point_mm` in each coordinate.
    ///
    /// In-out and height err by as much as a point. Direction is that of the line between two points, so turn and tip
    /// err by the square root of two times that over their distance. Bands are drawn evenly between two ends, which lie
    /// the square root of three times as far out as a standard deviation.
    pub fn of_points(point_mm: f64, width_mm: f64) -> PointErrors {
        let half_width = 3.0_f64.sqrt() * point_mm;
        let turn = |over_mm: f64| Some((2.0_f64.sqrt() * half_width / over_mm).atan().to_degrees());
        PointErrors {
            in_out_mm: Some(half_width),
            up_down_mm: Some(half_width),
            rotated_deg: turn(width_mm.max(1.0)),
            tipped_deg: turn(CROWN_HEIGHT_MM),
        }
    }

    pub fn is_none(&self) -> bool {
        *self == PointErrors::default()
    }

    pub fn get(&self, axis: StandAxis) -> Option<f64> {
        match axis {
            StandAxis::InOut => self.in_out_mm,
            StandAxis::UpDown => self.up_down_mm,
            StandAxis::Rotation => self.rotated_deg,
            StandAxis::Tip => self.tipped_deg,
            StandAxis::Torque | StandAxis::Width | StandAxis::Space => None,
        }
    }

    pub fn without(mut self, axis: StandAxis) -> PointErrors {
        match axis {
            StandAxis::InOut => self.in_out_mm = None,
            StandAxis::UpDown => self.up_down_mm = None,
            StandAxis::Rotation => self.rotated_deg = None,
            StandAxis::Tip => self.tipped_deg = None,
            StandAxis::Torque | StandAxis::Width | StandAxis::Space => {}
        }
        self
    }
}

impl Stand {
    pub fn is_empty(&self) -> bool {
        *self == Stand::default()
    }

    /// One part as a signed figure, mm or degrees: lingual, gingival, mesial-in, mesial and crown-lingual are
    /// positive. `None` where it is not said.
    pub fn figure(&self, axis: StandAxis) -> Option<f64> {
        let signed = |size: f64, is_plus: bool| if is_plus { size } else { -size };
        match axis {
            StandAxis::InOut => {
                self.in_out.map(|(by, way)| signed(mm(by.length()), way == InOut::Lingual))
            }
            StandAxis::UpDown => {
                self.up_down.map(|(by, way)| signed(mm(by.length()), way == UpDown::Gingival))
            }
            StandAxis::Rotation => {
                self.rotated.map(|(by, way)| signed(degrees(by.angle()), way == Turn::MesialIn))
            }
            StandAxis::Tip => {
                self.tipped.map(|(by, way)| signed(degrees(by), way == Along::Mesial))
            }
            StandAxis::Torque => {
                self.torque.map(|(by, way)| signed(degrees(by), way == CrownTurn::CrownLingual))
            }
            StandAxis::Width => self.width.map(mm),
            StandAxis::Space => self.space.map(mm),
        }
    }

    /// The same with one part said by a signed figure, or no more said.
    pub fn with_figure(mut self, axis: StandAxis, figure: Option<f64>) -> Stand {
        fn pick<W>(value: f64, plus: W, minus: W) -> W {
            if value >= 0.0 { plus } else { minus }
        }
        let length = |value: f64| from_mm(value.abs());
        let angle = |value: f64| from_degrees(value.abs());
        self.errors = self.errors.without(axis);
        match axis {
            StandAxis::InOut => {
                self.in_out =
                    figure.map(|v| (length(v).into(), pick(v, InOut::Lingual, InOut::Labial)));
            }
            StandAxis::UpDown => {
                self.up_down =
                    figure.map(|v| (length(v).into(), pick(v, UpDown::Gingival, UpDown::Occlusal)));
            }
            StandAxis::Rotation => {
                self.rotated =
                    figure.map(|v| (angle(v).into(), pick(v, Turn::MesialIn, Turn::MesialOut)));
            }
            StandAxis::Tip => {
                self.tipped = figure.map(|v| (angle(v), pick(v, Along::Mesial, Along::Distal)));
            }
            StandAxis::Torque => {
                self.torque = figure
                    .map(|v| (angle(v), pick(v, CrownTurn::CrownLingual, CrownTurn::CrownLabial)));
            }
            StandAxis::Width => self.width = figure.map(length),
            StandAxis::Space => self.space = figure.map(length),
        }
        self
    }

    /// Half-width of the error of one part, mm or degrees: of the word it was said in, or of the points it was read
    /// from; none where a figure was written, or nothing is said.
    pub fn error(&self, axis: StandAxis) -> Option<f64> {
        let of_word = match axis {
            StandAxis::InOut => self.in_out.and_then(|(by, _)| by.error_mm()),
            StandAxis::UpDown => self.up_down.and_then(|(by, _)| by.error_mm()),
            StandAxis::Rotation => self.rotated.and_then(|(by, _)| by.error_deg()),
            _ => None,
        };
        of_word.or(self.errors.get(axis))
    }

    /// Whether one part is said, or was found in line by points.
    pub fn tells(&self, axis: StandAxis) -> bool {
        self.figure(axis).is_some() || self.errors.get(axis).is_some()
    }

    /// The later values where they are given, the earlier ones elsewhere.
    pub fn updated(self, later: Stand) -> Stand {
        let error =
            |axis| if later.tells(axis) { later.errors.get(axis) } else { self.errors.get(axis) };
        Stand {
            in_out: later.in_out.or(self.in_out),
            up_down: later.up_down.or(self.up_down),
            rotated: later.rotated.or(self.rotated),
            tipped: later.tipped.or(self.tipped),
            torque: later.torque.or(self.torque),
            width: later.width.or(self.width),
            space: later.space.or(self.space),
            errors: PointErrors {
                in_out_mm: error(StandAxis::InOut),
                up_down_mm: error(StandAxis::UpDown),
                rotated_deg: error(StandAxis::Rotation),
                tipped_deg: error(StandAxis::Tip),
            },
        }
    }
}
