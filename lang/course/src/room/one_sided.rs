//! Room that one side of an arch lacks more than the other: as the front makes it, the midline goes to the other side.

use crate::geometry::crown;
use crate::law::irregularity::contact_displacement_mm;
use crate::mouth::positions::Mouth;
use crate::plan::state::{ArchState, ToothStatus};
use springline_units::tooth::{Side, Tooth};

/// Share of the room that one side makes more than the other by which the midline goes to that other side. An arch that
/// grows between molars that stay where they are carries it by half (geometry); where its two sides do not yield alike,
/// less or more (no source).
pub(crate) const PUSHED_OVER: [f64; 3] = [0.25, 0.5, 0.75];
/// Of the room that the front makes, the part that the right side takes more than the left: 1 where all is on the right,
/// -1 where all is on the left.
pub(crate) fn more_on_the_right(state: &ArchState, mouth: &Mouth) -> f64 {
    let (right, left) = lacking(state, mouth);
    if right + left > 0.0 { (right - left) / (right + left) } else { 0.0 }
}

/// What the teeth of the right and of the left side lack, mm: by written spaces, else in proportion to how far their
/// contacts are displaced.
fn lacking(state: &ArchState, mouth: &Mouth) -> (f64, f64) {
    let short = |t: Tooth| mouth.spaces.get(&t).map(|s| (mouth.width_mm(t) - s).max(0.0));
    let held: Vec<Tooth> = state.in_wire().map(|t| t.tooth).collect();
    let on = |side: Side, all: &[(Tooth, f64)]| -> f64 {
        all.iter().filter(|(t, _)| t.side() == side).map(|(_, mm)| mm).sum()
    };
    let written: Vec<(Tooth, f64)> = held.iter().filter_map(|t| Some((*t, short(*t)?))).collect();
    if !written.is_empty() {
        return (on(Side::Right, &written), on(Side::Left, &written));
    }
    let present = state.teeth.iter().filter(|t| t.status != ToothStatus::Absent);
    let crowns: Vec<_> = present.map(|t| crown(t.tooth, mouth)).collect();
    // The contact in the midline is of both sides.
    let contacts: Vec<(Tooth, f64)> = crowns
        .windows(2)
        .filter(|pair| pair[0].tooth.side() == pair[1].tooth.side())
        .filter(|pair| pair.iter().any(|c| c.tooth.is_anterior()))
        .map(|pair| (pair[0].tooth, contact_displacement_mm(&pair[0], &pair[1])))
        .collect();
    (on(Side::Right, &contacts), on(Side::Left, &contacts))
}
