//! Balance of the whole wire. A wire on a fixed line and a mesh knows a turned copy of itself only as well as the
//! mesh does, so what its contacts read does not quite cancel: forces along the arch come from the twist between two
//! nodes, a bend of the line is met at two points an element. What is left is put back where the wire is held, each
//! edge in proportion to what it carries, so that an edge without force stays without.

use nalgebra::{Matrix6, SymmetricEigen, Vector6};

use super::Unbalanced;
use super::slot_line::{Vector, cross, dot, plus};

/// A force at a place, in space, and a twist.
#[derive(Debug, Clone, Copy)]
pub(crate) struct EdgeAction {
    pub at: Vector,
    pub force: Vector,
    pub torque_nmm: f64,
    /// The couple of a unit of twist.
    pub about: Vector,
    /// Whether it can have any.
    pub turns: bool,
}

impl EdgeAction {
    pub fn force(at: Vector, force: Vector) -> EdgeAction {
        EdgeAction { at, force, torque_nmm: 0.0, about: [0.0; 3], turns: false }
    }

    pub fn twist(&self) -> Vector {
        self.about.map(|x| x * self.torque_nmm)
    }
}

/// What holds the wire along the arch at its mark.
#[derive(Debug, Clone, Copy)]
pub(crate) struct HeldAlong {
    pub at: Vector,
    pub along: Vector,
    /// Whether its force is not known from the shape, and taken as balance asks.
    pub open: bool,
}

/// A sum of forces, and of moments about a point over a length, N.
type ForceMoment = Vector6<f64>;
/// Directions whose resistance is below this share of the largest have none: an arch all in one line.
const NONE: f64 = 1e-13;
/// An open force costs this much less to change than all edges together.
const FREELY: f64 = 100.0;

/// Changes what acts on the teeth so that it is what acts on the wire from outside, and says how far it was off.
pub(crate) fn put_back(
    edges: &mut [&mut EdgeAction],
    outside: &[EdgeAction],
    held: HeldAlong,
    held_n: &mut f64,
) -> Unbalanced {
    let total: f64 = edges.iter().map(|e| dot(&e.force, &e.force)).sum();
    if total <= 0.0 || !total.is_finite() {
        return Unbalanced::default();
    }
    let mut middle = [0.0; 3];
    for edge in edges.iter() {
        middle = plus(&middle, dot(&edge.force, &edge.force) / total, &edge.at);
    }
    let spread: f64 = edges
        .iter()
        .map(|e| {
            let arm = plus(&e.at, -1.0, &middle);
            dot(&arm, &arm) * dot(&e.force, &e.force) / total
        })
        .sum();
    let reach = spread.sqrt().max(1.0);
    let of = |at: &Vector, force: &Vector, twist: &Vector| {
        let moment = plus(&cross(&plus(at, -1.0, &middle), force), 1.0, twist);
        ForceMoment::from_iterator(force.iter().copied().chain(moment.map(|x| x / reach)))
    };
    let mut left = ForceMoment::zeros();
    for edge in edges.iter() {
        left += of(&edge.at, &edge.force, &edge.twist());
    }
    for action in outside {
        left -= of(&action.at, &action.force, &action.twist());
    }
    let pull = of(&held.at, &held.along.map(|x| -x), &[0.0; 3]);
    let open = if held.open { FREELY * total } else { 0.0 };
    let mut resists = open * pull * pull.transpose();
    let weights: Vec<[f64; 2]> = weights(edges);
    for (edge, [weight, turned]) in edges.iter().zip(&weights) {
        for axis in 0..3 {
            let mut one = [0.0; 3];
            one[axis] = 1.0;
            let change = of(&edge.at, &one, &[0.0; 3]);
            resists += *weight * change * change.transpose();
        }
        let change = of(&edge.at, &[0.0; 3], &edge.about);
        resists += *turned * change * change.transpose();
    }
    let Some(by) = solved(resists, &left) else { return Unbalanced::default() };
    for (edge, [weight, turned]) in edges.iter_mut().zip(&weights) {
        for axis in 0..3 {
            let mut one = [0.0; 3];
            one[axis] = 1.0;
            edge.force[axis] -= weight * of(&edge.at, &one, &[0.0; 3]).dot(&by);
        }
        edge.torque_nmm -= turned * of(&edge.at, &[0.0; 3], &edge.about).dot(&by);
    }
    *held_n -= open * pull.dot(&by);
    let force_n = left.fixed_rows::<3>(0).norm();
    Unbalanced { force_n, couple_nmm: reach * left.fixed_rows::<3>(3).norm() }
}

/// Twist is straight between nodes where bending is cubic, so a mesh knows couples of twist less well than forces: one
/// of a newton millimetre is changed as readily as a newton.
const TWIST_MM: f64 = 1.0;

/// How readily the force of each edge is changed, and its twist where it can have any.
fn weights(edges: &[&mut EdgeAction]) -> Vec<[f64; 2]> {
    let force = |e: &EdgeAction| dot(&e.force, &e.force).sqrt();
    let (mut most, mut turned) = (0.0_f64, 0.0_f64);
    for edge in edges {
        most = most.max(force(edge));
        turned = turned.max(edge.torque_nmm.abs());
    }
    let each = edges.iter().map(|e| {
        let own = most * force(e);
        let twist =
            if e.turns { turned * e.torque_nmm.abs() + TWIST_MM * TWIST_MM * own } else { 0.0 };
        [own, twist]
    });
    each.collect()
}

/// The least answer of a system that may have directions without any.
fn solved(system: Matrix6<f64>, right: &ForceMoment) -> Option<ForceMoment> {
    let eigen = SymmetricEigen::try_new(system, 1e-15, 200)?;
    let largest = eigen.eigenvalues.max();
    let mut by = ForceMoment::zeros();
    for (value, way) in eigen.eigenvalues.iter().zip(eigen.eigenvectors.column_iter()) {
        if *value > NONE * largest {
            by += way * (way.dot(right) / value);
        }
    }
    by.iter().all(|x| x.is_finite()).then_some(by)
}
