//! The search for the forces of bounds on lengths: the free wire first, then again with every bound that it
//! misses, until the forces stand (method of multipliers; the potential of a bound is in [`axial`](super::axial)).

use std::f64::consts::PI;

use super::SolverSettings;
use super::assemble::excess;
use super::axial::{Axial, Bound};
use super::bending::Bending;
use super::contact::{ContactState, Room};
use super::equilibrium::{EquilibriumProblem, Iterate, NewtonOutcome};
use super::mesh::{Mesh, NodeValues};

/// A bound missed by less than this is kept, mm.
const KEPT_MM: f64 = 1.0e-5;
/// Searches before a bound is given up.
const SEARCHES: usize = 30;
/// The compliance of the search falls by no more than this from one search to the next.
const STIFFER: f64 = 0.1;
/// And no lower than this, mm/N.
const EASED_LEAST: f64 = 1.0e-5;
/// A bow is found when less than this is missed, mm.
const LEVELLED_MM: f64 = 1.0e-2;
/// How far a straight wire is put off its line before it is pressed, mm, to the outer side.
const NUDGE_MM: f64 = 1.0e-3;
/// Barrier of the contacts as a search goes on from another, N mm.
const ONWARD_BARRIER: f64 = 1.0e-3;

/// Solves again with the bounds that the free wire misses; leaves everything as it is where it misses none.
pub(crate) fn bind(
    free: &EquilibriumProblem<'_>,
    bounds: Axial,
    settings: &SolverSettings,
    (iterate, outcome): (&mut Iterate, &mut NewtonOutcome),
) -> Axial {
    let mut axial = bounds;
    let mesh = free.mesh;
    let missing = missed(&axial, mesh, &iterate.nodes);
    if !outcome.converged || missing.iter().all(|m| *m <= KEPT_MM) {
        iterate.bounds = missing.iter().map(|m| (0.0, *m)).collect();
        return axial;
    }
    begin(&mut axial, mesh, free.bending);
    for _ in 0..SEARCHES {
        // Again in each search: a wire that came out straight under less may buckle under more.
        let missing = missed(&axial, mesh, &iterate.nodes);
        for (bound, missed) in axial.bounds.iter().zip(missing) {
            if missed > LEVELLED_MM && bound.sign > 0.0 {
                nudge(mesh, bound.elements, &mut iterate.nodes);
            }
        }
        let problem = free.with_axial(&axial);
        onward(&problem, iterate);
        let before = outcome.iterations;
        *outcome = problem.minimise(iterate, settings, ONWARD_BARRIER);
        outcome.iterations += before;
        if !outcome.converged {
            return axial;
        }
        if update(&mut axial, &iterate.bounds, settings.force_tolerance_n) {
            return axial;
        }
    }
    outcome.converged = false;
    axial
}

/// Slacks and forces of the contacts to go on with from a solved shape.
pub(crate) fn onward(problem: &EquilibriumProblem<'_>, iterate: &mut Iterate) {
    let gaps = problem.gaps(&iterate.nodes, &iterate.carried);
    for ((contact, &gap), touch) in problem.contacts.iter().zip(&gaps).zip(&mut iterate.touches) {
        let Room::Between { low, high } = contact.room else { continue };
        let floor = 0.02 * (high - low);
        let slack = [(gap - low).max(floor), (high - gap).max(floor)];
        let force = [0, 1].map(|k| touch.force[k].max(ONWARD_BARRIER / slack[k]));
        *touch = ContactState { slack, force };
    }
}

/// A pressed wire that lies straight may stay so past its buckling load; put a little to the outer side, where
/// a curved one bows to, it always leaves the same way.
fn nudge(mesh: &Mesh, (from, to): (usize, usize), nodes: &mut [NodeValues]) {
    let (a, b) = (mesh.x[from], mesh.x[to]);
    for node in from + 1..to {
        let t = PI * (mesh.x[node] - a) / (b - a);
        nodes[node][0] -= NUDGE_MM * t.sin();
        nodes[node][1] -= NUDGE_MM * PI / (b - a) * t.cos();
    }
}

/// By how much each bound is missed without any force in it, mm.
fn missed(axial: &Axial, mesh: &Mesh, nodes: &[NodeValues]) -> Vec<f64> {
    let longer = excess(mesh, nodes);
    let miss = |b: &Bound| {
        let (from, to) = b.elements;
        b.sign * (b.excess_mm - longer[from..to].iter().sum::<f64>())
    };
    axial.bounds.iter().map(miss).collect()
}

/// Lays out the compliances of the first search: a miss of a millimetre takes about the force under which
/// the stretch would buckle.
fn begin(axial: &mut Axial, mesh: &Mesh, bending: &Bending) {
    for bound in &mut axial.bounds {
        let (from, to) = bound.elements;
        let length = (mesh.x[to] - mesh.x[from]).max(1.0);
        let buckles =
            PI * PI * bending.rigidity()[0].min(bending.rigidity()[1]) / (length * length);
        bound.eased = (1.0 / buckles.max(1e-3) - bound.give).max(0.0);
    }
}

/// Takes over the forces of a search and stiffens the next one; true when they stand.
fn update(axial: &mut Axial, reached: &[(f64, f64)], tolerance_n: f64) -> bool {
    let mut stand = true;
    for (bound, &(force, missed_mm)) in axial.bounds.iter_mut().zip(reached) {
        let change = (force - bound.found).abs();
        let short = if force > 0.0 { (missed_mm - bound.gave_mm(force)).abs() } else { 0.0 };
        // Two searches, each as exact as the tolerance, may differ by twice as much.
        let still = change <= (2.0 * tolerance_n).max(1e-5 * force) && short <= KEPT_MM;
        stand &= bound.eased == 0.0 || still;
        bound.find(force);
        // What is still missed may raise the force by about as much as it is.
        let next = short / force.max(0.1);
        bound.eased = bound.eased.min(next.max(STIFFER * bound.eased).max(EASED_LEAST));
    }
    stand
}
