//! Irregularity index of the six front teeth: the sum of five contact displacements in the plane of the
//! arch.
//!
//! Definition: Little RM, Am J Orthod 1975;68(5):554-563; vertical displacement is ignored.
//!
//! Positions are those of slots, and contacts lie [`SLOT_BEFORE_CONTACTS_MM`] lingual of them along the crown's own
//! facial normal. So a crown that is turned about its slot has its contacts nearer the lip: at 25 deg by 0.28 mm,
//! and displaced along the arch by 1.3 mm, which the layout counts (`geometry/layout.rs`).

use springline_units::anatomy::SLOT_BEFORE_CONTACTS_MM;
use springline_units::tooth::Tooth;

/// One crown: its width and the labiolingual position of its slot.
#[derive(Debug, Clone, Copy)]
pub struct Crown {
    pub tooth: Tooth,
    pub width_mm: f64,
    pub lingual_mm: f64,
    pub rotated_rad: f64,
}

impl Crown {
    /// How far lingual of the contact line the middle between the two contacts is.
    fn middle_mm(&self) -> f64 {
        self.lingual_mm - SLOT_BEFORE_CONTACTS_MM * (1.0 - self.rotated_rad.cos())
    }

    /// How far lingual the contact towards the patient's left is.
    fn left_contact_mm(&self) -> f64 {
        self.middle_mm() + 0.5 * self.width_mm * self.rotated_rad.sin()
    }

    fn right_contact_mm(&self) -> f64 {
        self.middle_mm() - 0.5 * self.width_mm * self.rotated_rad.sin()
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

#[cfg(test)]
mod tests {
    use super::*;

    fn crown(lingual_mm: f64, deg: f64) -> Crown {
        let tooth = Tooth::iso(41).unwrap();
        Crown { tooth, width_mm: 5.0, lingual_mm, rotated_rad: f64::to_radians(deg) }
    }

    /// Turned by 25 deg the contacts stand 3 (1 - cos 25) = 0.28 mm nearer the lip than the slot is displaced.
    #[test]
    fn a_crown_turns_about_its_slot_and_not_about_its_contacts() {
        let (in_line, turned) = (crown(0.0, 0.0), crown(0.0, 25.0));
        let edge = 2.5 * f64::to_radians(25.0).sin();
        let right = contact_displacement_mm(&in_line, &turned);
        let left = contact_displacement_mm(&turned, &in_line);
        assert!((right - (edge + 0.281)).abs() < 1e-3, "{right}");
        assert!((left - (edge - 0.281)).abs() < 1e-3, "{left}");
        assert_eq!(contact_displacement_mm(&crown(1.0, 0.0), &in_line), 1.0);
    }
}
