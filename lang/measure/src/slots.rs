//! Where the slot of a crown would lie, seen from the bite.

use crate::anatomy::MeasureAnatomy;
use crate::picks::CrownPicks;
use springline_units::anatomy::SLOT_BEFORE_CONTACTS_MM;
use springline_units::tooth::Tooth;

/// A crown in the plane of the arch, in the arch's own frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CrownInPlane {
    pub tooth: Tooth,
    pub right: [f64; 2],
    pub left: [f64; 2],
    /// Middle between the contacts.
    pub middle: [f64; 2],
    pub slot: [f64; 2],
    /// Unit vector from its right to its left contact.
    pub along: [f64; 2],
    /// How far the facial point lies before the usual place of this crown's face, and beside the crown's middle, mm.
    pub facial_off: Option<[f64; 2]>,
}

impl CrownInPlane {
    /// The slot lies before the facial point by what a bracket adds on such a crown; without a facial point before the
    /// middle of the contacts. So a crown thicker than usual carries its bracket farther out; a kind of tooth that is
    /// prominent does not, as its bracket is thinner.
    pub fn of(crown: &CrownPicks, anatomy: &MeasureAnatomy) -> CrownInPlane {
        let flat = |p: [f64; 3]| [p[0], p[1]];
        let (right, left) = (flat(crown.right), flat(crown.left));
        let by = [left[0] - right[0], left[1] - right[1]];
        let length = by[0].hypot(by[1]).max(1e-9);
        let along = [by[0] / length, by[1] / length];
        let outward = [along[1], -along[0]];
        let middle = [0.5 * (left[0] + right[0]), 0.5 * (left[1] + right[1])];
        let before =
            |from: [f64; 2], mm: f64| [from[0] + mm * outward[0], from[1] + mm * outward[1]];
        let prominence = anatomy.prominence(crown.tooth);
        let facial = crown.facial.map(flat);
        let slot = match facial {
            Some(facial) => before(facial, SLOT_BEFORE_CONTACTS_MM - prominence),
            None => before(middle, SLOT_BEFORE_CONTACTS_MM),
        };
        let facial_off = facial.map(|f| {
            let off = [f[0] - middle[0], f[1] - middle[1]];
            [
                off[0] * outward[0] + off[1] * outward[1] - prominence,
                off[0] * along[0] + off[1] * along[1],
            ]
        });
        CrownInPlane { tooth: crown.tooth, right, left, middle, slot, along, facial_off }
    }
}
