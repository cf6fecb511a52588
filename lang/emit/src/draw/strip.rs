//! Layout of the flat strip of an arch: widths to scale, as seen facing the patient, so that the
//! patient's right is on the left of the paper.

use crate::picture::{ArchPicture, Hold, MouthPicture, towards_left};
use springline_model::step::Spot;
use springline_units::tooth::{Arch, Side, Tooth};

/// Width of the whole drawing, mm.
pub const WIDTH: f64 = 186.0;
/// Left of the outermost tooth, for the wire's end and its words.
const MARGIN: f64 = 11.0;
/// Millimetres of paper for one of tooth; larger only wastes paper.
const LARGEST_SCALE: f64 = 1.75;
pub const CROWN_HEIGHT: f64 = 11.6;
/// Share of the crown's height, from the gum, where slot and wire lie.
const SLOT_AT: f64 = 0.59;
/// Where the wire runs past the half of a bracket that it does not enter.
const PASSING_AT: f64 = 0.88;
/// How far from the base wire a bracket is drawn that the wire runs past, towards the gum.
const PASSED: f64 = 3.1;

/// One tooth's box on paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToothBox {
    pub tooth: Tooth,
    pub left: f64,
    pub right: f64,
}

impl ToothBox {
    pub fn middle(&self) -> f64 {
        (self.left + self.right) / 2.0
    }

    pub fn width(&self) -> f64 {
        self.right - self.left
    }
}

/// The strip of one arch.
#[derive(Debug, Clone)]
pub struct Strip<'p, 'a> {
    pub picture: &'p ArchPicture<'a>,
    pub cells: Vec<ToothBox>,
    pub scale: f64,
    /// Paper heights of gum edge and biting edge.
    pub gum_y: f64,
    pub bite_y: f64,
}

impl Strip<'_, '_> {
    /// Height on paper at a share of the crown, 0 gum to 1 biting edge.
    pub fn y(&self, share: f64) -> f64 {
        self.gum_y + (self.bite_y - self.gum_y) * share
    }

    pub fn slot_y(&self) -> f64 {
        self.y(SLOT_AT)
    }

    pub fn passing_y(&self) -> f64 {
        self.y(PASSING_AT)
    }

    /// +1 where the gum lies further down the paper.
    pub fn to_gum(&self) -> f64 {
        if self.picture.arch == Arch::Upper { -1.0 } else { 1.0 }
    }

    pub fn cell(&self, tooth: Tooth) -> Option<&ToothBox> {
        self.cells.iter().find(|c| c.tooth == tooth)
    }

    /// Left and right edge of what is bonded to a tooth; of a sliver in its middle where nothing is.
    pub fn bracket(&self, tooth: Tooth) -> Option<(f64, f64)> {
        let cell = self.cell(tooth)?;
        let picture = self.picture.tooth(tooth)?;
        let bonded = !matches!(picture.hold, Hold::NotBonded | Hold::Absent(_));
        let half = match picture.attachment {
            Some(a) if bonded => (a.width_mm * self.scale).min(cell.width() * 0.86) / 2.0,
            _ => 0.4,
        };
        Some((cell.middle() - half, cell.middle() + half))
    }

    /// The free stretch between two teeth's brackets, left to right on paper.
    pub fn between(&self, a: Tooth, b: Tooth) -> Option<(f64, f64)> {
        let ((a0, a1), (b0, b1)) = (self.bracket(a)?, self.bracket(b)?);
        Some(if a0 <= b0 { (a1, b0) } else { (b1, a0) })
    }

    /// Where something sits on the wire against a bracket: the bracket's edge there, and -1 where
    /// it sits to the left of that edge on paper, else +1.
    pub fn spot(&self, spot: Spot) -> Option<(f64, f64)> {
        let (left, right) = self.bracket(spot.tooth)?;
        Some(if towards_left(spot.tooth, spot.along) { (right, 1.0) } else { (left, -1.0) })
    }

    /// Height of what is bonded to a tooth: beside the base wire where that runs straight past it.
    pub fn attachment_y(&self, hold: Hold) -> f64 {
        if passes_by(hold) { self.slot_y() + self.to_gum() * PASSED } else { self.slot_y() }
    }
}

/// The base wire does not enter this tooth's slot.
pub fn passes_by(hold: Hold) -> bool {
    matches!(hold, Hold::Passed | Hold::Overlay)
}

/// One scale for both arches, so that they can be compared by eye.
pub fn scale(mouth: &MouthPicture<'_>) -> f64 {
    let longest = mouth
        .arches()
        .flat_map(|a| [half_length(a, Side::Right), half_length(a, Side::Left)])
        .fold(1.0, f64::max);
    ((WIDTH / 2.0 - MARGIN) / longest).min(LARGEST_SCALE)
}

fn half_length(picture: &ArchPicture<'_>, side: Side) -> f64 {
    picture
        .teeth
        .iter()
        .map(|t| {
            let own = if t.tooth.side() == side { t.width_mm } else { 0.0 };
            let gap = t.gap_before_mm;
            let middle = t.tooth.side() == Side::Left && t.tooth.position() == 1;
            match (middle, t.tooth.side() == side) {
                (true, _) => own + gap / 2.0,
                (false, true) => own + gap,
                (false, false) => own,
            }
        })
        .sum()
}

/// Lays the teeth out from the middle of the paper, the patient's right to the left.
pub fn lay_out<'p, 'a>(
    picture: &'p ArchPicture<'a>,
    scale: f64,
    gum_y: f64,
    bite_y: f64,
) -> Strip<'p, 'a> {
    let mut cells = Vec::with_capacity(picture.teeth.len());
    let mut x = WIDTH / 2.0 - half_length(picture, Side::Right) * scale;
    for tooth in &picture.teeth {
        x += tooth.gap_before_mm * scale;
        let right = x + tooth.width_mm * scale;
        cells.push(ToothBox { tooth: tooth.tooth, left: x, right });
        x = right;
    }
    Strip { picture, cells, scale, gum_y, bite_y }
}
