//! Irregularity index of the six front teeth: the sum of five contact displacements in the plane of the
//! arch.
//!
//! Definition: Little RM, Am J Orthod 1975;68(5):554-563; vertical displacement is ignored.

use springline_units::tooth::Tooth;

/// One crown: its width and labiolingual position.
#[derive(Debug, Clone, Copy)]
pub struct Crown {
    pub tooth: Tooth,
    pub width_mm: f64,
    pub lingual_mm: f64,
    pub rotated_rad: f64,
}

impl Crown {
    /// How far lingual the contact towards the patient's left is.
    fn left_contact_mm(&self) -> f64 {
        self.lingual_mm + 0.5 * self.width_mm * self.rotated_rad.sin()
    }

    fn right_contact_mm(&self) -> f64 {
        self.lingual_mm - 0.5 * self.width_mm * self.rotated_rad.sin()
    }
}

/// Labiolingual distance between the contacts of two neighbours, mm; `right` is the one nearer the
/// patient's right.
pub fn contact_displacement_mm(right: &Crown, left: &Crown) -> f64 {
    (right.left_contact_mm() - left.right_contact_mm()).abs()
}

/// The index over the front teeth among `crowns` (in order along the arch): five contacts when all
/// six are there, fewer otherwise.
pub fn index_mm(crowns: &[Crown]) -> f64 {
    crowns
        .windows(2)
        .filter(|pair| pair.iter().all(|c| c.tooth.is_anterior()))
        .map(|pair| contact_displacement_mm(&pair[0], &pair[1]))
        .sum()
}
