//! Crowns that overlap along the contact line, as measured.
//!
//! A measured overlap lessens as its contact comes into line: in the proportion of the contact's displacement now to that
//! when it was measured. Where the contact was hardly displaced it stays: the straight crowns of a curved arch, or an
//! error of measuring. Where none was measured crowded centres move together by 0.35 of the contact displacement, at most
//! 1.2 mm (the model of crowding with which the labelled arches of `lang/docs/limits.md` were made; the 0.35 is a guess).

use crate::law::irregularity::{Crown, contact_displacement_mm};
use crate::mouth::pair::pair;
use crate::mouth::pose::ToothPose;
use crate::mouth::positions::Mouth;
use crate::plan::state::{ArchState, ToothStatus};
use springline_units::tooth::Tooth;

/// Under this a contact counts as in line: half a step of the entry grid (common practice, no source).
const IN_LINE_MM: f64 = 0.25;

/// Overlap of two crowns of which none was measured: so much of the displacement of their contact, and no more.
pub fn taken_overlap_mm(right: &Crown, left: &Crown) -> f64 {
    const SHARE: f64 = 0.35;
    const MOST_MM: f64 = 1.2;
    (SHARE * contact_displacement_mm(right, left)).min(MOST_MM)
}

/// The crown of a tooth at its position.
pub(crate) fn crown(tooth: Tooth, mouth: &Mouth) -> Crown {
    crown_at(tooth, mouth, mouth.pose(tooth))
}

fn crown_at(tooth: Tooth, mouth: &Mouth, pose: ToothPose) -> Crown {
    Crown {
        tooth,
        width_mm: mouth.width_mm(tooth),
        lingual_mm: pose.lingual_mm,
        rotated_rad: pose.rotated_rad,
    }
}

/// What is left of the overlap measured between two neighbours, mm; `None` where none was measured.
pub(crate) fn overlap_now_mm(mouth: &Mouth, a: Tooth, b: Tooth) -> Option<f64> {
    let (a, b) = pair(a, b);
    let measured = mouth.overlaps.get(&(a, b))?;
    let displaced =
        |of_a, of_b| contact_displacement_mm(&crown_at(a, mouth, of_a), &crown_at(b, mouth, of_b));
    let then = displaced(measured.poses.0, measured.poses.1);
    let now = displaced(mouth.pose(a), mouth.pose(b));
    let left = if then < IN_LINE_MM { 1.0 } else { (now / then).min(1.0) };
    Some(measured.length_mm * left)
}

/// The overlap, zero for a gap, at every contact between neighbours of an arch: only where each contact that is not in
/// line was measured, and at least one of them as an overlap.
pub(crate) fn measured_overlaps(
    state: &ArchState,
    mouth: &Mouth,
) -> Option<Vec<((Tooth, Tooth), f64)>> {
    let present: Vec<Tooth> =
        state.teeth.iter().filter(|t| t.status != ToothStatus::Absent).map(|t| t.tooth).collect();
    let contact = |w: &[Tooth]| {
        let between = (w[0], w[1]);
        if let Some(overlap) = overlap_now_mm(mouth, w[0], w[1]) {
            return Some((between, overlap));
        }
        let is_known = mouth.gap_mm(w[0], w[1]).is_some();
        let displaced = contact_displacement_mm(&crown(w[0], mouth), &crown(w[1], mouth));
        (is_known || displaced < 2.0 * IN_LINE_MM).then_some((between, 0.0))
    };
    if mouth.overlaps.is_empty() {
        return None;
    }
    present.windows(2).map(contact).collect()
}
