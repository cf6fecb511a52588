//! Slot edges in three dimensions, projected onto the arch line, and the clearance they leave to the
//! wire.

use super::closed::third_order_play;
use super::contact::{Contact, ElasticTooth, Room};
use super::mesh::Mesh;
use super::slot_line::{BaseLine, MouthLine, Vector, WireFrame, cross, dot, plus, unit};
use super::support::SixForces;
use super::support::{Give, SupportWay, marched};
use super::{
    ArchLine, ArchWire, Clip, Edges, Engagement, Kinematics, Load, Play, Refusal, Setup, Slot,
    Stock,
};

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

/// How a slot stands in space, for a wire that is measured from the slot line.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SlotAxes {
    /// The arch line where the tooth belongs: the axes of its forces.
    pub home: WireFrame,
    /// The slot's axis, its lingual and its gingival direction, each along, lingual and gingival at home.
    pub axes: [Vector; 3],
    /// The bracket's centre.
    pub centre: Vector,
}

impl SlotEdges {
    /// Edges that are projected onto the arch line.
    fn over_the_arch(arch: &ArchLine, slot: Slot, edges: Vec<EdgePlace>) -> SlotEdges {
        let stand = &slot.stand;
        let home = WireFrame::of_arch(arch, slot.station_mm + stand.along_mm);
        let off = home.compose(&[0.0, stand.lingual_mm, stand.gingival_mm]);
        let bracket = WireFrame { at: plus(&home.at, 1.0, &off), ..home };
        let bases = edges.iter().map(|e| WireFrame::of_arch(arch, e.station_mm)).collect();
        SlotEdges { slot, edges, bases, bracket, axes: None }
    }
}

impl SlotAxes {
    /// A place in space, from its place against the bracket's centre at home.
    pub fn place(&self, arm: &Vector) -> Vector {
        plus(&self.centre, 1.0, &self.home.compose(arm))
    }

    /// A mouth of the slot.
    fn mouth(&self, arm: &Vector) -> WireFrame {
        WireFrame { at: self.place(arm), axes: self.axes.map(|a| self.home.compose(&a)) }
    }
}

/// A slot with its edges, in order of station.
#[derive(Debug, Clone)]
pub(crate) struct SlotEdges {
    pub slot: Slot,
    pub edges: Vec<EdgePlace>,
    /// The line that the wire is measured from, at each edge.
    pub bases: Vec<WireFrame>,
    /// Where the bracket's centre is, in the axes of the tooth's forces: those of the arch line where it belongs.
    pub bracket: WireFrame,
    /// Only where the base is the slot line.
    pub axes: Option<SlotAxes>,
}

/// Half the clearance of the wire and the offset of its middle, in one direction.
#[derive(Debug, Clone, Copy)]
struct Space {
    half: f64,
    middle: f64,
}

/// Positions every slot in space, ordered along the arch, and draws the base line of the wire: through the slots where
/// they keep their size, else the arch line.
pub(crate) fn place_slots(setup: &Setup) -> Result<(Vec<SlotEdges>, BaseLine), Refusal> {
    let mut slots = setup.slots.clone();
    slots.sort_by(|a, b| a.station_mm.total_cmp(&b.station_mm).then(a.id.cmp(&b.id)));
    let rigid = setup.settings.edges == Edges::Rigid;
    if rigid && setup.settings.kinematics == Kinematics::Exact {
        let seats: Vec<SlotEdges> = slots.iter().map(|slot| stand(&setup.arch, *slot)).collect();
        let line = through(&setup.arch, &seats)?;
        return Ok((seats, BaseLine::Slots(line)));
    }
    let over_the_arch = |slot: Slot| {
        let edges = if rigid { stand(&setup.arch, slot).edges } else { place(&slot) };
        SlotEdges::over_the_arch(&setup.arch, slot, edges)
    };
    let seats: Vec<SlotEdges> = slots.into_iter().map(over_the_arch).collect();
    for pair in seats.windows(2) {
        let (Some(last), Some(first)) = (pair[0].edges.last(), pair[1].edges.first()) else {
            continue;
        };
        apart(pair, first.station_mm - last.station_mm)?;
    }
    Ok((seats, BaseLine::Arch(setup.arch)))
}

/// Refuses slots that leave no free wire between them.
fn apart(pair: &[SlotEdges], span_mm: f64) -> Result<(), Refusal> {
    if span_mm < LEAST_SPAN_MM || span_mm.is_nan() {
        let (id, next_id) = (pair[0].slot.id, pair[1].slot.id);
        return Err(Refusal::Overlap { id, next_id, span_mm });
    }
    Ok(())
}

/// The slot line through all mouths.
fn through(arch: &ArchLine, seats: &[SlotEdges]) -> Result<MouthLine, Refusal> {
    let mut mouths = Vec::with_capacity(seats.len());
    for seat in seats {
        let (Some(axes), Some(first), Some(last)) =
            (&seat.axes, seat.edges.first(), seat.edges.last())
        else {
            continue;
        };
        mouths.push([axes.mouth(&first.arm_mm), axes.mouth(&last.arm_mm)]);
    }
    for (pair, mouths) in seats.windows(2).zip(mouths.windows(2)) {
        let (from, to) = (&mouths[0][1], &mouths[1][0]);
        // As the two slots face: a wire that has to run back on its way is no longer a curve over this line.
        let facing = plus(&from.axes[0], 1.0, &to.axes[0]);
        let way = plus(&to.at, -1.0, &from.at);
        let size = dot(&facing, &facing).sqrt();
        apart(pair, if size > 1e-3 { dot(&way, &facing) / size } else { f64::NAN })?;
    }
    Ok(MouthLine::new(*arch, mouths))
}

/// The sides of the slot's centre on which an edge is held.
fn sides(slot: &Slot) -> &'static [f64] {
    match slot.engagement {
        _ if slot.width_mm == 0.0 => &[0.0],
        Engagement::Full => &[-1.0, 1.0],
        Engagement::MesialWing if slot.station_mm >= 0.0 => &[-1.0],
        Engagement::DistalWing if slot.station_mm < 0.0 => &[-1.0],
        Engagement::MesialWing | Engagement::DistalWing => &[1.0],
    }
}

/// A slot and its held edges in space. In place the edges of the slot lie on the arch line; the stand moves it as a
/// rigid body, turned about its centre.
fn stand(arch: &ArchLine, slot: Slot) -> SlotEdges {
    let home = WireFrame::of_arch(arch, slot.station_mm);
    let pose = slot.stand;
    let half = 0.5 * slot.width_mm;
    let [low, high] = [-1.0, 1.0].map(|side| {
        let ideal = WireFrame::of_arch(arch, slot.station_mm + side * half);
        home.resolve(&plus(&ideal.at, -1.0, &home.at))
    });
    let middle: Vector = std::array::from_fn(|i| 0.5 * (low[i] + high[i]));
    let shift = plus(&middle, 1.0, &[pose.along_mm, pose.lingual_mm, pose.gingival_mm]);
    let centre = plus(&home.at, 1.0, &home.compose(&shift));
    let reach = plus(&high, -1.0, &middle);
    let arm = |side: f64| turned(&slot, reach.map(|x| side * x));
    let along = if half > 0.0 { unit(&arm(1.0)) } else { turned(&slot, [1.0, 0.0, 0.0]) };
    let rolled = Slot { stand: super::SlotPose { torque_rad: slot.roll_rad(), ..pose }, ..slot };
    let lingual = turned(&rolled, [0.0, 1.0, 0.0]);
    let lingual = unit(&plus(&lingual, -dot(&lingual, &along), &along));
    let axes = SlotAxes { home, axes: [along, lingual, cross(&along, &lingual)], centre };
    let edges: Vec<EdgePlace> = sides(&slot)
        .iter()
        .map(|side| {
            let arm_mm = arm(*side);
            let at = axes.place(&arm_mm);
            let guess = slot.station_mm + pose.along_mm + arm_mm[0];
            let (station_mm, lingual_mm) = arch.project([at[0], at[1]], guess);
            EdgePlace { station_mm, lingual_mm, gingival_mm: at[2], arm_mm }
        })
        .collect();
    let bases = edges.iter().map(|e| axes.mouth(&e.arm_mm)).collect();
    let bracket = WireFrame { at: centre, ..home };
    SlotEdges { slot, edges, bases, bracket, axes: Some(axes) }
}

/// The held edges of one slot, each carried along the normal of its own station.
fn place(slot: &Slot) -> Vec<EdgePlace> {
    let half = 0.5 * slot.width_mm;
    sides(slot).iter().map(|side| on_normals(slot, side * half)).collect()
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
    way: SupportWay<'_>,
) -> Result<(Vec<Contact>, Vec<ElasticTooth>), Refusal> {
    let mut contacts = Vec::new();
    let mut teeth = Vec::new();
    for (tooth, seat) in seats.iter().enumerate() {
        let slot = &seat.slot;
        let from = contacts.len();
        let (depth, height, twist) = spaces(&setup.wire, slot, seat.axes.is_some())?;
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
            if let Some(SlotAxes { axes: [along, lingual, gingival], .. }) = &seat.axes {
                put(0, pushed(&edge.arm_mm, lingual), 0.0, Some(depth));
                put(2, pushed(&edge.arm_mm, gingival), 0.0, Some(height));
                put(4, [0.0, 0.0, along[2], -along[1], along[0], 0.0], 0.0, twist);
            } else {
                put(0, [1.0, 0.0, arm, 0.0, 0.0, 0.0], edge.lingual_mm, Some(depth));
                put(2, [0.0, 1.0, 0.0, arm, 0.0, 0.0], edge.gingival_mm, Some(height));
                put(4, [0.0, 0.0, 0.0, 0.0, 1.0, 0.0], slot.roll_rad(), twist);
            }
        }
        let (give, back) = softer(slot, way, &setup.loads);
        teeth.push(ElasticTooth {
            give,
            load: load_on(slot.id, &setup.loads),
            back,
            counted: [0.0; 6],
            contacts: (from, contacts.len()),
        });
    }
    Ok((contacts, teeth))
}

/// What a tooth's support gives, its way counted, and how far it is held back from that.
fn softer(slot: &Slot, way: SupportWay<'_>, loads: &[Load]) -> (Give, SixForces) {
    let support = &slot.support;
    match way {
        SupportWay::Each(teeth) if support.is_compliant() => {
            let own = teeth.iter().find(|t| t.id == slot.id);
            let give =
                own.map_or_else(|| Give::new(support, 0.0), |own| Give::travelling(support, own));
            (give, [0.0; 6])
        }
        SupportWay::March { mm_per_n, ties } if support.is_compliant() => {
            let (all, follow) = (held_back(slot.id, loads), held_back(slot.id, ties));
            let held = std::array::from_fn(|k| all[k] - follow[k]);
            let back = marched(support, mm_per_n, &held);
            (Give::new(support, mm_per_n), back)
        }
        _ => (Give::new(support, 0.0), [0.0; 6]),
    }
}

/// How far a wall moves in a direction as its tooth moves lingually and gingivally, rotates, tips and rolls about
/// its bracket's centre.
fn pushed([a, l, g]: &Vector, toward: &Vector) -> SixForces {
    let [along, lingual, gingival] = toward;
    [
        *lingual,
        *gingival,
        lingual * a - along * l,
        gingival * a - along * g,
        gingival * l - lingual * g,
        0.0,
    ]
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

/// Clearance in depth, height and twist: in the slot's own directions, or in those of the arch line.
fn spaces(
    wire: &ArchWire,
    slot: &Slot,
    own: bool,
) -> Result<(Space, Space, Option<Space>), Refusal> {
    let tilt = |turn_rad: f64| if own { 1.0 } else { turn_rad.cos() };
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
        half: 0.5 * (left_mm - wire_depth).max(0.0) / tilt(slot.stand.rotated_rad),
        middle: 0.5 * (slot.depth_mm - left_mm),
    };
    let height = Space {
        half: 0.5 * (slot.height_mm - wire_height).max(0.0) / tilt(slot.stand.tipped_rad),
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
