//! What the wire does to the teeth: read off the contacts at every slot edge, put in balance along the arch, and
//! summed on each tooth.

use super::axial::Bound;
use super::components::Components;
use super::contact::Room;
use super::converged::ConvergedState;
use super::slot_edges::{EdgePlace, SlotEdges};
use super::slot_line::{BaseLine, Vector, WireFrame, cross, dot, plus, times, unit};
use super::support::SixForces;
use super::wire_balance::{EdgeAction, HeldAlong, put_back};
use super::{ArchLine, Edge, Kinematics, SlotPose, ToothForces, Unbalanced};

/// What the wire does to all teeth.
pub(crate) struct WireOnTeeth {
    /// All but the strain of the wire.
    pub teeth: Vec<ToothForces>,
    pub held_n: f64,
    pub unbalanced: Unbalanced,
}

/// All edges of all teeth, in order of station.
pub(crate) struct WireOnEdges {
    readings: Vec<EdgeReading>,
    /// What each does, in space, put in balance.
    actions: Vec<EdgeAction>,
    /// First edge of each tooth, and one past its last.
    of_tooth: Vec<(usize, usize)>,
    held_n: f64,
    unbalanced: Unbalanced,
}

/// An edge as it is read.
struct EdgeReading {
    /// The line that the wire is measured from.
    base: WireFrame,
    /// The way of the wire, a unit vector in space.
    direction: Vector,
}

pub(crate) fn on_the_teeth(solved: &ConvergedState<'_>) -> WireOnTeeth {
    let edges = on_the_edges(solved);
    let teeth = (0..solved.slot_edges.len()).map(|index| tooth(solved, index, &edges)).collect();
    WireOnTeeth { teeth, held_n: edges.held_n, unbalanced: edges.unbalanced }
}

/// Reads the edges and puts them in balance.
pub(crate) fn on_the_edges(solved: &ConvergedState<'_>) -> WireOnEdges {
    let count = solved.slot_edges.len();
    let mut edges = WireOnEdges {
        readings: Vec::with_capacity(2 * count),
        actions: Vec::with_capacity(2 * count),
        of_tooth: Vec::with_capacity(count),
        held_n: solved.iterate.held,
        unbalanced: Unbalanced::default(),
    };
    for tooth in 0..count {
        let from = edges.readings.len();
        read(solved, tooth, &mut edges);
        edges.of_tooth.push((from, edges.readings.len()));
    }
    if solved.setup.settings.kinematics == Kinematics::Exact {
        let (outside, held) = from_outside(solved, &edges);
        edges.unbalanced = put_back(&mut edges.actions, &outside, held, &mut edges.held_n);
    }
    edges
}

/// What acts on the wire beside the slots: what keeps its mark in place, and a hand at either end.
fn from_outside(solved: &ConvergedState<'_>, edges: &WireOnEdges) -> (Vec<EdgeAction>, HeldAlong) {
    let arch = &solved.setup.arch;
    let [station, lingual, gingival] = mark(solved);
    let here = WireFrame::of_arch(arch, station);
    let at = plus(&here.at, 1.0, &here.compose(&[0.0, lingual, gingival]));
    let wire = &solved.setup.wire;
    // Where bends or a curve stay at their stations while the wire slides, that takes a force which the search
    // does not tell apart.
    let open = !wire.bends.is_empty() || wire.reverse_curve.is_some();
    let held = HeldAlong { at, along: here.axes[0], open };
    let force = times(solved.iterate.held, &here.axes[0]);
    let mut outside = vec![EdgeAction::force(at, force)];
    let all = || edges.readings.iter().zip(&edges.actions);
    let ends = [all().next(), all().next_back()];
    for (edge, force_n) in ends.into_iter().zip([solved.axial.ends[0], -solved.axial.ends[1]]) {
        if let (Some((reading, action)), true) = (edge, force_n != 0.0) {
            let force = times(force_n, &reading.direction);
            outside.push(EdgeAction::force(action.at, force));
        }
    }
    (outside, held)
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

pub(crate) fn passive(solved: &ConvergedState<'_>, index: usize) -> bool {
    let (from, to) = solved.teeth[index].contacts;
    (from..to).all(|contact| open(solved, contact))
}

/// Distance of the nearest open contact from closing, mm.
fn gap_mm(solved: &ConvergedState<'_>, index: usize) -> f64 {
    let (from, to) = solved.teeth[index].contacts;
    let mut nearest = f64::INFINITY;
    for contact in from..to {
        let (c, touch) = (&solved.contacts[contact], &solved.iterate.touches[contact]);
        if c.dof != 4 && c.room != Room::Held {
            for k in (0..2).filter(|&k| touch.force[k] < touch.slack[k]) {
                nearest = nearest.min(touch.slack[k]);
            }
        }
    }
    if nearest.is_finite() { nearest } else { 0.0 }
}

/// Reads the edges of one tooth.
fn read(solved: &ConvergedState<'_>, index: usize, into: &mut WireOnEdges) {
    let seat = &solved.slot_edges[index];
    let exact = solved.setup.settings.kinematics == Kinematics::Exact;
    let passive = passive(solved, index);
    let (from, to) = solved.teeth[index].contacts;
    let (first, last) = solved.mesh.seats[index];
    let places = seat.edges.iter().zip(&seat.bases);
    for ((place, base), node_index) in places.zip([first, last]) {
        let node = &solved.iterate.nodes[node_index];
        let [mut lingual_n, mut gingival_n, mut torque_nmm] = [0.0; 3];
        let mut turns = false;
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
            turns |= !passive && c.dof == 4;
        }
        let stretch = match &seat.axes {
            Some(_) => 1.0,
            None => 1.0 - solved.setup.arch.curvature(place.station_mm).0 * node[0],
        };
        let slope = (stretch * stretch + node[1] * node[1] + node[3] * node[3]).sqrt();
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
        let at = plus(&base.at, 1.0, &base.compose(&[0.0, node[0], node[2]]));
        let force = base.compose(&[along_n, lingual_n, gingival_n]);
        let direction = unit(&base.compose(&[stretch, node[1], node[3]]));
        // The least turn from the base to the wire leaves the twist between them about their middle.
        let facing = plus(&base.axes[0], 1.0, &direction);
        let about = times(1.0 / (1.0 + dot(&base.axes[0], &direction)), &facing);
        into.readings.push(EdgeReading { base: *base, direction });
        into.actions.push(EdgeAction { at, force, torque_nmm, about, turns });
    }
}

impl EdgeReading {
    /// The figures of the edge, told in the axes of the arch line where its forces are told: over the slot line, where
    /// the wire crosses the mouth.
    fn figures(
        &self,
        arch: &ArchLine,
        seat: &SlotEdges,
        place: &EdgePlace,
        action: &EdgeAction,
    ) -> Edge {
        let (station_mm, here) = match &seat.axes {
            Some(_) => {
                let (station_mm, _) = arch.project([action.at[0], action.at[1]], place.station_mm);
                (station_mm, WireFrame::of_arch(arch, station_mm))
            }
            None => (place.station_mm, self.base),
        };
        let [_, wire_lingual_mm, wire_gingival_mm] =
            here.resolve(&plus(&action.at, -1.0, &here.at));
        let [t, l, g] = here.resolve(&self.direction);
        let [along_n, lingual_n, gingival_n] = here.resolve(&action.force);
        Edge {
            station_mm,
            wire_lingual_mm,
            wire_gingival_mm,
            wire_rotated_rad: l.atan2(t),
            wire_tipped_rad: g.atan2(t.hypot(l)),
            along_n,
            lingual_n,
            gingival_n,
            torque_nmm: action.torque_nmm,
        }
    }
}

/// One tooth with its edges.
fn tooth(solved: &ConvergedState<'_>, index: usize, all: &WireOnEdges) -> ToothForces {
    let seat = &solved.slot_edges[index];
    let own = &solved.teeth[index];
    let w = &solved.iterate.carried[index];
    let state = own.give.at(w);
    let from_place = own.displaced(&state);
    let mut gave = from_place;
    for k in 0..6 {
        gave[k] += own.counted[k];
    }
    let (from, to) = all.of_tooth[index];
    let actions = &all.actions[from..to];
    let read = all.readings[from..to].iter().zip(&seat.edges).zip(actions);
    let edges: Vec<Edge> = read
        .map(|((reading, place), action)| reading.figures(&solved.setup.arch, seat, place, action))
        .collect();
    let on_roots = solved.teeth.iter().any(|t| !t.give.diagonal);
    let wire = if on_roots {
        about_the_bracket(seat, actions, &from_place)
    } else {
        by_station(solved, index, &edges, actions)
    };
    let holds = |k: usize| if own.give.matrix[k][k] > 0.0 { state.ratio * w[k] } else { 0.0 };
    ToothForces {
        id: seat.slot.id,
        station_mm: seat.slot.station_mm,
        lingual_n: wire.sum.lingual_n,
        gingival_n: wire.sum.gingival_n,
        along_n: wire.sum.along_n,
        resultant_n: wire.sum.resultant_n(),
        rotation_nmm: wire.sum.rotation_nmm,
        tip_nmm: wire.sum.tip_nmm,
        torque_nmm: wire.sum.torque_nmm,
        lever_torque_nmm: wire.lever_torque_nmm,
        loads: components(&own.load),
        carried: components(&std::array::from_fn(holds)),
        strain: 0.0,
        strain_fraction: 0.0,
        gap_mm: gap_mm(solved, index),
        passive: passive(solved, index),
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

/// All that the wire does to a tooth on its root, about its bracket: what [`on_the_teeth`] says, without the figures of the
/// edges.
pub(crate) fn on_the_root(
    solved: &ConvergedState<'_>,
    index: usize,
    all: &WireOnEdges,
) -> SixForces {
    let own = &solved.teeth[index];
    let from_place = own.displaced(&own.give.at(&solved.iterate.carried[index]));
    let (from, to) = all.of_tooth[index];
    let wire = about_the_bracket(&solved.slot_edges[index], &all.actions[from..to], &from_place);
    let mut six = wire.sum.six();
    six[4] += wire.lever_torque_nmm;
    six
}

/// What the edges do to their tooth together.
#[derive(Default)]
struct Together {
    /// The torque is that of the twist alone.
    sum: Components,
    lever_torque_nmm: f64,
}

impl Together {
    /// A force and a twist on an arm from the bracket's centre: along, lingual, gingival.
    fn add(&mut self, force: Vector, arm: Vector, twist: Vector) {
        let couple = cross(&arm, &force);
        self.sum.along_n += force[0];
        self.sum.lingual_n += force[1];
        self.sum.gingival_n += force[2];
        self.sum.rotation_nmm += couple[2] + twist[2];
        self.sum.tip_nmm -= couple[1] + twist[1];
        self.sum.torque_nmm += twist[0];
        self.lever_torque_nmm += couple[0];
    }
}

/// In the axes of the arch line where the tooth belongs, couples about its bracket's centre as far as the tooth has given.
fn about_the_bracket(seat: &SlotEdges, actions: &[EdgeAction], from_place: &SixForces) -> Together {
    let [lingual, gingival, .., along] = *from_place;
    let home = &seat.bracket;
    let centre = plus(&home.at, 1.0, &home.compose(&[along, lingual, gingival]));
    let mut out = Together::default();
    for action in actions {
        let arm = plus(&action.at, -1.0, &centre);
        out.add(home.resolve(&action.force), home.resolve(&arm), home.resolve(&action.twist()));
    }
    out
}

/// In the convention of teeth held at their brackets: each edge in the axes of its own station, its arm that of the
/// slot.
fn by_station(
    solved: &ConvergedState<'_>,
    index: usize,
    edges: &[Edge],
    actions: &[EdgeAction],
) -> Together {
    let seat = &solved.slot_edges[index];
    let pressed = is_pressed(solved, index);
    let mut out = Together::default();
    for ((place, edge), action) in seat.edges.iter().zip(edges).zip(actions) {
        if seat.axes.is_some() {
            let home = &seat.bracket;
            let [force, twist] = [&action.force, &action.twist()].map(|v| home.resolve(v));
            out.add(force, place.arm_mm, twist);
            continue;
        }
        let mut force = [edge.along_n, edge.lingual_n, edge.gingival_n];
        if pressed {
            [force[0], force[1]] = turned_to_the_tooth(solved, index, edge);
        }
        out.add(force, place.arm_mm, [edge.torque_nmm, 0.0, 0.0]);
    }
    out
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

/// Position of the wire's reference point: its station, and the wire's displacement there.
pub(crate) fn mark(solved: &ConvergedState<'_>) -> [f64; 3] {
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
