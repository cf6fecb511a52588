//! Post-processing: from node values to forces, couples and strains at the teeth.

use std::f64::consts::FRAC_PI_2;

use super::contact::ElasticTooth;
use super::converged::{ConvergedState, keys};
use super::edge_forces::{WireOnTeeth, mark, on_the_teeth};
use super::mesh::{Mesh, softened};
use super::slot_edges::SlotEdges;
use super::slot_line::BaseLine;
use super::solution::WireShape;
use super::support::SixForces;
use super::{BoundForce, History, Kinematics, Law, Refusal, Solution};

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
    let WireOnTeeth { mut teeth, held_n, unbalanced } = on_the_teeth(solved);
    for (index, tooth) in teeth.iter_mut().enumerate() {
        tooth.strain = strains.most(reach(solved, index));
        tooth.strain_fraction = tooth.strain / limit;
    }
    let taken_in_mm = taken_in(solved);
    Solution {
        taken_in_mm,
        held_n,
        held_at_mm: mark(solved),
        unbalanced,
        levels_n: levels(solved),
        bounds: bounds(solved),
        ties_n: Vec::new(),
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
        gave_mm: bound.gave_mm(force_n),
    })
    .collect()
}

fn strain_limit(solved: &ConvergedState<'_>) -> f64 {
    let wire = &solved.setup.wire;
    let stocks = std::iter::once(&wire.stock).chain(&wire.tandem);
    stocks.map(|s| s.law.strain_limit()).fold(f64::INFINITY, f64::min)
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
