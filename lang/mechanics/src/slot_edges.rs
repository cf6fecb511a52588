//! Slot edges in three dimensions, projected onto the arch line, and the clearance they leave to the
//! wire.

use super::closed::third_order_play;
use super::contact::{Contact, ElasticTooth, Room, SixForces};
use super::mesh::Mesh;
use super::support::{Give, marched};
use super::{ArchLine, ArchWire, Clip, Edges, Engagement, Load, Play, Refusal, Setup, Slot, Stock};

/// Clearance below this counts as none, mm or rad.
const NO_ROOM: f64 = 1.0e-7;
/// Least free wire between two slots, mm.
const LEAST_SPAN_MM: f64 = 0.1;

/// A held edge projected onto the arch line.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct EdgePlace {
    pub station_mm: f64,
    pub lingual_mm: f64,
    pub gingival_mm: f64,
    /// From the bracket's centre: along, lingual, gingival, mm.
    pub arm_mm: [f64; 3],
}

/// A slot with its edges, in order of station.
#[derive(Debug, Clone)]
pub(crate) struct SlotEdges {
    pub slot: Slot,
    pub edges: Vec<EdgePlace>,
}

/// Half the clearance of the wire and the offset of its middle, in one direction.
#[derive(Debug, Clone, Copy)]
struct Space {
    half: f64,
    middle: f64,
}

/// Positions every slot in space, ordered along the arch.
pub(crate) fn place_slots(setup: &Setup) -> Result<Vec<SlotEdges>, Refusal> {
    let mut slots = setup.slots.clone();
    slots.sort_by(|a, b| a.station_mm.total_cmp(&b.station_mm).then(a.id.cmp(&b.id)));
    let seats: Vec<SlotEdges> =
        slots.into_iter().map(|slot| place(&setup.arch, slot, setup.settings.edges)).collect();
    for pair in seats.windows(2) {
        let (Some(last), Some(first)) = (pair[0].edges.last(), pair[1].edges.first()) else {
            continue;
        };
        let span_mm = first.station_mm - last.station_mm;
        if span_mm < LEAST_SPAN_MM || span_mm.is_nan() {
            let (id, next_id) = (pair[0].slot.id, pair[1].slot.id);
            return Err(Refusal::Overlap { id, next_id, span_mm });
        }
    }
    Ok(seats)
}

/// Positions the engaged edges of one slot.
fn place(arch: &ArchLine, slot: Slot, edges: Edges) -> SlotEdges {
    let half = 0.5 * slot.width_mm;
    let sides: &[f64] = match slot.engagement {
        _ if half == 0.0 => &[0.0],
        Engagement::Full => &[-1.0, 1.0],
        Engagement::MesialWing if slot.station_mm >= 0.0 => &[-1.0],
        Engagement::DistalWing if slot.station_mm < 0.0 => &[-1.0],
        Engagement::MesialWing | Engagement::DistalWing => &[1.0],
    };
    let edges = sides
        .iter()
        .map(|side| match edges {
            Edges::OnNormals => on_normals(&slot, side * half),
            Edges::Rigid => rigid(arch, &slot, side * half),
        })
        .collect();
    SlotEdges { slot, edges }
}

/// The turned edge, its offsets taken along the normals of its own station.
fn on_normals(slot: &Slot, arm: f64) -> EdgePlace {
    let stand = &slot.stand;
    let [along, lingual, gingival] = turned(slot, [arm, 0.0, 0.0]);
    EdgePlace {
        station_mm: slot.station_mm + stand.along_mm + along,
        lingual_mm: stand.lingual_mm + lingual,
        gingival_mm: stand.gingival_mm + gingival,
        arm_mm: [along, lingual, gingival],
    }
}

/// The slot of a tooth in place follows the arch line; the stand moves it as a rigid body, and the
/// edge is looked up again over the line.
fn rigid(arch: &ArchLine, slot: &Slot, arm: f64) -> EdgePlace {
    let home = arch.station(slot.station_mm);
    let stand = slot.stand;
    let shift = home.compose(stand.along_mm, stand.lingual_mm);
    let centre = [home.at[0] + shift[0], home.at[1] + shift[1]];
    let (centre_station, centre_lingual) = arch.project(centre, slot.station_mm + stand.along_mm);
    let ideal = arch.station(slot.station_mm + arm);
    let (along, inward) = home.resolve([ideal.at[0] - home.at[0], ideal.at[1] - home.at[1]]);
    let [a, l, g] = turned(slot, [along, inward, 0.0]);
    let shift = home.compose(a, l);
    let (station_mm, lingual_mm) =
        arch.project([centre[0] + shift[0], centre[1] + shift[1]], centre_station + a);
    EdgePlace {
        station_mm,
        lingual_mm,
        gingival_mm: stand.gingival_mm + g,
        arm_mm: [station_mm - centre_station, lingual_mm - centre_lingual, g],
    }
}

/// Torque, then tip, then rotation of an arm (along, lingual, gingival).
fn turned(slot: &Slot, arm: [f64; 3]) -> [f64; 3] {
    let [along, lingual, gingival] = arm;
    let (s, c) = slot.stand.torque_rad.sin_cos();
    let (lingual, gingival) = (c * lingual - s * gingival, s * lingual + c * gingival);
    let (s, c) = slot.stand.tipped_rad.sin_cos();
    let (along, gingival) = (c * along - s * gingival, s * along + c * gingival);
    let (s, c) = slot.stand.rotated_rad.sin_cos();
    [c * along - s * lingual, s * along + c * lingual, gingival]
}

/// Size of what lies in the slot: height, depth. Two wires lie side by side in its depth.
pub(crate) fn wire_size(wire: &ArchWire) -> (f64, f64) {
    let first = &wire.stock.section;
    match &wire.tandem {
        None => (first.height_mm(), first.depth_mm()),
        Some(Stock { section, .. }) => {
            (first.height_mm().max(section.height_mm()), first.depth_mm() + section.depth_mm())
        }
    }
}

/// Contacts of all slots, and the teeth that carry them, softer by the way of a march.
pub(crate) fn contacts(
    setup: &Setup,
    seats: &[SlotEdges],
    mesh: &Mesh,
    travel_mm_per_n: f64,
) -> Result<(Vec<Contact>, Vec<ElasticTooth>), Refusal> {
    let mut contacts = Vec::new();
    let mut teeth = Vec::new();
    for (tooth, seat) in seats.iter().enumerate() {
        let slot = &seat.slot;
        let from = contacts.len();
        let (depth, height, twist) = spaces(&setup.wire, slot)?;
        let (first, last) = mesh.seats[tooth];
        for (n, edge) in seat.edges.iter().enumerate() {
            let node = if n == 0 { first } else { last };
            let arm = edge.arm_mm[0];
            let mut put = |dof, row: SixForces, target, space: Option<Space>| {
                if let Some(Space { half, middle }) = space {
                    let room = if half < NO_ROOM {
                        Room::Held
                    } else {
                        Room::Between { low: -half, high: half }
                    };
                    contacts.push(Contact { node, dof, tooth, row, target: target + middle, room });
                }
            };
            put(0, [1.0, 0.0, arm, 0.0, 0.0, 0.0], edge.lingual_mm, Some(depth));
            put(2, [0.0, 1.0, 0.0, arm, 0.0, 0.0], edge.gingival_mm, Some(height));
            put(4, [0.0, 0.0, 0.0, 0.0, 1.0, 0.0], slot.roll_rad(), twist);
        }
        let travel = if slot.support.is_compliant() { travel_mm_per_n } else { 0.0 };
        let load = load_on(slot.id, &setup.loads);
        teeth.push(ElasticTooth {
            give: Give::new(&slot.support, travel),
            load,
            back: marched(&slot.support, travel, &held_back(slot.id, &setup.loads)),
            contacts: (from, contacts.len()),
        });
    }
    Ok((contacts, teeth))
}

/// Force and couples of the loads on a tooth, about its bracket's centre.
pub(crate) fn load_on(id: u16, loads: &[Load]) -> SixForces {
    let mut sum = [0.0; 6];
    for load in loads.iter().filter(|l| l.id == id) {
        let [lingual, gingival, along] = load.at_mm;
        sum[0] += load.lingual_n;
        sum[1] += load.gingival_n;
        sum[2] += along * load.lingual_n - lingual * load.along_n;
        sum[3] += along * load.gingival_n - gingival * load.along_n;
        sum[4] += lingual * load.gingival_n - gingival * load.lingual_n;
        sum[5] += load.along_n;
    }
    sum
}

/// The part of the loads that a march does not follow: all but what pulls along the arch, which no wire holds.
fn held_back(id: u16, loads: &[Load]) -> SixForces {
    let across: Vec<Load> =
        loads.iter().filter(|l| l.id == id).map(|l| Load { along_n: 0.0, ..*l }).collect();
    load_on(id, &across)
}

/// What pulls along the arch, with its couples about the bracket's centre.
pub(crate) fn drawn_along(id: u16, loads: &[Load]) -> SixForces {
    let all = load_on(id, loads);
    let held = held_back(id, loads);
    std::array::from_fn(|k| all[k] - held[k])
}

/// Clearance in depth, height and twist.
fn spaces(wire: &ArchWire, slot: &Slot) -> Result<(Space, Space, Option<Space>), Refusal> {
    if slot.play == Play::None {
        let none = Space { half: 0.0, middle: 0.0 };
        return Ok((none, none, None));
    }
    let (wire_height, wire_depth) = wire_size(wire);
    for (wire_mm, slot_mm) in [(wire_height, slot.height_mm), (wire_depth, slot.depth_mm)] {
        // A wire of the slot's own nominal size goes in; rounding of inches must not refuse it.
        if wire_mm > slot_mm + 1e-6 {
            return Err(Refusal::DoesNotFit { id: slot.id, wire_mm, slot_mm });
        }
    }
    let left_mm = match slot.clip {
        Clip::Passive => slot.depth_mm,
        Clip::Active { depth_left_mm } => depth_left_mm.clamp(wire_depth, slot.depth_mm),
    };
    // The base is on the lingual side: a clip takes the labial part of the room.
    let depth = Space {
        half: 0.5 * (left_mm - wire_depth).max(0.0) / slot.stand.rotated_rad.cos(),
        middle: 0.5 * (slot.depth_mm - left_mm),
    };
    let height = Space {
        half: 0.5 * (slot.height_mm - wire_height).max(0.0) / slot.stand.tipped_rad.cos(),
        middle: 0.0,
    };
    let twist = if wire.tandem.is_some() {
        None
    } else {
        third_order_play(&wire.stock.section, slot.height_mm)
            .map(|play| Space { half: play, middle: 0.0 })
    };
    Ok((depth, height, twist))
}
