//! The teeth that a wire moves, and the mobility factor of each.

use std::collections::{BTreeMap, BTreeSet};

use crate::geometry::measured_overlaps;
use crate::law::bite_rates::least_intruding_n;
use crate::law::long_axis::slot_before_axis_mm;
use crate::law::movement::{K_ALIGN, K_FREE, K_WITH_ROOM};
use crate::law::passive::MonitoredTooth;
use crate::law::periodontium::{projected_area_mm2, rotation_lever_mm};
use crate::mouth::carried::CarriedState;
use crate::mouth::pose::ToothPose;
use crate::mouth::positions::Mouth;
use crate::plan::input::ArchInput;
use crate::plan::state::{ArchState, ToothInState, ToothStatus};
use crate::room::supplies::{demanded, open_gaps};
use crate::run::drive::MovingTooth;
use crate::setup::arch_setup::ArchSetup;
use springline_mechanics::Slot;
use springline_units::tooth::Tooth;

pub(crate) fn movers(
    state: &ArchState,
    setup: &ArchSetup,
    mouth: &Mouth,
    roomy: &TeethWithRoom,
) -> Vec<MovingTooth> {
    let held: BTreeMap<u16, &Slot> = setup
        .base
        .slots
        .iter()
        .chain(setup.overlay.iter().flat_map(|o| o.slots.iter()))
        .map(|s| (s.id, s))
        .collect();
    state
        .teeth
        .iter()
        .filter_map(|t| Some((t, *held.get(&(t.tooth.code() as u16))?)))
        .map(|(t, slot)| MovingTooth {
            id: t.tooth.code() as u16,
            watched: MonitoredTooth {
                tooth: t.tooth,
                crown_mm: mouth.width_mm(t.tooth),
                fixed: t.fixed,
                slot_torque_rad: slot.prescription_rad,
            },
            area_mm2: projected_area_mm2(t.tooth),
            support: slot.support,
            rotation_lever_mm: rotation_lever_mm(t.tooth),
            axis_mm: slot_before_axis_mm(t.tooth),
            one_wing: matches!(t.status, ToothStatus::HalfEngaged(_)),
            least_intruding_n: least_intruding_n(t.tooth),
            k: situation(t, roomy),
            in_contact: !has_room(t, roomy),
        })
        .collect()
}

/// Teeth that are known to have the room they need.
#[derive(Debug, Default)]
pub(crate) struct TeethWithRoom {
    /// No engaged tooth lacks room, according to written spaces.
    all: bool,
    teeth: BTreeSet<Tooth>,
}

/// Room missing in an arch, and space beside a tooth, that change nothing, mm: half a step of the entry
/// grid.
const ENOUGH_MM: f64 = 0.25;

impl TeethWithRoom {
    /// By written or measured spaces, and by open gaps. Room that is only assumed to be there proves nothing:
    /// the crowded rate was fitted on whole alignments, second wires and all, without any spaces.
    pub fn new(world: &ArchInput<'_>, state: &ArchState, carried: &CarriedState) -> TeethWithRoom {
        let mouth = &carried.mouth;
        let mut teeth: BTreeSet<Tooth> = BTreeSet::new();
        teeth.extend(
            mouth.spaces.iter().filter(|(t, s)| **s >= mouth.width_mm(**t)).map(|(t, _)| *t),
        );
        for ((a, b), length) in open_gaps(world.arch, state, carried) {
            if length >= ENOUGH_MM {
                teeth.extend([a, b]);
            }
        }
        teeth.extend(apart_from_the_short(state, mouth));
        teeth.extend(apart_from_overlaps(state, mouth));
        let (missing_mm, assumed) = demanded(state, carried);
        TeethWithRoom { all: missing_mm < ENOUGH_MM && !assumed, teeth }
    }
}

/// Where spaces are written tooth by tooth, the crowding is where they are short: a tooth and its two
/// neighbours. All others are not slowed by it.
fn apart_from_the_short(state: &ArchState, mouth: &Mouth) -> Vec<Tooth> {
    let present: Vec<Tooth> =
        state.teeth.iter().filter(|t| t.status != ToothStatus::Absent).map(|t| t.tooth).collect();
    let short: Vec<bool> = present
        .iter()
        .map(|t| mouth.spaces.get(t).is_some_and(|s| *s < mouth.width_mm(*t) - ENOUGH_MM))
        .collect();
    let written = state.in_wire().any(|t| mouth.spaces.contains_key(&t.tooth));
    if !written {
        return Vec::new();
    }
    let crowded = |i: usize| {
        let beside = [i.checked_sub(1), Some(i), Some(i + 1)];
        beside.into_iter().flatten().any(|j| short.get(j).copied().unwrap_or(false))
    };
    (0..present.len()).filter(|i| !crowded(*i)).map(|i| present[i]).collect()
}

/// Where every displaced contact was measured, the crowding is at those that overlap: all teeth beside none of them.
fn apart_from_overlaps(state: &ArchState, mouth: &Mouth) -> Vec<Tooth> {
    let contacts = measured_overlaps(state, mouth).unwrap_or_default();
    let crowded = contacts.iter().filter(|(_, overlap)| *overlap >= ENOUGH_MM);
    let crowded: BTreeSet<Tooth> = crowded.flat_map(|((a, b), _)| [*a, *b]).collect();
    let all = contacts.iter().flat_map(|((a, b), _)| [*a, *b]);
    all.filter(|t| !crowded.contains(t)).collect()
}

/// The mobility factor k: a tooth on an overlay is free; one with room is limited by the wire alone; all
/// others count as crowded.
fn situation(tooth: &ToothInState, roomy: &TeethWithRoom) -> f64 {
    if tooth.status == ToothStatus::Piggyback {
        K_FREE
    } else if has_room(tooth, roomy) {
        K_WITH_ROOM
    } else {
        K_ALIGN
    }
}

/// Its neighbours do not stand in its way.
fn has_room(tooth: &ToothInState, roomy: &TeethWithRoom) -> bool {
    roomy.all || roomy.teeth.contains(&tooth.tooth)
}

/// Poses of all teeth: engaged ones from the run, the others unchanged.
pub(crate) fn poses(
    movers: &[MovingTooth],
    bent: &BTreeMap<Tooth, ToothPose>,
    stands: &[[f64; 6]],
    before: &Mouth,
) -> BTreeMap<Tooth, ToothPose> {
    let mut out = before.poses.clone();
    for (mover, stand) in movers.iter().zip(stands) {
        let bend = bent.get(&mover.watched.tooth).copied().unwrap_or_default().parts();
        let pose = ToothPose::from_parts(std::array::from_fn(|i| stand[i] + bend[i]));
        out.insert(mover.watched.tooth, pose);
    }
    out
}
