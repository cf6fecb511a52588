//! From the plane of an arch to the paper: the patient's right on the left, the upper incisors at the top and the
//! lower ones at the bottom, as an open mouth shows its arches to whoever looks in.

use super::super::list::{Point, at};
use springline_course::on_demand::{OcclusalArch, Placed};
use springline_units::tooth::Arch;

/// Paper round an arch, mm: for numbers, ends and words.
const MARGIN: f64 = 4.5;

/// How one arch lies on the paper.
#[derive(Debug, Clone, Copy)]
pub struct OcclusalPage {
    arch: Arch,
    /// Millimetres of paper for one of the mouth.
    pub scale: f64,
    /// Where the midline of the slot line lies.
    origin: Point,
    corner: Point,
    pub width: f64,
    pub height: f64,
}

impl OcclusalPage {
    /// So wide, with its upper left corner at a point.
    pub fn of(arch: &OcclusalArch, scale: f64, corner: Point, width: f64) -> OcclusalPage {
        let [_, deep, front] = extent(arch);
        let height = (deep + front) * scale + 2.0 * MARGIN;
        let from_front = front * scale + MARGIN;
        let y = match arch.arch {
            Arch::Upper => corner.y + from_front,
            Arch::Lower => corner.y + height - from_front,
        };
        OcclusalPage {
            arch: arch.arch,
            scale,
            origin: at(corner.x + width / 2.0, y),
            corner,
            width,
            height,
        }
    }

    /// A place in the plane of the arch, on paper.
    pub fn put(&self, [left, inward]: [f64; 2]) -> Point {
        let down = if self.arch == Arch::Upper { inward } else { -inward };
        at(self.origin.x + left * self.scale, self.origin.y + down * self.scale)
    }

    /// A place beside something that stands there: along its own axis, and to its inner side, mm of the mouth.
    pub fn beside(&self, placed: &Placed, along: f64, inward: f64) -> Point {
        let (sin, cos) = placed.turn_rad.sin_cos();
        let [x, y] = placed.at_mm;
        self.put([x + along * cos - inward * sin, y + along * sin + inward * cos])
    }

    /// The paper that the arch has to itself.
    pub fn sheet(&self) -> PaperBox {
        let Point { x: left, y: top } = self.corner;
        PaperBox { left, top, right: left + self.width, bottom: top + self.height }
    }

    /// Millimetres of paper as millimetres of the mouth.
    pub fn paper(&self, mm: f64) -> f64 {
        mm / self.scale
    }
}

/// A part of the paper, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PaperBox {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl PaperBox {
    pub fn has(&self, p: Point) -> bool {
        (self.left..=self.right).contains(&p.x) && (self.top..=self.bottom).contains(&p.y)
    }

    pub fn meets(&self, other: &PaperBox) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    pub fn holds(&self, other: &PaperBox) -> bool {
        self.left <= other.left
            && other.right <= self.right
            && self.top <= other.top
            && other.bottom <= self.bottom
    }

    pub fn grown(&self, by: f64) -> PaperBox {
        PaperBox {
            left: self.left - by,
            top: self.top - by,
            right: self.right + by,
            bottom: self.bottom + by,
        }
    }

    /// The other one, moved sideways as far as this one needs to hold it.
    pub fn taking(&self, other: &PaperBox) -> PaperBox {
        let by = (self.left - other.left).max(0.0) + (self.right - other.right).min(0.0);
        PaperBox { left: other.left + by, right: other.right + by, ..*other }
    }
}

/// To the side, inward and outward of the midline of the slot line, mm.
fn extent(arch: &OcclusalArch) -> [f64; 3] {
    let mut out = [1.0_f64, 1.0, 3.0];
    let crowns = arch.crowns.iter().map(|c| c.placed(&c.pose.value).at_mm);
    for [x, y] in arch.line.iter().copied().chain(crowns) {
        out = [out[0].max(x.abs()), out[1].max(y), out[2].max(-y)];
    }
    out
}

/// The scale at which an arch is so wide on paper at most.
pub fn scale_within(arch: &OcclusalArch, width: f64, most: f64) -> f64 {
    let [wide, ..] = extent(arch);
    ((width / 2.0 - MARGIN) / wide).min(most)
}
