//! What is taken of crowns and brackets where the points do not show it.

use springline_units::anatomy::crown_prominence_mm;
use springline_units::tooth::{Arch, Tooth};

/// Figures by kind of tooth that turn points of a crown into the place of its slot.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasureAnatomy {
    /// Upper, lower; from the central incisor to the third molar, mm: middle of the face before the contact line.
    pub prominence_mm: [[f64; 8]; 2],
    /// Slot above incisal edge or buccal cusp, mm.
    pub slot_height_mm: [[f64; 8]; 2],
    /// Crown angulation in place, mesial, deg.
    pub angulation_deg: [[f64; 8]; 2],
}

impl Default for MeasureAnatomy {
    /// Prominences: Andrews LF. Straight Wire, 1989. Slot heights: common practice, no source. Angulations: Andrews LF.
    /// Am J Orthod 1972;62:296-309. All values from memory; third molars as second molars.
    fn default() -> Self {
        let of = |arch, place: usize| {
            let quadrant = if arch == Arch::Upper { 10 } else { 40 };
            Tooth::iso(quadrant + place as u32 + 1).map_or(0.0, crown_prominence_mm)
        };
        let row = |arch| std::array::from_fn(|place| of(arch, place));
        MeasureAnatomy {
            prominence_mm: [row(Arch::Upper), row(Arch::Lower)],
            slot_height_mm: [
                [5.0, 4.5, 5.0, 4.5, 4.0, 3.0, 2.0, 2.0],
                [4.0, 4.0, 4.5, 4.0, 3.5, 2.5, 2.5, 2.5],
            ],
            angulation_deg: [
                [5.0, 9.0, 11.0, 2.0, 2.0, 5.0, 5.0, 5.0],
                [2.0, 2.0, 5.0, 2.0, 2.0, 2.0, 2.0, 2.0],
            ],
        }
    }
}

impl MeasureAnatomy {
    /// The figures of a practice for crowns of the kind of a tooth, mm.
    #[must_use]
    pub fn with_prominence(mut self, tooth: Tooth, mm: f64) -> MeasureAnatomy {
        *cell(&mut self.prominence_mm, tooth) = mm;
        self
    }

    #[must_use]
    pub fn with_slot_height(mut self, tooth: Tooth, mm: f64) -> MeasureAnatomy {
        *cell(&mut self.slot_height_mm, tooth) = mm;
        self
    }
}

fn cell(table: &mut [[f64; 8]; 2], tooth: Tooth) -> &mut f64 {
    let row = usize::from(tooth.arch() == Arch::Lower);
    &mut table[row][usize::from(tooth.position()) - 1]
}

fn of(table: &[[f64; 8]; 2], tooth: Tooth) -> f64 {
    let row = usize::from(tooth.arch() == Arch::Lower);
    table[row][usize::from(tooth.position()) - 1]
}

impl MeasureAnatomy {
    pub(crate) fn prominence(&self, tooth: Tooth) -> f64 {
        of(&self.prominence_mm, tooth)
    }

    pub(crate) fn slot_height(&self, tooth: Tooth) -> f64 {
        of(&self.slot_height_mm, tooth)
    }

    pub(crate) fn angulation(&self, tooth: Tooth) -> f64 {
        of(&self.angulation_deg, tooth)
    }
}
