//! Post-processing: from node values to forces, couples and strains at the teeth.

use std::f64::consts::FRAC_PI_2;

use super::axial::Bound;
use super::components::Components;
use super::contact::{ElasticTooth, Room};
use super::converged::{ConvergedState, keys};
use super::mesh::{Mesh, NodeValues, softened};
use super::slot_edges::{EdgePlace, SlotAxes, SlotEdges};
use super::slot_line::{BaseLine, Vector, WireFrame, dot, plus, unit};
use super::solution::WireShape;
use super::support::SixForces;
use super::{BoundForce, Edge, History, Kinematics, Law, Refusal, SlotPose, Solution, ToothForces};

/// The end of an element, with its two section points at -1 and 1.
const END: f64 = 1.732_050_807_568_877_2;

/// The stretch of wire that counts as a tooth's: to half-way to its neighbours.
fn reach(solved: &ConvergedState<'_>, tooth: usize) -> (f64, f64) {
    let x = &solved.mesh.x;
    let seats = &solved.mesh.seats;
    let from = if tooth == 0 {
        f64::NEG_INFINITY
    } else {
        0.5 * (x[seats[tooth - 1].1] + x[seats[tooth].0])
    };
    let to =
        seats.get(tooth + 1).map_or(f64::INFINITY, |next| 0.5 * (x[seats[tooth].1] + x[next.0]));
    (from, to)
}

/// Fibre strain along the wire.
pub(crate) struct StrainAlong {
    /// Station and strain, in order: both ends and the middle of every element.
    places: Vec<(f64, f64)>,
}

impl StrainAlong {
    /// The moment peaks at the edges of slots, where elements end, and the section points lie a fifth of an element
    /// short of them; within an element the curvature is a straight line, which is followed to both ends.
    pub fn of(solved: &ConvergedState<'_>) -> StrainAlong {
        let elements = solved.iterate.curvatures.chunks_exact(2).zip(solved.mesh.x.windows(2));
        let mut places = Vec::with_capacity(3 * solved.mesh.x.len());
        for (pair, ends) in elements {
            let (a, b) = (pair[0], pair[1]);
            let varying = softened(solved.mesh.shear, ends[1] - ends[0]);
            let at = |way: f64| {
                let k = |i: usize| 0.5 * (a[i] + b[i]) + way * varying[i] * 0.5 * (b[i] - a[i]);
                solved.bending.strain([k(0), k(1)])
            };
            // The section points lie at -1 and 1.
            places.push((ends[0], at(-END)));
            places.push((0.5 * (ends[0] + ends[1]), at(0.0)));
            places.push((ends[1], at(END)));
        }
        StrainAlong { places }
    }

    /// The largest in a stretch.
    fn most(&self, (from, to): (f64, f64)) -> f64 {
        let first = self.places.partition_point(|p| p.0 < from);
        let near = self.places[first..].iter().take_while(|p| p.0 <= to);
        near.fold(0.0, |most, p| most.max(p.1))
    }
}

/// The tooth nearest to a node.
pub(crate) fn nearest(solved: &ConvergedState<'_>, node: usize) -> u16 {
    let at = |i: usize| solved.mesh.x[i];
    solved
        .mesh
        .seats
        .iter()
        .zip(solved.slot_edges)
        .min_by(|(a, _), (b, _)| {
            let away = |s: &(usize, usize)| (at(s.0) - at(node)).max(at(node) - at(s.1)).max(0.0);
            away(a).total_cmp(&away(b))
        })
        .map_or(0, |(_, seat)| seat.slot.id)
}

/// Largest slope of the wire over the arch line at a node.
fn steepest_node(solved: &ConvergedState<'_>) -> (f64, usize) {
    let mut found = (0.0_f64, 0);
    for (i, node) in solved.iterate.nodes.iter().enumerate() {
        let slope = (node[1] * node[1] + node[3] * node[3]).sqrt();
        if slope > found.0 {
            found = (slope, i);
        }
    }
    found
}

/// The same, inside elements too: a wire that has let go may be level at every node and stand upright
/// between two of them.
pub(crate) fn steepest(solved: &ConvergedState<'_>) -> (f64, usize) {
    let nodes = &solved.iterate.nodes;
    let mut found = steepest_node(solved);
    for n in 0..solved.mesh.gauss.len() {
        let [_, dy, _, dz, ..] = solved.mesh.point(n, nodes);
        let slope = (dy * dy + dz * dz).sqrt();
        if slope > found.0 {
            found = (slope, n / 2);
        }
    }
    found
}

/// A wire so far to the inside of a bend of the slot line that less than this share of the line's length is left
/// to it is no curve over that line any more: what turned wires and high or palatal teeth were seen to need is 0.5, and
/// a rigid wire on teeth that give, whose slots do not lie on any smooth curve, comes to nothing.
const LEAST_AHEAD: f64 = 0.25;

/// Largest angle between the wire and the slot line at a node or a section point, rad: a right angle or more where the
/// wire lies so far to the inside of a bend of the line that it no longer follows it, or runs back.
fn farthest_turned(solved: &ConvergedState<'_>) -> (f64, usize) {
    let (slope, at) = steepest_node(solved);
    let mut found = (slope.atan(), at);
    let mut turned = |slope: f64, ahead: f64, node: usize| {
        let turn = slope.atan2(ahead);
        let turn = if ahead < LEAST_AHEAD { turn.max(FRAC_PI_2) } else { turn };
        if turn > found.0 {
            found = (turn, node);
        }
    };
    let nodes = &solved.iterate.nodes;
    for (n, g) in solved.mesh.gauss.iter().enumerate() {
        let [y, dy, _, dz, _, _, _, z] = solved.mesh.point(n, nodes);
        turned(dy.hypot(dz), 1.0 - g.place.k0 * y - g.place.kz * z, n / 2);
    }
    // The line bends most where it leaves and enters slots.
    for (element, joint) in solved.mesh.joints.iter().enumerate() {
        let (near, far) = solved.mesh.ends(element, nodes);
        for (node, at, k) in [(element, near, joint.near), (element + 1, far, joint.far)] {
            turned(0.0, 1.0 - k[0] * at[0] - k[1] * at[2], node);
        }
    }
    found
}

/// Refuses what did not converge, or converged to something not to be believed.
pub(crate) fn refuse(solved: &ConvergedState<'_>, strains: &StrainAlong) -> Result<(), Refusal> {
    let settings = &solved.setup.settings;
    if settings.kinematics == Kinematics::Exact {
        // A wire that stands steeper than the limit is no shape that this model describes, whether
        // the search ended there or got lost there.
        let (turn_rad, at) = if solved.mesh.spatial() {
            farthest_turned(solved)
        } else {
            let (slope, at) = steepest_node(solved);
            (slope.atan(), at)
        };
        let limit_rad = settings.wire_turn_limit_rad;
        if turn_rad > limit_rad {
            return Err(Refusal::Turn { id: nearest(solved, at), turn_rad, limit_rad });
        }
    }
    let limit = strain_refused(solved);
    for (tooth, seat) in solved.slot_edges.iter().enumerate() {
        let strain = strains.most(reach(solved, tooth));
        if strain > limit {
            return Err(Refusal::Strain { id: seat.slot.id, strain, limit });
        }
    }
    let outcome = solved.outcome;
    if !outcome.converged {
        return Err(Refusal::NotConverged {
            id: nearest(solved, outcome.node),
            residual_n: outcome.residual_n,
            limit_n: settings.force_tolerance_n,
            iterations: outcome.iterations,
        });
    }
    Ok(())
}

fn strain_refused(solved: &ConvergedState<'_>) -> f64 {
    let settings = &solved.setup.settings;
    let wire = &solved.setup.wire;
    std::iter::once(&wire.stock)
        .chain(&wire.tandem)
        .map(|s| match s.law {
            Law::Linear(_) => settings.linear_strain_refused,
            Law::Flag(_) => settings.flag_strain_refused,
        })
        .fold(f64::INFINITY, f64::min)
}

pub(crate) fn solution(
    solved: &ConvergedState<'_>,
    strains: &StrainAlong,
    history: History,
) -> Solution {
    let limit = strain_limit(solved);
    let mut teeth: Vec<ToothForces> =
        (0..solved.slot_edges.len()).map(|t| tooth(solved, t)).collect();
    for (index, tooth) in teeth.iter_mut().enumerate() {
        tooth.strain = strains.most(reach(solved, index));
        tooth.strain_fraction = tooth.strain / limit;
    }
    let taken_in_mm = taken_in(solved);
    Solution {
        taken_in_mm,
        held_n: solved.iterate.held,
        held_at_mm: mark(solved),
        levels_n: levels(solved),
        bounds: bounds(solved),
        energy_nmm: solved.outcome.energy_nmm,
        iterations: solved.outcome.iterations,
        residual_n: solved.outcome.residual_n,
        strain: strains.most((f64::NEG_INFINITY, f64::INFINITY)),
        trace: solved.iterate.trace.clone(),
        history,
        shape: WireShape {
            stations_mm: solved.mesh.x.clone(),
            dofs: solved.iterate.nodes.clone(),
            keys: keys(solved.slot_edges, solved.contacts),
            contact_states: solved.iterate.touches.clone(),
            carried: solved.iterate.carried.clone(),
            stands: stands(solved.slot_edges, solved.teeth, &solved.iterate.carried),
            thrust: solved.iterate.thrust.clone(),
            mesh_density: solved.grain.clone(),
            over_slots: solved.mesh.spatial(),
        },
        teeth,
    }
}

/// Where teeth stand, what their supports carry having displaced them.
pub(crate) fn stands(
    seats: &[SlotEdges],
    teeth: &[ElasticTooth],
    carried: &[SixForces],
) -> Vec<SixForces> {
    let each = seats.iter().zip(teeth).zip(carried);
    each.map(|((seat, tooth), own)| {
        let mut at = tooth.displaced(&tooth.give.at(own));
        for (sum, part) in at.iter_mut().zip(seat.slot.stand.six()) {
            *sum += part;
        }
        at
    })
    .collect()
}

/// Axial force of each piece between two held edges.
fn levels(solved: &ConvergedState<'_>) -> Vec<f64> {
    let pieces = solved.mesh.stretches.iter().filter(|(first, last)| last > first);
    pieces.map(|&(first, _)| solved.iterate.levels.get(first).copied().unwrap_or(0.0)).collect()
}

fn bounds(solved: &ConvergedState<'_>) -> Vec<BoundForce> {
    let all = solved.axial.bounds.iter().zip(&solved.iterate.bounds);
    all.map(|(bound, &(force_n, missed_mm))| BoundForce {
        force_n,
        room_mm: if force_n > 0.0 { 0.0 } else { (-missed_mm).max(0.0) },
        gave_mm: bound.give * force_n,
    })
    .collect()
}

/// How far the bounds have pushed a tooth along the arch, mm.
fn gave_along(solved: &ConvergedState<'_>, tooth: usize) -> f64 {
    let give = solved.slot_edges[tooth].slot.support.along_at_bracket();
    let all = solved.axial.bounds.iter().zip(&solved.iterate.bounds);
    let pushed = |(bound, &(force, _)): (&Bound, &(f64, f64))| match bound.teeth {
        (right, _) if right == tooth => -bound.sign * force * give,
        (_, left) if left == tooth => bound.sign * force * give,
        _ => 0.0,
    };
    all.map(pushed).sum()
}

/// Whether a contact is open. The barrier leaves a trace of force at a distance, which counts only where another
/// contact of the tooth is closed: a passive tooth must read zero, a loaded one be in balance.
fn open(solved: &ConvergedState<'_>, contact: usize) -> bool {
    let touch = &solved.iterate.touches[contact];
    match solved.contacts[contact].room {
        Room::Held => touch.on_wire() == 0.0,
        Room::Between { .. } => (0..2).all(|k| touch.force[k] < touch.slack[k]),
    }
}

fn strain_limit(solved: &ConvergedState<'_>) -> f64 {
    let wire = &solved.setup.wire;
    let stocks = std::iter::once(&wire.stock).chain(&wire.tandem);
    stocks.map(|s| s.law.strain_limit()).fold(f64::INFINITY, f64::min)
}

/// All but the strain of the wire.
pub(crate) fn tooth(solved: &ConvergedState<'_>, index: usize) -> ToothForces {
    let seat = &solved.slot_edges[index];
    let (from, to) = solved.teeth[index].contacts;
    let exact = solved.setup.settings.kinematics == Kinematics::Exact;
    let mut edges = Vec::new();
    let mut sum = Edge::default();
    let (mut rotation, mut tip, mut lever_torque) = (0.0, 0.0, 0.0);
    let pressed = is_pressed(solved, index);
    let mut gap_mm = f64::INFINITY;
    let passive = (from..to).all(|contact| open(solved, contact));
    for (n, place) in seat.edges.iter().enumerate() {
        let (first, last) = solved.mesh.seats[index];
        let node_index = if n == 0 { first } else { last };
        let node = &solved.iterate.nodes[node_index];
        let [mut lingual_n, mut gingival_n, mut torque_nmm] = [0.0; 3];
        for contact in from..to {
            let c = &solved.contacts[contact];
            if c.node != node_index {
                continue;
            }
            let force = if passive { 0.0 } else { -solved.iterate.touches[contact].on_wire() };
            match c.dof {
                0 => lingual_n = force,
                2 => gingival_n = force,
                _ => torque_nmm = force,
            }
            if c.dof != 4 && c.room != Room::Held {
                for k in 0..2 {
                    let t = &solved.iterate.touches[contact];
                    if t.force[k] < t.slack[k] {
                        gap_mm = gap_mm.min(t.slack[k]);
                    }
                }
            }
        }
        let stretch = match &seat.axes {
            Some(_) => 1.0,
            None => 1.0 - solved.setup.arch.curvature(place.station_mm).0 * node[0],
        };
        let slope = stretch.hypot(node[1]).hypot(node[3]);
        let hand = solved.axial.hand(&solved.iterate.levels, node_index);
        if hand != 0.0 {
            // The wire's force there is the slot's and the hand's together.
            lingual_n += hand * node[1] / slope;
            gingival_n += hand * node[3] / slope;
        }
        let mut along_n = 0.0;
        if exact {
            // Without friction a slot does no work on a wire that slides through it, bent or twisted.
            let work = lingual_n * node[1]
                + gingival_n * node[3]
                + torque_nmm * twist_rate(solved, node_index);
            // Where the axial force changes the slot holds the wire along itself, by friction or a stop.
            let along = solved.axial.jump(&solved.iterate.levels, node_index);
            along_n = (-along * slope - work) / stretch;
        }
        let (edge, force, twist) = match &seat.axes {
            Some(axes) => {
                in_space(solved, axes, place, node, [along_n, lingual_n, gingival_n, torque_nmm])
            }
            None => {
                let edge = Edge {
                    station_mm: place.station_mm,
                    wire_lingual_mm: node[0],
                    wire_gingival_mm: node[2],
                    wire_rotated_rad: node[1].atan2(stretch),
                    wire_tipped_rad: node[3].atan2(stretch.hypot(node[1])),
                    lingual_n,
                    gingival_n,
                    along_n,
                    torque_nmm,
                };
                let mut force = [along_n, lingual_n, gingival_n];
                if pressed {
                    [force[0], force[1]] = turned_to_the_tooth(solved, index, &edge);
                }
                (edge, force, [torque_nmm, 0.0, 0.0])
            }
        };
        let [along, lingual, gingival] = place.arm_mm;
        rotation += along * force[1] - lingual * force[0] + twist[2];
        tip += along * force[2] - gingival * force[0] - twist[1];
        lever_torque += lingual * force[2] - gingival * force[1];
        sum.along_n += force[0];
        sum.lingual_n += force[1];
        sum.gingival_n += force[2];
        sum.torque_nmm += twist[0];
        edges.push(edge);
    }
    let own = &solved.teeth[index];
    let w = &solved.iterate.carried[index];
    let state = own.give.at(w);
    let mut gave = own.displaced(&state);
    for k in 0..6 {
        gave[k] += own.counted[k];
    }
    let holds = |k: usize| if own.give.matrix[k][k] > 0.0 { state.ratio * w[k] } else { 0.0 };
    ToothForces {
        id: seat.slot.id,
        station_mm: seat.slot.station_mm,
        lingual_n: sum.lingual_n,
        gingival_n: sum.gingival_n,
        along_n: sum.along_n,
        resultant_n: sum.lingual_n.hypot(sum.gingival_n),
        rotation_nmm: rotation,
        tip_nmm: tip,
        torque_nmm: sum.torque_nmm,
        lever_torque_nmm: lever_torque,
        loads: components(&own.load),
        carried: components(&std::array::from_fn(holds)),
        strain: 0.0,
        strain_fraction: 0.0,
        gap_mm: if gap_mm.is_finite() { gap_mm } else { 0.0 },
        passive,
        gave: SlotPose {
            lingual_mm: gave[0],
            gingival_mm: gave[1],
            along_mm: gave[5] + if own.give.diagonal { gave_along(solved, index) } else { 0.0 },
            rotated_rad: gave[2],
            tipped_rad: gave[3],
            torque_rad: gave[4],
        },
        edges,
    }
}

/// Whether the wire carries an axial force at a tooth.
fn is_pressed(solved: &ConvergedState<'_>, tooth: usize) -> bool {
    let (first, last) = solved.mesh.seats[tooth];
    let levels = &solved.iterate.levels;
    let near = levels.get(first.saturating_sub(1)..(last + 1).min(levels.len()));
    near.is_some_and(|l| l.iter().any(|c| *c != 0.0))
}

/// An edge's force along and across the line as it is seen from the tooth. Under an axial force
/// that counts: it stands nearly along the line, which turns between an edge and the bracket's centre.
fn turned_to_the_tooth(solved: &ConvergedState<'_>, tooth: usize, edge: &Edge) -> [f64; 2] {
    let arch = &solved.setup.arch;
    let slot = &solved.slot_edges[tooth].slot;
    let space = arch.station(edge.station_mm).compose(edge.along_n, edge.lingual_n);
    let (along, lingual) = arch.station(slot.station_mm + slot.stand.along_mm).resolve(space);
    [along, lingual]
}

fn components(f: &SixForces) -> Components {
    Components {
        lingual_n: f[0],
        gingival_n: f[1],
        along_n: f[5],
        rotation_nmm: f[2],
        tip_nmm: f[3],
        torque_nmm: f[4],
    }
}

/// What one mouth does to its tooth: the edge in the axes of the arch line where the wire crosses the mouth; the
/// force in those where the tooth belongs; and the couple of twist along these. `force` is along, lingual and
/// gingival in the slot, and its twist.
fn in_space(
    solved: &ConvergedState<'_>,
    axes: &SlotAxes,
    place: &EdgePlace,
    node: &NodeValues,
    [along_n, lingual_n, gingival_n, torque_nmm]: [f64; 4],
) -> (Edge, Vector, Vector) {
    let slot = WireFrame { at: [0.0; 3], axes: axes.axes };
    let force = slot.compose(&[along_n, lingual_n, gingival_n]);
    let direction = unit(&slot.compose(&[1.0, node[1], node[3]]));
    // The least turn from the slot's axis to the wire leaves the twist between them about their middle.
    let facing = plus(&axes.axes[0], 1.0, &direction);
    let twist = facing.map(|x| torque_nmm * x / (1.0 + dot(&axes.axes[0], &direction)));
    let arm = place.arm_mm;

    let wire = plus(&arm, 1.0, &slot.compose(&[0.0, node[0], node[2]]));
    let at = axes.place(&wire);
    let arch = &solved.setup.arch;
    let (station_mm, wire_lingual_mm) = arch.project([at[0], at[1]], place.station_mm);
    let here = WireFrame::of_arch(arch, station_mm);
    let [t, l, g] = here.resolve(&axes.home.compose(&direction));
    let [along_n, lingual_n, gingival_n] = here.resolve(&axes.home.compose(&force));
    let edge = Edge {
        station_mm,
        wire_lingual_mm,
        wire_gingival_mm: at[2],
        wire_rotated_rad: l.atan2(t),
        wire_tipped_rad: g.atan2(t.hypot(l)),
        along_n,
        lingual_n,
        gingival_n,
        torque_nmm,
    };
    (edge, force, twist)
}

/// Position of the wire's reference point: its station, and the wire's displacement there.
fn mark(solved: &ConvergedState<'_>) -> [f64; 3] {
    let (x, nodes) = (&solved.mesh.x, &solved.iterate.nodes);
    let at = solved.mesh.mark_mm;
    let i = x.partition_point(|&s| s <= at).clamp(1, x.len().max(2) - 1) - 1;
    if i + 1 >= nodes.len() {
        return [at, 0.0, 0.0];
    }
    let (a, b) = solved.mesh.ends(i, nodes);
    let h = x[i + 1] - x[i];
    let t = (at - x[i]) / h;
    let between = |k: usize| {
        let (u, v) = (t * t * (3.0 - 2.0 * t), h * t * (1.0 - t));
        (1.0 - u) * a[k] + u * b[k] + v * ((1.0 - t) * a[k + 1] - t * b[k + 1])
    };
    match &solved.mesh.base {
        BaseLine::Arch(_) => [at, between(0), between(2)],
        BaseLine::Slots(line) => {
            let base = line.frame(at);
            let wire = plus(&base.at, 1.0, &base.compose(&[0.0, between(0), between(2)]));
            let (station, lingual) = solved.setup.arch.project([wire[0], wire[1]], at);
            [station, lingual, wire[2]]
        }
    }
}

/// Twist per length at a node that holds it: the mean of both sides.
fn twist_rate(solved: &ConvergedState<'_>, node: usize) -> f64 {
    let (x, nodes) = (&solved.mesh.x, &solved.iterate.nodes);
    let rate = |i: usize| {
        let (a, b) = solved.mesh.ends(i, nodes);
        (b[4] - a[4]) / (x[i + 1] - x[i])
    };
    let last = x.len() - 1;
    match node {
        _ if last == 0 => 0.0,
        // Beyond the outermost edge the free wire is not twisted.
        0 => 0.5 * rate(0),
        n if n == last => 0.5 * rate(last - 1),
        n => 0.5 * (rate(n - 1) + rate(n)),
    }
}

/// Length of the wire over that of the arch line, between the outermost edges.
fn taken_in(solved: &ConvergedState<'_>) -> f64 {
    let Mesh { gauss, x, base, .. } = solved.mesh;
    let nodes = &solved.iterate.nodes;
    let over_the_base: f64 = gauss
        .iter()
        .enumerate()
        .map(|(n, g)| {
            let [y, dy, _, dz, _, _, _, z] = solved.mesh.point(n, nodes);
            let mut ahead = -g.place.k0 * y;
            if base.slots().is_some() {
                ahead -= g.place.kz * z;
            }
            // |p| - 1 without cancellation.
            let square = dy * dy + dz * dz + ahead * (2.0 + ahead);
            g.weight * square / (1.0 + (1.0 + square).max(0.0).sqrt())
        })
        .sum();
    let ends = solved.slot_edges.first().zip(solved.slot_edges.last());
    let ends = ends.and_then(|(a, b)| Some((a.edges.first()?, b.edges.last()?)));
    match (base, ends) {
        (BaseLine::Slots(_), Some((first, last))) => {
            let length = x[x.len() - 1] - x[0];
            over_the_base + length - (last.station_mm - first.station_mm)
        }
        _ => over_the_base,
    }
}
