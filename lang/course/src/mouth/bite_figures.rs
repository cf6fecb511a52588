//! The bite in figures.

use springline_model::case::{Bite, Relation};
use springline_model::step::{Midline, MidlineReference};
use springline_units::quantity::mm;
use springline_units::tooth::{Arch, Side};

/// A measure of how the arches meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BiteFigure {
    /// Negative: reversed.
    Overjet,
    /// Negative: open.
    Overbite,
    /// How far Class II; negative: Class III.
    Molars(Side),
    Canines(Side),
    /// Off the face, positive towards the patient's left.
    Midline(Arch),
}

impl BiteFigure {
    pub const ALL: [BiteFigure; 8] = [
        BiteFigure::Overjet,
        BiteFigure::Overbite,
        BiteFigure::Molars(Side::Right),
        BiteFigure::Molars(Side::Left),
        BiteFigure::Canines(Side::Right),
        BiteFigure::Canines(Side::Left),
        BiteFigure::Midline(Arch::Upper),
        BiteFigure::Midline(Arch::Lower),
    ];

    fn index(self) -> usize {
        BiteFigure::ALL.iter().position(|f| *f == self).unwrap_or(0)
    }
}

/// Every figure of the bite that is known, mm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct BiteFigures([Option<f64>; 8]);

impl BiteFigures {
    pub fn of(bite: &Bite) -> BiteFigures {
        let mut out = BiteFigures::default();
        out.replace(bite);
        out
    }

    pub fn get(&self, figure: BiteFigure) -> Option<f64> {
        self.0[figure.index()]
    }

    pub fn set(&mut self, figure: BiteFigure, mm: Option<f64>) {
        self.0[figure.index()] = mm;
    }

    pub fn add(&mut self, figure: BiteFigure, mm: f64) {
        if let Some(value) = &mut self.0[figure.index()] {
            *value += mm;
        }
    }

    /// Puts what was measured in place of what was there.
    pub fn replace(&mut self, bite: &Bite) {
        for figure in BiteFigure::ALL {
            if let Some(value) = measured(bite, figure) {
                self.set(figure, value);
            }
        }
    }

    pub fn midline(&mut self, arch: Arch, line: &Midline) {
        if let Some(off) = midline_mm(line) {
            self.set(BiteFigure::Midline(arch), Some(off));
        }
    }
}

/// `Some(None)`: said, but without a figure.
fn measured(bite: &Bite, figure: BiteFigure) -> Option<Option<f64>> {
    match figure {
        BiteFigure::Overjet => bite.overjet.map(|(jet, _)| Some(jet.mm())),
        BiteFigure::Overbite => match (bite.overbite, bite.open_bite) {
            (Some((l, _)), _) => Some(Some(mm(l))),
            (None, Some((l, _))) => Some(Some(-mm(l))),
            (None, None) => None,
        },
        BiteFigure::Molars(side) => bite.molars.get(&side).map(Relation::mm),
        BiteFigure::Canines(side) => bite.canines.get(&side).map(Relation::mm),
        BiteFigure::Midline(arch) => bite.midlines.get(&arch).map(|(line, _)| midline_mm(line)),
    }
}

/// Off the face, towards the patient's left; what is measured against the other arch is not of the face.
pub(crate) fn midline_mm(line: &Midline) -> Option<f64> {
    let off = mm(line.off);
    let signed = if line.side == Side::Left { off } else { -off };
    (line.reference == MidlineReference::Face).then_some(signed)
}
