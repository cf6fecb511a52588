//! Places of brackets on the slot line, beside the crowns that carry them.

use super::contact_line::{contact_station_mm, slot_station_mm};
use crate::plan::state::ToothInState;
use springline_mechanics::ArchLine;
use springline_units::anatomy::SLOT_BEFORE_CONTACTS_MM;
use springline_units::quantity::mm;
use springline_units::tooth::{Arch, Tooth};

/// Least free wire between two brackets, mm.
pub(super) const BRACKETS_APART_MM: f64 = 0.9;

/// A tooth with a crown in the arch, and what is bonded to it. Millimetres from the midline, the patient's left
/// positive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BracketPosition {
    pub tooth: Tooth,
    /// Middle of the bracket, along the slot line; where it would be, of a tooth without one.
    pub centre_mm: f64,
    /// Middle of the crown, along the contact line.
    pub crown_centre_mm: f64,
    pub crown_mm: f64,
    /// Of the bracket or tube; zero where there is none.
    pub width_mm: f64,
    /// The base wire holds it.
    pub in_wire: bool,
}

impl BracketPosition {
    pub fn right_edge(&self) -> f64 {
        self.centre_mm - self.width_mm / 2.0
    }

    pub fn left_edge(&self) -> f64 {
        self.centre_mm + self.width_mm / 2.0
    }
}

/// Puts brackets beside crowns that lie along the contact line in order, each turned by so much about its long axis
/// (left edge lingual positive).
pub fn put_on_slot_line(
    teeth: &mut [BracketPosition],
    turned_rad: &[f64],
    bonded: &[bool],
    line: &ArchLine,
) {
    put_brackets(teeth, bonded, line);
    face_along(teeth, bonded, turned_rad);
}

/// Each bracket beside its crown on the slot line; brackets that would be too near each other push the crowns beyond
/// them outwards.
fn put_brackets(teeth: &mut [BracketPosition], bonded: &[bool], line: &ArchLine) {
    for t in teeth.iter_mut() {
        t.centre_mm = slot_station_mm(line, t.crown_centre_mm);
    }
    let left = teeth.partition_point(|t| t.crown_centre_mm < 0.0);
    let lack = |teeth: &[BracketPosition], a: usize| {
        let apart = least_apart_mm(teeth, bonded, a);
        (apart - (teeth[a + 1].centre_mm - teeth[a].centre_mm)).max(0.0)
    };
    let push = |teeth: &mut [BracketPosition], by: f64| {
        for t in teeth.iter_mut().filter(|_| by != 0.0) {
            t.centre_mm += by;
            t.crown_centre_mm = contact_station_mm(line, t.centre_mm);
        }
    };
    if left > 0 && left < teeth.len() {
        let by = 0.5 * lack(teeth, left - 1);
        push(&mut teeth[..left], -by);
        push(&mut teeth[left..], by);
    }
    for a in left..teeth.len().saturating_sub(1) {
        let by = lack(teeth, a);
        push(&mut teeth[a + 1..], by);
    }
    for a in (0..left.saturating_sub(1)).rev() {
        let by = lack(teeth, a);
        push(&mut teeth[..=a], -by);
    }
}

/// Least distance of the centres of a tooth and the next, mm.
fn least_apart_mm(teeth: &[BracketPosition], bonded: &[bool], a: usize) -> f64 {
    match bonded[a] && bonded[a + 1] {
        true => 0.5 * (teeth[a].width_mm + teeth[a + 1].width_mm) + BRACKETS_APART_MM,
        false => 0.1,
    }
}

/// Moves the brackets of turned crowns to where these face, as far as there is room between them.
fn face_along(teeth: &mut [BracketPosition], bonded: &[bool], turned_rad: &[f64]) {
    let mut shifts: Vec<f64> = bonded
        .iter()
        .zip(turned_rad)
        .map(|(bonded, turn)| if *bonded { SLOT_BEFORE_CONTACTS_MM * turn.sin() } else { 0.0 })
        .collect();
    let room: Vec<f64> = (0..teeth.len().saturating_sub(1))
        .map(|a| teeth[a + 1].centre_mm - teeth[a].centre_mm - least_apart_mm(teeth, bonded, a))
        .collect();
    // A shift that is cut takes room from the bracket behind it, so cuts run along the arch; all of one round at once, so
    // that a mirrored arch is cut as its image.
    for _ in 0..teeth.len() {
        let mut kept = vec![1.0_f64; teeth.len()];
        for a in 0..room.len() {
            let lack = shifts[a] - shifts[a + 1] - room[a].max(0.0);
            let (towards, against) = (shifts[a].max(0.0), (-shifts[a + 1]).max(0.0));
            if lack > 0.0 {
                let share = 1.0 - lack / (towards + against);
                for (i, nears) in [(a, towards), (a + 1, against)] {
                    if nears > 0.0 {
                        kept[i] = kept[i].min(share);
                    }
                }
            }
        }
        shifts.iter_mut().zip(kept).for_each(|(shift, share)| *shift *= share);
    }
    for (tooth, shift) in teeth.iter_mut().zip(shifts) {
        tooth.centre_mm += shift;
    }
}

/// Width of a tooth's bracket or tube, mm: from the practice file, else a common one.
pub(super) fn bracket_width_mm(tooth: &ToothInState) -> f64 {
    let stock = tooth.bonding.as_ref().map(|b| &b.bracket);
    let written = stock.and_then(|b| b.width.of(tooth.tooth)).map(mm);
    written.filter(|w| w.is_finite() && *w >= 0.0).unwrap_or_else(|| {
        let lower_incisor = tooth.tooth.arch() == Arch::Lower && tooth.tooth.is_incisor();
        match stock {
            Some(b) if b.is_tube => 4.0,
            _ if lower_incisor => 2.5,
            _ => 3.0,
        }
    })
}
