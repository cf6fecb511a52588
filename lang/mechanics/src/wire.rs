//! A wire as it is inserted: stock, tandem partner, ends, and the bends made in it.

use super::{Law, WireSection};

/// A stock wire: outline and material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stock {
    /// Its outline.
    pub section: WireSection,
    /// Its material.
    pub law: Law,
}

/// One of the two edges of a slot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EdgeSide {
    /// The one towards the patient's right, of smaller station.
    Right,
    /// The one towards the patient's left.
    Left,
}

/// An edge of an engaged slot; where only one edge holds the wire, that one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SlotEdge {
    /// The [`Slot::id`](super::Slot) of its tooth.
    pub id: u16,
    /// Which of the two.
    pub side: EdgeSide,
}

/// What the length of wire between two edges may be, mm along the wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LengthLimit {
    /// No shorter: two stops about wire that cannot leave press their brackets apart.
    AtLeast(f64),
    /// No longer: stops outside two brackets, or ends that are cinched, draw them together.
    AtMost(f64),
}

/// A bound on the length of wire between two edges of slots: stops, cinched and turned-in ends. It acts from
/// one side only, and carries nothing while the wire keeps it. The teeth at its ends give along the arch as
/// they do labiolingually (range 0.05 to 0.2 mm/N; common practice, no source): where a wire is drawn
/// taut, the figure leans on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LengthBound {
    /// One end.
    pub from: SlotEdge,
    /// The other.
    pub to: SlotEdge,
    /// The bound.
    pub length: LengthLimit,
}

/// Whether transverse shear softens the wire (Timoshenko).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Shear {
    /// On for solid rectangular wires of linear alloys, off for all others.
    #[default]
    WhereStiff,
    /// On for any wire.
    On,
    /// Off for any wire.
    Off,
}

/// What is bent into the wire at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BendKind {
    /// Two opposite bends: the wire beyond (larger station) lies this much further gingival, mm.
    Step {
        /// mm, gingival positive.
        gingival_mm: f64,
    },
    /// The wire beyond lies this much further lingual, mm.
    InOut {
        /// mm, lingual positive.
        lingual_mm: f64,
    },
    /// A vertical bend: the wire beyond rises gingivally by this angle, rad.
    Tip {
        /// rad.
        rad: f64,
    },
    /// A horizontal bend: the wire beyond turns lingual by this angle, rad.
    Rotation {
        /// rad.
        rad: f64,
    },
    /// A twist: the wire beyond is rolled by this angle, rad, sense as [`SlotPose::torque_rad`](super::SlotPose).
    Torque {
        /// rad.
        rad: f64,
    },
}

/// A bend at a station of the arch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bend {
    /// Where it is, mm along the arch line from the midline; patient's left positive.
    pub station_mm: f64,
    /// What is bent, and by how much.
    pub kind: BendKind,
}

/// A curve bent into the wire in the sagittal plane, as if the whole arch form lay on a cylinder whose axis
/// runs from side to side: seen from the side it is an arc from the incisors to the molars, lying towards
/// the bite at the premolars and towards the gum at both ends. A reverse curve in a lower wire, an
/// accentuated one in an upper.
///
/// Where the wire runs backwards it is bent by the whole of it; where it crosses the midline it is only rolled,
/// crown to the lip; between them both in part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReverseCurve {
    /// Depth of the arc at the premolars, mm, over a chord of [`ReverseCurve::CHORD_MM`]; negative turns it
    /// over, premolars to the gum.
    pub depth_mm: f64,
}

impl ReverseCurve {
    /// Chord that the depth is read over, mm: from the incisors back to the molars, as the wire lies on the
    /// bench (common practice, no source).
    pub const CHORD_MM: f64 = 30.0;

    /// Curvature in the sagittal plane, 1/mm, gum on the inside.
    pub fn curvature_per_mm(&self) -> f64 {
        8.0 * self.depth_mm / (Self::CHORD_MM * Self::CHORD_MM)
    }
}

/// The wire in the arch, preformed to the arch line.
#[derive(Debug, Clone, PartialEq)]
pub struct ArchWire {
    /// The stock wire.
    pub stock: Stock,
    /// A second wire in the same slots.
    pub tandem: Option<Stock>,
    /// Bounds on lengths of wire between slots.
    pub bounds: Vec<LengthBound>,
    /// Bends placed in it, in any order.
    pub bends: Vec<Bend>,
    /// A curve over its whole length.
    pub reverse_curve: Option<ReverseCurve>,
    /// Whether shear softens it.
    pub shear: Shear,
}

impl ArchWire {
    /// A plain wire, free at both ends.
    pub fn new(section: WireSection, law: Law) -> ArchWire {
        ArchWire {
            stock: Stock { section, law },
            tandem: None,
            bounds: Vec::new(),
            bends: Vec::new(),
            reverse_curve: None,
            shear: Shear::WhereStiff,
        }
    }
}
