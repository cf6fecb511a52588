//! Teeth that a wire blocked between two stops pushes along the arch, or one that its bent ends keep short draws.

use crate::law::periodontium::projected_area_mm2;
use crate::mouth::positions::Mouth;
use crate::plan::state::{ArchState, ToothStatus};
use crate::setup::arch_setup::ArchSetup;
use springline_mechanics::Solution;
use springline_units::tooth::Tooth;

/// Open space beside a tooth that stops a push, mm: half a step of the entry grid.
const OPEN_MM: f64 = 0.25;

/// The teeth that go together when a stop runs into the bracket of the first, or a bent end draws it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PushedTeeth {
    /// The tooth at whose bracket the stop or the bent end is, and those that stand in its way; ids of their slots.
    pub first: u16,
    pub others: Vec<u16>,
    /// Towards larger stations, to the patient's left.
    pub to_left: bool,
    /// Of all their roots; nothing where one cannot move, or where the two ends are tied together.
    pub area_mm2: f64,
}

/// Both ends of every held length, in the order of the bounds.
pub(crate) fn pushed_teeth(
    setup: &ArchSetup,
    state: &ArchState,
    mouth: &Mouth,
    bars: &[(Tooth, Tooth, springline_text::Place)],
) -> Vec<[PushedTeeth; 2]> {
    let tooth = |id: u16| Tooth::iso(u32::from(id));
    let of = |(right, left): (Tooth, Tooth), apart: bool| {
        let groups = state.tied(bars);
        let tied = groups.iter().any(|g| g.contains(&right) && g.contains(&left));
        [(right, !apart), (left, apart)].map(|(first, to_left)| {
            let teeth = in_the_way(state, mouth, first, to_left);
            // Drawn towards each other through teeth in contact, both ends stay.
            let against = teeth.contains(&if first == right { left } else { right });
            let fixed = |t: &Tooth| state.tooth(*t).is_some_and(|s| s.fixed);
            let area: f64 = teeth.iter().map(|t| projected_area_mm2(*t)).sum();
            let stuck = tied || against || teeth.iter().any(fixed);
            let others = teeth.iter().skip(1).map(|t| t.code() as u16).collect();
            PushedTeeth {
                first: first.code() as u16,
                others,
                to_left,
                area_mm2: if stuck { 0.0 } else { area },
            }
        })
    };
    let each = setup.held.iter();
    each.filter_map(|h| Some(of((tooth(h.right)?, tooth(h.left)?), h.presses_apart()))).collect()
}

/// The tooth and those that touch it one after the other on the far side of the push.
pub(crate) fn in_the_way(
    state: &ArchState,
    mouth: &Mouth,
    first: Tooth,
    to_left: bool,
) -> Vec<Tooth> {
    let mut present: Vec<Tooth> =
        state.teeth.iter().filter(|t| t.status != ToothStatus::Absent).map(|t| t.tooth).collect();
    if !to_left {
        present.reverse();
    }
    let mut out = Vec::new();
    for tooth in present.into_iter().skip_while(|t| *t != first) {
        let open = |before: &Tooth| mouth.gap_mm(*before, tooth).is_some_and(|mm| mm > OPEN_MM);
        if out.last().is_some_and(open) {
            break;
        }
        out.push(tooth);
    }
    out
}

/// With how much each bound pushes its two ends, N.
pub(crate) fn pushes<'q>(
    pushed: &'q [[PushedTeeth; 2]],
    solution: &Solution,
) -> impl Iterator<Item = (&'q PushedTeeth, f64)> {
    let forces: Vec<f64> = solution.bounds.iter().map(|b| b.force_n).collect();
    let pairs = pushed.iter().zip(forces);
    pairs.flat_map(|(ends, force)| ends.iter().map(move |end| (end, force)))
}
