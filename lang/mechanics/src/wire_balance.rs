//! Balance of the whole wire. A wire on a fixed line and a mesh knows a turned copy of itself only as well as the
//! mesh does, so what its contacts read does not quite cancel: forces along the arch come from the twist between two
//! nodes, a bend of the line is met at two points an element. What is left is put back where the wire is held, each
//! edge in proportion to what it carries, so that an edge without force stays without.

use nalgebra::{Matrix6, SymmetricEigen, Vector6};

use super::Unbalanced;
use super::slot_line::{Vector, cross, dot, plus, times};

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
        times(self.torque_nmm, &self.about)
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

/// Where moments are taken, and the length that makes a force of them.
#[derive(Debug, Clone, Copy)]
struct About {
    middle: Vector,
    reach: f64,
}

impl About {
    /// The middle of the edges by what they carry, and how far they lie from it; `total` is the sum of their squares.
    fn the_middle_of(edges: &[EdgeAction], total: f64) -> About {
        let share = |e: &EdgeAction| dot(&e.force, &e.force) / total;
        let mut middle = [0.0; 3];
        for edge in edges {
            middle = plus(&middle, share(edge), &edge.at);
        }
        let away = |e: &EdgeAction| {
            let arm = plus(&e.at, -1.0, &middle);
            dot(&arm, &arm) * share(e)
        };
        let spread: f64 = edges.iter().map(away).sum();
        About { middle, reach: spread.sqrt().max(1.0) }
    }

    /// An arm over the length.
    fn arm(&self, at: &Vector) -> Vector {
        times(1.0 / self.reach, &plus(at, -1.0, &self.middle))
    }

    fn of(&self, at: &Vector, force: &Vector, twist: &Vector) -> ForceMoment {
        let moment = plus(&cross(&self.arm(at), force), 1.0 / self.reach, twist);
        let ([a, b, c], [d, e, f]) = (*force, moment);
        ForceMoment::new(a, b, c, d, e, f)
    }
}

/// Changes what acts on the teeth so that it is what acts on the wire from outside, and says how far it was off.
pub(crate) fn put_back(
    edges: &mut [EdgeAction],
    outside: &[EdgeAction],
    held: HeldAlong,
    held_n: &mut f64,
) -> Unbalanced {
    let total: f64 = edges.iter().map(|e| dot(&e.force, &e.force)).sum();
    if total <= 0.0 || !total.is_finite() {
        return Unbalanced::default();
    }
    let about = About::the_middle_of(edges, total);
    let mut left = ForceMoment::zeros();
    for edge in edges.iter() {
        left += about.of(&edge.at, &edge.force, &edge.twist());
    }
    for action in outside {
        left -= about.of(&action.at, &action.force, &action.twist());
    }
    let pull = about.of(&held.at, &times(-1.0, &held.along), &[0.0; 3]);
    let open = if held.open { FREELY * total } else { 0.0 };
    let weights: Vec<[f64; 2]> = weights(edges);
    let mut resists = resistance(edges, &weights, &about);
    if open > 0.0 {
        resists += open * pull * pull.transpose();
    }
    let Some(by) = solved(resists, &left) else { return Unbalanced::default() };
    let (force, moment) = ([by[0], by[1], by[2]], [by[3], by[4], by[5]]);
    for (edge, [weight, turned]) in edges.iter_mut().zip(&weights) {
        // The transposed of what a force there does.
        let change = plus(&force, 1.0, &cross(&moment, &about.arm(&edge.at)));
        edge.force = plus(&edge.force, -weight, &change);
        edge.torque_nmm -= turned * dot(&edge.about, &moment) / about.reach;
    }
    *held_n -= open * pull.dot(&by);
    let force_n = left.fixed_rows::<3>(0).norm();
    Unbalanced { force_n, couple_nmm: about.reach * left.fixed_rows::<3>(3).norm() }
}

/// What all edges do against a small force and moment: of each its weight times `W W^T`, where `W` is what a force on
/// the edge comes to, and the same of its twist. With `[r]` the cross product by the arm, `W` is one over `[r]`, so that
/// the sum takes the weights, the arms and `r^2 - r r^T` alone.
fn resistance(edges: &[EdgeAction], weights: &[[f64; 2]], about: &About) -> Matrix6<f64> {
    let (mut all, mut arms, mut couples) = (0.0, [0.0; 3], [[0.0; 3]; 3]);
    for (edge, &[weight, turned]) in edges.iter().zip(weights) {
        let arm = about.arm(&edge.at);
        let square = dot(&arm, &arm);
        all += weight;
        arms = plus(&arms, weight, &arm);
        let turned = turned / (about.reach * about.reach);
        for r in 0..3 {
            couples[r][r] += weight * square;
            for c in 0..3 {
                couples[r][c] += turned * edge.about[r] * edge.about[c] - weight * arm[r] * arm[c];
            }
        }
    }
    let [x, y, z] = arms;
    let crossed = [[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]];
    Matrix6::from_fn(|r, c| match (r < 3, c < 3) {
        (true, true) => {
            if r == c {
                all
            } else {
                0.0
            }
        }
        (false, true) => crossed[r - 3][c],
        (true, false) => crossed[c - 3][r],
        (false, false) => couples[r - 3][c - 3],
    })
}

/// Twist is straight between nodes where bending is cubic, so a mesh knows couples of twist less well than forces: one
/// of a newton millimetre is changed as readily as a newton.
const TWIST_MM: f64 = 1.0;

/// How readily the force of each edge is changed, and its twist where it can have any.
fn weights(edges: &[EdgeAction]) -> Vec<[f64; 2]> {
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

/// A pivot above this share of the largest leaves a system no direction without an answer, and its answer no less exact
/// than its sums are.
const SOUND: f64 = 1e-7;

/// The least answer of a system that may have directions without any. Where it has none such there is one answer, and
/// elimination finds it in a tenth of the time.
fn solved(system: Matrix6<f64>, right: &ForceMoment) -> Option<ForceMoment> {
    let by = eliminated(&system, right).or_else(|| least(system, right))?;
    by.iter().all(|x| x.is_finite()).then_some(by)
}

/// By Cholesky's factors; nothing where a direction may be without an answer.
fn eliminated(system: &Matrix6<f64>, right: &ForceMoment) -> Option<ForceMoment> {
    let factors = system.cholesky()?;
    let root = factors.l_dirty().diagonal();
    let (least, most) = (root.min(), root.max());
    (least * least > SOUND * most * most).then(|| factors.solve(right))
}

/// By the system's own directions.
fn least(system: Matrix6<f64>, right: &ForceMoment) -> Option<ForceMoment> {
    let eigen = SymmetricEigen::try_new(system, 1e-15, 200)?;
    let largest = eigen.eigenvalues.max();
    let mut by = ForceMoment::zeros();
    for (value, way) in eigen.eigenvalues.iter().zip(eigen.eigenvectors.column_iter()) {
        if *value > NONE * largest {
            by += way * (way.dot(right) / value);
        }
    }
    Some(by)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Edges round an arch, or all on one straight line.
    fn edges(straight: bool, seed: u64) -> Vec<EdgeAction> {
        let mut seed = seed;
        let mut random = || {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) as f64 / f64::from(1_u32 << 31) - 0.5
        };
        (0..24)
            .map(|n| {
                let along = 3.0 * f64::from(n) - 36.0;
                let at = if straight {
                    [along, 0.0, 0.0]
                } else {
                    [along, 0.02 * along * along, 2.0 * random()]
                };
                let force = [random(), random(), random()];
                let about = if straight { [1.0, 0.0, 0.0] } else { [random(), random(), 0.2] };
                let turns = n % 3 == 0;
                EdgeAction {
                    at,
                    force,
                    torque_nmm: if turns { random() } else { 0.0 },
                    about,
                    turns,
                }
            })
            .collect()
    }

    /// The same word by word: every force and twist by itself, and the system's own directions.
    fn plainly(edges: &mut [EdgeAction], outside: &[EdgeAction], held: HeldAlong) -> f64 {
        let total: f64 = edges.iter().map(|e| dot(&e.force, &e.force)).sum();
        let about = About::the_middle_of(edges, total);
        let unit = |axis: usize| std::array::from_fn(|i| if i == axis { 1.0 } else { 0.0 });
        let weights = weights(edges);
        let ways: Vec<[ForceMoment; 4]> = edges
            .iter()
            .map(|e| {
                let force = |axis| about.of(&e.at, &unit(axis), &[0.0; 3]);
                [force(0), force(1), force(2), about.of(&e.at, &[0.0; 3], &e.about)]
            })
            .collect();
        let each = |edge: usize, way: usize| weights[edge][usize::from(way == 3)];
        let pull = about.of(&held.at, &held.along.map(|x| -x), &[0.0; 3]);
        let open = if held.open { FREELY * total } else { 0.0 };
        let mut resists = open * pull * pull.transpose();
        let mut left = ForceMoment::zeros();
        for (n, edge) in edges.iter().enumerate() {
            left += about.of(&edge.at, &edge.force, &edge.twist());
            for (k, way) in ways[n].iter().enumerate() {
                resists += each(n, k) * way * way.transpose();
            }
        }
        for action in outside {
            left -= about.of(&action.at, &action.force, &action.twist());
        }
        let by = least(resists, &left).unwrap();
        for (n, edge) in edges.iter_mut().enumerate() {
            for axis in 0..3 {
                edge.force[axis] -= each(n, axis) * ways[n][axis].dot(&by);
            }
            edge.torque_nmm -= each(n, 3) * ways[n][3].dot(&by);
        }
        -open * pull.dot(&by)
    }

    #[test]
    fn the_short_way_is_the_plain_one() {
        for seed in 1..40 {
            for (straight, open) in [(false, false), (false, true), (true, false)] {
                let held = HeldAlong { at: [0.5, 0.1, 0.3], along: [0.9, 0.1, 0.0], open };
                let outside = [EdgeAction::force([0.5, 0.1, 0.3], [0.3, 0.02, -0.1])];
                let (mut short, mut plain) = (edges(straight, seed), edges(straight, seed));
                let mut held_n = 0.0;
                put_back(&mut short, &outside, held, &mut held_n);
                let plain_n = plainly(&mut plain, &outside, held);
                assert!((held_n - plain_n).abs() < 1e-9, "{held_n} {plain_n}");
                for (a, b) in short.iter().zip(&plain) {
                    let apart = plus(&a.force, -1.0, &b.force);
                    assert!(dot(&apart, &apart).sqrt() < 1e-9, "{seed} {straight} {a:?} {b:?}");
                    assert!((a.torque_nmm - b.torque_nmm).abs() < 1e-9, "{a:?} {b:?}");
                }
            }
        }
    }
}
