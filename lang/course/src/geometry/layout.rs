//! Positions of crowns along the contact line and of their brackets along the slot line.
//!
//! Widths, gaps, crowding and the places of absent teeth are lengths of the contact line; each crown's bracket lies
//! beside it on the slot line ([`contact_line`](super::contact_line)).
//!
//! - **Neighbours**: centres are the mean of the crown widths apart; an entered width takes precedence
//!   over the textbook's.
//! - **Crowding**: crowded centres move together ([`crowding`](super::crowding)), and brackets stay 0.9 mm apart (the
//!   model of crowding with which the labelled arches of `lang/docs/limits.md` were made).
//! - **A gap, overlap or space** that was entered, measured or predicted takes precedence over all that. An overlap
//!   lessens with the displacement of its contact ([`crowding`](super::crowding)).
//! - **An absent tooth** without a known gap leaves a space that depends on its kind. An extracted one
//!   leaves its crown's width, the width of the extraction site until the neighbours are moved. So does an
//!   unerupted one: it is still to come, and its predecessor or the arch keeps its place. A missing one
//!   (never formed, or lost at an unknown time) leaves nothing: neighbours drift together, and an existing
//!   gap is what a clinician notices first and enters (common practice, no source).
//! - **The midline** is the contact between the last tooth of the right side and the first of the left.
//!   Spaces of absent teeth there are on their own sides; remaining overlap or gap is shared by the widths.
//! - **A turned crown** faces along the arch, and so does its bracket: by the sine of the turn times the distance of
//!   the two lines, 1.3 mm at 25 deg. Its crown stays where it is. A bracket that would come within 0.9 mm of the
//!   next is taken as bonded off-centre.
//! - **Brackets** without a width in the practice file: 4 mm for a tube, 2.5 mm on lower incisors, 3 mm
//!   elsewhere (common practice, no source).

use std::collections::{BTreeMap, BTreeSet};

use super::brackets::{BracketPosition, bracket_width_mm, put_on_slot_line};
use super::contact_line::arch_line;
use super::crowding::{crown, overlap_now_mm, taken_overlap_mm};
use crate::mouth::pair::pair;
use crate::mouth::positions::Mouth;
use crate::plan::state::{ArchState, ToothInState, ToothStatus, arch_state};
use springline_model::case::{ArchCase, ToothState};
use springline_units::tooth::{Side, Tooth};

/// One arch laid out along its line.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ArchLayout {
    /// From the patient's right to left.
    teeth: Vec<BracketPosition>,
    /// Width of the place that each absent tooth has left.
    absent: BTreeMap<Tooth, f64>,
}

impl ArchLayout {
    /// Layout of an arch in a state, with its teeth at the positions in `mouth`.
    pub fn of(case: &ArchCase, state: &ArchState, mouth: &Mouth) -> ArchLayout {
        let crowns = with_absent_before(state);
        let distances: Vec<f64> = crowns
            .windows(2)
            .map(|w| centre_distance_mm(case, mouth, w[0].0, w[1].0, &w[1].1))
            .collect();
        let mut places = vec![0.0; crowns.len()];
        for (i, distance) in distances.iter().enumerate() {
            places[i + 1] = places[i] + distance;
        }
        let absent = rooms(case, state, &crowns, mouth);
        let right = crowns.iter().filter(|(t, _)| t.tooth.side() == Side::Right).count();
        let midline = match right.checked_sub(1) {
            Some(last) => {
                places[last] + to_midline_mm(&crowns, right, distances.get(last), &absent, mouth)
            }
            None => crowns.first().map_or(0.0, |(t, _)| -0.5 * mouth.width_mm(t.tooth)),
        };
        let crowns: Vec<&ToothInState> = crowns.iter().map(|(t, _)| *t).collect();
        let mut teeth: Vec<BracketPosition> = crowns
            .iter()
            .zip(&places)
            .map(|(t, place)| BracketPosition {
                tooth: t.tooth,
                centre_mm: 0.0,
                crown_centre_mm: place - midline,
                crown_mm: mouth.width_mm(t.tooth),
                width_mm: if t.bonding.is_some() { bracket_width_mm(t) } else { 0.0 },
                in_wire: t.status.is_in_wire(),
            })
            .collect();
        let bonded: Vec<bool> = crowns.iter().map(|t| t.bonding.is_some()).collect();
        let turned: Vec<f64> = crowns.iter().map(|t| mouth.pose(t.tooth).rotated_rad).collect();
        put_on_slot_line(&mut teeth, &turned, &bonded, &arch_line(state.form.curve));
        ArchLayout { teeth, absent }
    }

    /// As the case describes it at the start, in its first step; `None` where it has none.
    pub fn entered(case: &ArchCase) -> Option<ArchLayout> {
        let state = arch_state(case, 0, &BTreeSet::new())?;
        Some(ArchLayout::of(case, &state, &Mouth::entered(case)))
    }

    /// All teeth with a crown, from the patient's right to left.
    pub fn teeth(&self) -> &[BracketPosition] {
        &self.teeth
    }

    /// Those that the base wire holds.
    pub fn in_wire(&self) -> impl Iterator<Item = &BracketPosition> {
        self.teeth.iter().filter(|t| t.in_wire)
    }

    pub fn tooth(&self, tooth: Tooth) -> Option<&BracketPosition> {
        self.teeth.iter().find(|t| t.tooth == tooth)
    }

    /// Middle of a tooth's bracket on the slot line, mm from the midline, the patient's left positive.
    pub fn station_mm(&self, tooth: Tooth) -> Option<f64> {
        self.tooth(tooth).map(|t| t.centre_mm)
    }

    /// From the middle of one tooth's bracket to that of another along the wire, mm.
    pub fn distance_mm(&self, a: Tooth, b: Tooth) -> Option<f64> {
        Some((self.station_mm(b)? - self.station_mm(a)?).abs())
    }

    /// Free wire between the brackets of two teeth, mm.
    pub fn free_wire_mm(&self, a: Tooth, b: Tooth) -> Option<f64> {
        let (a, b) = (self.tooth(a)?, self.tooth(b)?);
        let (right, left) = if a.centre_mm < b.centre_mm { (a, b) } else { (b, a) };
        Some((left.right_edge() - right.left_edge()).max(0.0))
    }

    /// Width of the place that an absent tooth has left, mm; `None` of a tooth that is there.
    pub fn room_of_absent_mm(&self, tooth: Tooth) -> Option<f64> {
        self.absent.get(&tooth).copied()
    }
}

/// Place that an absent tooth leaves between its neighbours where their gap is not known: the space entered for
/// it, else what its kind leaves.
pub(crate) fn left_by_absent_mm(case: &ArchCase, mouth: &Mouth, tooth: Tooth) -> f64 {
    let by_kind = || match case.states.get(&tooth).map(|(s, _)| *s) {
        Some(ToothState::Extracted { .. } | ToothState::Extract { .. } | ToothState::Unerupted) => {
            mouth.width_mm(tooth)
        }
        _ => 0.0,
    };
    mouth.spaces.get(&tooth).copied().unwrap_or_else(by_kind)
}

/// A tooth with a crown, and the absent ones just before it.
type WithAbsent<'a> = (&'a ToothInState, Vec<Tooth>);

fn with_absent_before(state: &ArchState) -> Vec<WithAbsent<'_>> {
    let mut out = Vec::with_capacity(16);
    let mut absent = Vec::new();
    for tooth in &state.teeth {
        if tooth.status == ToothStatus::Absent {
            absent.push(tooth.tooth);
        } else {
            out.push((tooth, std::mem::take(&mut absent)));
        }
    }
    out
}

/// From the last tooth of the right side to the midline; `left` is the index of the first of the left side.
fn to_midline_mm(
    crowns: &[WithAbsent<'_>],
    left: usize,
    distance: Option<&f64>,
    rooms: &BTreeMap<Tooth, f64>,
    mouth: &Mouth,
) -> f64 {
    let width = |i: usize| mouth.width_mm(crowns[i].0.tooth);
    let (Some(distance), Some((_, absent))) = (distance, crowns.get(left)) else {
        return 0.5 * width(left - 1);
    };
    // Spaces of absent teeth are on their own sides; remaining overlap or gap is shared.
    let room = |side: Side| -> f64 {
        absent.iter().filter(|t| t.side() == side).filter_map(|t| rooms.get(t)).sum()
    };
    let (on_right, on_left) = (room(Side::Right), room(Side::Left));
    let (a, b) = (width(left - 1), width(left));
    on_right + (distance - on_right - on_left) * a / (a + b)
}

/// The place of each absent tooth; several in one known gap share it by their crowns.
fn rooms(
    case: &ArchCase,
    state: &ArchState,
    crowns: &[WithAbsent<'_>],
    mouth: &Mouth,
) -> BTreeMap<Tooth, f64> {
    let absent = state.teeth.iter().filter(|t| t.status == ToothStatus::Absent);
    let mut out: BTreeMap<Tooth, f64> =
        absent.map(|t| (t.tooth, left_by_absent_mm(case, mouth, t.tooth))).collect();
    for (before, (after, absent)) in crowns.iter().zip(crowns.iter().skip(1)) {
        if let Some(gap) = mouth.gap_mm(before.0.tooth, after.tooth) {
            let all: f64 = absent.iter().map(|t| mouth.width_mm(*t)).sum();
            out.extend(absent.iter().map(|t| (*t, gap * (mouth.width_mm(*t) / all))));
        }
    }
    out
}

fn centre_distance_mm(
    case: &ArchCase,
    mouth: &Mouth,
    a: &ToothInState,
    b: &ToothInState,
    absent: &[Tooth],
) -> f64 {
    let (wa, wb) = (mouth.width_mm(a.tooth), mouth.width_mm(b.tooth));
    // Half the crown, or half the space there is for it where that is known.
    let half = |t: Tooth, w: f64| 0.5 * mouth.spaces.get(&t).copied().unwrap_or(w);
    let written = mouth.spaces.contains_key(&a.tooth) || mouth.spaces.contains_key(&b.tooth);
    let overlap = || overlap_now_mm(mouth, a.tooth, b.tooth).map(|overlap| -overlap);
    let open = mouth.gap_mm(a.tooth, b.tooth).or_else(overlap);
    let distance = match (open, absent.is_empty()) {
        (Some(gap), _) => 0.5 * (wa + wb) + gap,
        (None, false) => {
            let left = absent.iter().map(|t| left_by_absent_mm(case, mouth, *t));
            0.5 * (wa + wb) + left.sum::<f64>()
        }
        (None, true) if written => half(a.tooth, wa) + half(b.tooth, wb),
        (None, true) => {
            0.5 * (wa + wb) - taken_overlap_mm(&crown(a.tooth, mouth), &crown(b.tooth, mouth))
        }
    };
    let reduced = mouth.reduced.get(&pair(a.tooth, b.tooth)).copied().unwrap_or(0.0);
    (distance - reduced).max(0.1)
}

#[cfg(test)]
mod tests;
