//! Points as they were read: in mm, by tooth and kind.

use std::collections::{BTreeMap, BTreeSet};

use springline_text::{FileId, Place};
use springline_units::tooth::{Arch, Tooth};

/// One point, and the line that gives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PickedPoint {
    /// mm, on the axes of the scan or picture.
    pub at: [f64; 3],
    pub place: Place,
}

/// The points of one tooth.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PickedTooth {
    pub mesial: Option<PickedPoint>,
    pub distal: Option<PickedPoint>,
    /// Middle of the crown's face, where the bracket sits.
    pub facial: Option<PickedPoint>,
    /// Middle of the edge, or cusps.
    pub cusps: Vec<PickedPoint>,
    /// At the gum, above or below the face.
    pub gum: Option<PickedPoint>,
}

impl PickedTooth {
    /// The first line that speaks of it.
    pub fn place(&self) -> Option<Place> {
        let own = [self.mesial, self.distal, self.facial, self.gum];
        let points = own.into_iter().flatten().chain(self.cusps.iter().copied());
        points.map(|p| p.place).min()
    }
}

/// All points of one file.
#[derive(Debug, Clone, PartialEq)]
pub struct PointTable {
    pub file: FileId,
    pub teeth: BTreeMap<Tooth, PickedTooth>,
    /// Contacts picked once for both teeth, from the patient's right to left.
    pub shared: BTreeSet<(Tooth, Tooth)>,
    /// A photograph: no heights.
    pub is_flat: bool,
    /// Both arches lie in one file as they bite.
    pub is_of_one_file: bool,
}

impl PointTable {
    /// Tables of several files together; `None` where two speak of one tooth. What both arches say of the bite is read
    /// only from one file, in which they lie as they bite.
    pub fn joined(tables: Vec<PointTable>) -> Option<PointTable> {
        let mut all = tables.into_iter();
        let mut out = all.next()?;
        for table in all {
            if table.teeth.keys().any(|t| out.teeth.contains_key(t)) {
                return None;
            }
            out.teeth.extend(table.teeth);
            out.shared.extend(table.shared);
            out.is_flat |= table.is_flat;
            out.is_of_one_file = false;
        }
        Some(out)
    }

    pub fn arches(&self) -> Vec<Arch> {
        let has = |arch: &Arch| self.teeth.keys().any(|t| t.arch() == *arch);
        [Arch::Upper, Arch::Lower].into_iter().filter(has).collect()
    }
}
