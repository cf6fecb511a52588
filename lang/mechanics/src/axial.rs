//! Axial force in the wire: bounds on lengths of wire between slot edges, each with one multiplier.
//!
//! A wire that slides freely carries none. A stop, a cinched end, two stops about too much or too little wire
//! bound the length between two edges from one side. A bound that is missed in the free equilibrium is added to
//! the potential as `c/2 C^2` with `C = max(0, (miss + e C') / c)`, `c = g + e`: `g` is the give of the two
//! teeth along the arch, `e` a compliance of the search that goes to nothing as `C'`, the force found last,
//! comes to stand (method of multipliers). The length is prescribed, not the force, so a wire that buckles is
//! followed past its buckling load.

use std::f64::consts::PI;

use super::assemble::excess;
use super::bending::Bending;
use super::contact::{ContactState, Room};
use super::equilibrium::{EquilibriumProblem, Iterate, NewtonOutcome};
use super::mesh::{Mesh, NodeValues};
use super::slot_edges::SlotEdges;
use super::{EdgeSide, LengthBound, LengthLimit, SolverSettings};

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

/// One bound as the solver has it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bound {
    /// Elements whose length is bound: from the first to before the second.
    pub elements: (usize, usize),
    /// 1 for a least length, which presses the wire; -1 for a largest, which draws it.
    pub sign: f64,
    /// The bound, as length beyond that of the arch line, mm.
    pub excess_mm: f64,
    /// Indices of the teeth at its ends.
    pub teeth: (usize, usize),
    /// Give of both teeth along the arch, mm/N.
    pub give: f64,
    /// Compliance that the search adds, mm/N, and the force it has found, N.
    pub eased: f64,
    pub found: f64,
}

impl Bound {
    /// Of the teeth and of the search, mm/N.
    pub fn compliance(&self) -> f64 {
        self.give + self.eased
    }

    /// What the bound carries where the wire misses it by so much without it, N; never below zero.
    pub fn force(&self, missed_mm: f64) -> f64 {
        ((missed_mm + self.eased * self.found) / self.compliance()).max(0.0)
    }
}

/// Axial forces that a wire is under.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Axial {
    /// Given axial force of every element, compression positive, N; empty where there is none.
    pub levels: Vec<f64>,
    /// The same beyond both ends: what a hand pushes or pulls with.
    pub ends: [f64; 2],
    /// Bounds on lengths.
    pub bounds: Vec<Bound>,
}

impl Axial {
    /// The bounds of a wire on a mesh.
    pub fn of(bounds: &[LengthBound], seats: &[SlotEdges], mesh: &Mesh) -> Axial {
        let place = |id: u16, side: EdgeSide| {
            let tooth = seats.iter().position(|s| s.slot.id == id)?;
            let (first, last) = mesh.seats[tooth];
            Some((tooth, if side == EdgeSide::Right { first } else { last }))
        };
        let bound = |b: &LengthBound| {
            let (from, to) = (place(b.from.id, b.from.side)?, place(b.to.id, b.to.side)?);
            let ((right, from), (left, to)) = if from.1 < to.1 { (from, to) } else { (to, from) };
            if from == to {
                return None;
            }
            let (sign, length) = match b.length {
                LengthLimit::AtLeast(mm) => (1.0, mm),
                LengthLimit::AtMost(mm) => (-1.0, mm),
            };
            let along = |tooth: usize| seats[tooth].slot.support.along_at_bracket();
            Some(Bound {
                elements: (from, to),
                sign,
                excess_mm: length - (mesh.x[to] - mesh.x[from]),
                teeth: (right, left),
                give: along(right) + along(left),
                eased: 0.0,
                found: 0.0,
            })
        };
        Axial { bounds: bounds.iter().filter_map(bound).collect(), ..Axial::default() }
    }

    /// Given axial forces of the pieces between held edges, in order.
    pub fn given(pieces_n: &[f64], ends: [f64; 2], mesh: &Mesh) -> Axial {
        let mut levels = vec![0.0; mesh.nodes().saturating_sub(1)];
        let pieces = mesh.stretches.iter().filter(|(first, last)| last > first);
        for (&(first, last), level) in pieces.zip(pieces_n) {
            levels[first..last].fill(*level);
        }
        Axial { levels, ends, bounds: Vec::new() }
    }

    /// By how much each bound is missed without any force in it, mm.
    fn missed(&self, mesh: &Mesh, nodes: &[NodeValues]) -> Vec<f64> {
        let longer = excess(mesh, nodes);
        let miss = |b: &Bound| {
            let (from, to) = b.elements;
            b.sign * (b.excess_mm - longer[from..to].iter().sum::<f64>())
        };
        self.bounds.iter().map(miss).collect()
    }

    /// Force on the wire along itself at a node where the axial force changes, N.
    pub fn jump(&self, levels: &[f64], node: usize) -> f64 {
        let before = match node.checked_sub(1) {
            Some(element) => levels.get(element).copied().unwrap_or(0.0),
            None => self.ends[0],
        };
        let after = levels.get(node).copied();
        after.unwrap_or(if levels.is_empty() { 0.0 } else { self.ends[1] }) - before
    }

    /// Force along the wire of a hand at its end, towards larger stations, N.
    pub fn hand(&self, levels: &[f64], node: usize) -> f64 {
        match node {
            0 => self.ends[0],
            n if n == levels.len() => -self.ends[1],
            _ => 0.0,
        }
    }

    /// Lays out the compliances of the first search: a miss of a millimetre takes about the force under which
    /// the stretch would buckle.
    fn begin(&mut self, mesh: &Mesh, bending: &Bending) {
        for bound in &mut self.bounds {
            let (from, to) = bound.elements;
            let length = (mesh.x[to] - mesh.x[from]).max(1.0);
            let buckles =
                PI * PI * bending.rigidity()[0].min(bending.rigidity()[1]) / (length * length);
            bound.eased = (1.0 / buckles.max(1e-3) - bound.give).max(0.0);
        }
    }

    /// Takes over the forces of a search and stiffens the next one; true when they stand.
    fn update(&mut self, reached: &[(f64, f64)], tolerance_n: f64) -> bool {
        let mut stand = true;
        for (bound, &(force, missed_mm)) in self.bounds.iter_mut().zip(reached) {
            let change = (force - bound.found).abs();
            let short = if force > 0.0 { (missed_mm - bound.give * force).abs() } else { 0.0 };
            let still = change <= tolerance_n.max(1e-5 * force) && short <= KEPT_MM;
            stand &= bound.eased == 0.0 || still;
            bound.found = force;
            // What is still missed may raise the force by about as much as it is.
            let next = short / force.max(0.1);
            bound.eased = bound.eased.min(next.max(STIFFER * bound.eased).max(EASED_LEAST));
        }
        stand
    }
}

/// Solves again with the bounds that the free wire misses; leaves everything as it is where it misses none.
pub(crate) fn bind(
    free: &EquilibriumProblem<'_>,
    bounds: Axial,
    settings: &SolverSettings,
    (iterate, outcome): (&mut Iterate, &mut NewtonOutcome),
) -> Axial {
    let mut axial = bounds;
    let mesh = free.mesh;
    let missed = axial.missed(mesh, &iterate.nodes);
    if !outcome.converged || missed.iter().all(|m| *m <= KEPT_MM) {
        iterate.bounds = missed.iter().map(|m| (0.0, *m)).collect();
        return axial;
    }
    axial.begin(mesh, free.bending);
    for _ in 0..SEARCHES {
        // Again in each search: a wire that came out straight under less may buckle under more.
        let missed = axial.missed(mesh, &iterate.nodes);
        for (bound, missed) in axial.bounds.iter().zip(missed) {
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
        if axial.update(&iterate.bounds, settings.force_tolerance_n) {
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
