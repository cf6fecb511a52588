//! Nodes and elements along the base line.
//!
//! Cubic Hermite elements for the two displacements, linear ones for the twist, two Gauss points each.
//! Nodes lie at the slots' edges; spans and slots are graded towards their ends, where the moment of a
//! superelastic wire passes from the elastic range to the plateau.

use super::arch::ArchLine;
use super::kinematics::{ArchPoint, FourArchPoints, PointCurves};
use super::simd::Four;
use super::slot_line::{BaseCurvature, BaseLine};

/// Node values: y, y', z, z', phi.
pub(crate) type NodeValues = [f64; 5];

/// Relative positions of nodes inside a free span and inside a slot.
const SPAN_AT: [f64; 3] = [0.15, 0.5, 0.85];
const SLOT_AT: [f64; 2] = [0.2, 0.8];
/// Spans beyond this get more elements than [`SPAN_AT`] gives, mm.
const LONG_SPAN_MM: f64 = 8.0;
/// Size of the elements in the middle of a long span, mm.
const LONG_ELEMENT_MM: f64 = 2.2;
/// Longest element of a coarse span, mm.
const COARSE_ELEMENT_MM: f64 = 4.0;

/// How finely the stretches of the wire are cut: slots and free spans by turns, along the arch.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum MeshDensity {
    /// Every element of the standard mesh split into so many.
    Even(usize),
    /// So many parts of a standard element in each stretch; where none, a slot is one element and a span two,
    /// which is exact enough for wire that stays elastic and nearly level.
    Each(Vec<usize>),
}

impl Default for MeshDensity {
    fn default() -> MeshDensity {
        MeshDensity::Even(1)
    }
}

impl MeshDensity {
    /// Parts of a standard element; nothing for a coarse stretch.
    fn parts(&self, stretch: usize) -> Option<usize> {
        match self {
            MeshDensity::Even(parts) => Some(*parts),
            MeshDensity::Each(parts) => {
                Some(parts.get(stretch).copied().unwrap_or(1)).filter(|parts| *parts > 0)
            }
        }
    }

    /// True when any stretch is coarse.
    pub fn coarse(&self) -> bool {
        matches!(self, MeshDensity::Each(parts) if parts.contains(&0))
    }
}

/// Shape functions at one Gauss point.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Gauss {
    pub station_mm: f64,
    pub weight: f64,
    pub value: [f64; 4],
    pub slope: [f64; 4],
    /// Second derivatives for bending in the plane of the arch and out of it (they differ by shear).
    pub bend: [[f64; 4]; 2],
    pub twist: [f64; 2],
    pub twist_slope: f64,
    pub place: ArchPoint,
}

/// The section points of two elements side by side.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Batch {
    pub station: Four,
    pub weight: Four,
    pub value: [Four; 4],
    pub slope: [Four; 4],
    pub bend: [[Four; 4]; 2],
    pub twist: [Four; 2],
    pub twist_slope: Four,
    pub places: FourArchPoints,
    /// Whether the base line leaves the plane of its axes here: it does not in slots and over the arch line.
    pub spatial: bool,
    /// Only where the base line leaves or enters a slot in a bend.
    pub joint: Option<BatchJoint>,
}

/// Where an element meets the mouth of a slot. A node there has the slot's own axes, and its slopes are the wire's
/// against the slot's axis. The base line arrives in axes turned by `angle`, and its curvature makes a slope over it
/// smaller by the share that the wire lies to the inside.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Joint {
    /// Curvature of the base line at the near end, 1/mm.
    pub near: [f64; 2],
    /// At the far end, with the turn of the slot's axes against those carried there, rad.
    pub far: [f64; 2],
    pub angle: f64,
}

/// The joints of two elements side by side.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BatchJoint {
    pub near: [Four; 2],
    pub far: [Four; 2],
    pub cos: Four,
    pub sin: Four,
    pub angle: Four,
}

impl Joint {
    /// Node values at the near end as the element has them.
    fn at_near(&self, node: &NodeValues) -> NodeValues {
        let [y, dy, z, dz, phi] = *node;
        let ahead = 1.0 - self.near[0] * y - self.near[1] * z;
        [y, ahead * dy, z, ahead * dz, phi]
    }

    /// At the far end.
    fn at_far(&self, node: &NodeValues) -> NodeValues {
        let [y, dy, z, dz, phi] = *node;
        let (sin, cos) = self.angle.sin_cos();
        let (y, z) = (cos * y - sin * z, sin * y + cos * z);
        let ahead = 1.0 - self.far[0] * y - self.far[1] * z;
        let (dy, dz) = (cos * dy - sin * dz, sin * dy + cos * dz);
        [y, ahead * dy, z, ahead * dz, phi + self.angle]
    }
}

#[derive(Debug, Clone)]
pub(crate) struct Mesh {
    pub x: Vec<f64>,
    /// Two Gauss points an element.
    pub gauss: Vec<Gauss>,
    /// The same, two elements at a time.
    pub batches: Vec<Batch>,
    /// The base line, and the place of the wire's reference point along it.
    pub base: BaseLine,
    pub form: ArchLine,
    pub mark_mm: f64,
    /// For each element how it meets the slots; empty over the arch line, where nothing turns or jumps.
    pub joints: Vec<Joint>,
    /// For each slot the nodes of its held edges: first and last (the same for one edge).
    pub seats: Vec<(usize, usize)>,
    /// First and last node of slots and spans by turns.
    pub stretches: Vec<(usize, usize)>,
    /// `12 EI / (k G A)` for the two planes, mm^2.
    pub shear: [f64; 2],
}

/// Rest curvatures and twist spread over a stretch of wire.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RestCurvature {
    pub from_mm: f64,
    pub to_mm: f64,
    pub rest: Rest,
}

/// What is bent in.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Rest {
    /// Curvature in the plane of the arch, out of it, and twist, per mm, the same all along.
    Even([f64; 3]),
    /// The arch form laid on a cylinder that runs from side to side: its curvature, 1/mm, gum inside.
    Rolled(f64),
}

impl Rest {
    /// Curvature in the plane of the arch, out of it, and twist at a station, per mm.
    fn at(&self, arch: &ArchLine, station_mm: f64) -> [f64; 3] {
        match *self {
            Rest::Even(rest) => rest,
            Rest::Rolled(curvature) => {
                // Along the wire the frame turns about the cylinder's axis as fast as the wire runs
                // backwards; across the wire that turn is bending, along it twist.
                let [across, back] = arch.tangent(station_mm);
                [0.0, -curvature * back * back, curvature * back * across]
            }
        }
    }
}

impl Mesh {
    /// `seats` are the places of each slot's held edges along the base line, in order; `shear` is `12 EI / (k G A)`, mm^2,
    /// for the two planes (zero for a wire stiff in shear).
    pub fn new(
        base: &BaseLine,
        seats: &[(f64, f64)],
        creases: &[RestCurvature],
        shear: [f64; 2],
        grain: &MeshDensity,
    ) -> Mesh {
        let mut x: Vec<f64> = Vec::new();
        let mut places = Vec::new();
        let mut stretches = Vec::with_capacity(2 * seats.len());
        for (slot, &(left, right)) in seats.iter().enumerate() {
            if let Some(&last) = x.last() {
                let parts = grain.parts(2 * slot - 1);
                let marks = creases.iter().flat_map(|c| [c.from_mm, c.to_mm]);
                let own = span_marks(last, left, parts.is_none());
                let mut cuts: Vec<f64> = own.into_iter().chain(marks).collect();
                cuts.retain(|c| *c > last + 0.05 && *c < left - 0.05);
                cuts.sort_by(f64::total_cmp);
                cuts.dedup_by(|b, a| *b - *a < 0.05);
                let from = x.len() - 1;
                push_refined(&mut x, &cuts, left, parts.unwrap_or(1));
                stretches.push((from, x.len() - 1));
            } else {
                x.push(left);
            }
            let first = x.len() - 1;
            if right > left {
                let parts = grain.parts(2 * slot);
                let at: &[f64] = if parts.is_some() { &SLOT_AT } else { &[] };
                let cuts: Vec<f64> = at.iter().map(|f| left + f * (right - left)).collect();
                push_refined(&mut x, &cuts, right, parts.unwrap_or(1));
            }
            stretches.push((first, x.len() - 1));
            places.push((first, x.len() - 1));
        }
        let mut gauss = Vec::with_capacity(2 * x.len());
        let mut joints = Vec::new();
        match base {
            BaseLine::Arch(arch) => {
                let bend = |at: f64| {
                    let (k0, dk0) = arch.curvature(at);
                    BaseCurvature { toward: [k0, 0.0], rate: [dk0, 0.0] }
                };
                for pair in x.windows(2) {
                    gauss.extend(element(arch, bend, pair[0], pair[1], creases, shear));
                }
            }
            BaseLine::Slots(line) => {
                let mut walk = line.walk();
                for pair in x.windows(2) {
                    let mut joint = Joint::default();
                    if seats.iter().any(|(_, out)| *out == pair[0]) {
                        joint.near = walk.leaving();
                    }
                    let bend = |at: f64| walk.to(at);
                    let mut own = element(&line.form, bend, pair[0], pair[1], creases, shear);
                    soften_the_line(&mut own, softened(shear, pair[1] - pair[0]));
                    gauss.extend(own);
                    if walk.next_mm() == Some(pair[1]) {
                        (joint.angle, joint.far) = walk.enter();
                    } else {
                        walk.to(pair[1]);
                    }
                    joints.push(joint);
                }
            }
        }
        let batches = gauss
            .chunks(4)
            .enumerate()
            .map(|(n, g)| {
                // An odd element at the end fills up with itself, weightless.
                let at = |i: usize| g.get(i).unwrap_or(&g[i % 2]);
                let weight = |i: usize| g.get(i).map_or(0.0, |g: &Gauss| g.weight);
                let joint = |i: usize| joints.get(2 * n + i).copied().unwrap_or_default();
                let pair = [joint(0), joint(1)];
                Batch::of(std::array::from_fn(at), std::array::from_fn(weight), pair)
            })
            .collect();
        let (first, last) = (x.first().copied(), x.last().copied());
        let mark_mm = match base {
            BaseLine::Arch(_) => 0.0_f64.max(first.unwrap_or(0.0)).min(last.unwrap_or(0.0)),
            BaseLine::Slots(line) => line.mark_mm,
        };
        let (base, form) = (base.clone(), *base.form());
        Mesh { x, gauss, batches, base, form, mark_mm, joints, seats: places, stretches, shear }
    }

    /// Whether the base line is curved in space.
    pub fn spatial(&self) -> bool {
        self.base.slots().is_some()
    }

    /// The values at both ends of an element, in the axes that the base line carries along it.
    pub fn ends(&self, element: usize, nodes: &[NodeValues]) -> (NodeValues, NodeValues) {
        let (near, far) = (&nodes[element], &nodes[element + 1]);
        match self.joints.get(element) {
            Some(joint) => (joint.at_near(near), joint.at_far(far)),
            None => (*near, *far),
        }
    }

    /// The curves at a section point.
    pub fn point(&self, n: usize, nodes: &[NodeValues]) -> PointCurves {
        let (a, b) = self.ends(n / 2, nodes);
        self.gauss[n].point(&a, &b)
    }

    pub fn nodes(&self) -> usize {
        self.x.len()
    }
}

fn span_marks(from: f64, to: f64, coarse: bool) -> Vec<f64> {
    let length = to - from;
    if coarse {
        let parts = (length / COARSE_ELEMENT_MM).ceil().max(2.0);
        return (1..parts as usize).map(|i| from + length * i as f64 / parts).collect();
    }
    if length <= LONG_SPAN_MM {
        return SPAN_AT.iter().map(|f| from + f * length).collect();
    }
    let end = SPAN_AT[0] * LONG_SPAN_MM;
    let parts = ((length - 2.0 * end) / LONG_ELEMENT_MM).ceil().max(2.0);
    let step = (length - 2.0 * end) / parts;
    (0..=parts as usize).map(|i| from + end + step * i as f64).collect()
}

/// Appends the cuts and `end`, each gap split into `parts`.
fn push_refined(x: &mut Vec<f64>, cuts: &[f64], end: f64, parts: usize) {
    for &next in cuts.iter().chain([&end]) {
        let from = x[x.len() - 1];
        for part in 1..parts {
            x.push(from + (next - from) * part as f64 / parts as f64);
        }
        x.push(next);
    }
}

fn element(
    arch: &ArchLine,
    mut bend: impl FnMut(f64) -> BaseCurvature,
    a: f64,
    b: f64,
    creases: &[RestCurvature],
    shear: [f64; 2],
) -> [Gauss; 2] {
    let h = b - a;
    let mid = 0.5 * (a + b);
    // The stretch may have been merged into a neighbouring node: keep the whole angle.
    let here = || creases.iter().filter(|c| c.from_mm <= mid && mid < c.to_mm);
    // Shear softens the part of the curvature that varies along the element, which is the part that
    // needs a shear force: the exact Timoshenko element of a linear wire.
    let varying = softened(shear, h);
    let mut at = |side: f64| {
        let t = 0.5 + side * 0.5 / 3.0_f64.sqrt();
        let station_mm = a + t * h;
        let BaseCurvature { toward: [k0, kz], rate: [dk0, dkz] } = bend(station_mm);
        let form = arch.curvature(station_mm).0;
        let mut rest = [form, 0.0, 0.0];
        for crease in here() {
            for (sum, part) in rest.iter_mut().zip(crease.rest.at(arch, station_mm)) {
                *sum += part;
            }
        }
        let bent = |v: f64| {
            let o = v * (2.0 * t - 1.0);
            [6.0 * o / (h * h), (3.0 * o - 1.0) / h, -6.0 * o / (h * h), (3.0 * o + 1.0) / h]
        };
        Gauss {
            station_mm,
            weight: 0.5 * h,
            value: [
                1.0 - t * t * (3.0 - 2.0 * t),
                h * t * (1.0 - t) * (1.0 - t),
                t * t * (3.0 - 2.0 * t),
                -h * t * t * (1.0 - t),
            ],
            slope: [
                -6.0 * t * (1.0 - t) / h,
                1.0 - t * (4.0 - 3.0 * t),
                6.0 * t * (1.0 - t) / h,
                t * (3.0 * t - 2.0),
            ],
            bend: [bent(varying[0]), bent(varying[1])],
            twist: [1.0 - t, t],
            twist_slope: 1.0 / h,
            place: ArchPoint { k0, dk0, kz, dkz, form, rest },
        }
    };
    [at(-1.0), at(1.0)]
}

/// The wire makes good how the slot line bends; what of that varies along an element needs a shear force as well.
fn soften_the_line(pair: &mut [Gauss; 2], varying: [f64; 2]) {
    let [a, b] = pair.each_ref().map(|g| g.place);
    let half = [0.5 * (b.k0 - a.k0), 0.5 * (b.kz - a.kz)];
    for (gauss, side) in pair.iter_mut().zip([-1.0, 1.0]) {
        gauss.place.rest[0] += side * (1.0 - varying[0]) * half[0];
        gauss.place.rest[1] -= side * (1.0 - varying[1]) * half[1];
    }
}

/// What shear leaves of the square root of the stiffness against curvature that varies along an element
/// of length `h`: its energy is then right, and the curvature of the bend alone is as much smaller again.
pub(crate) fn softened(shear: [f64; 2], h: f64) -> [f64; 2] {
    let left = |s: f64| if s > 0.0 { 1.0 / (1.0 + s / (h * h)).sqrt() } else { 1.0 };
    [left(shear[0]), left(shear[1])]
}

impl Gauss {
    /// The curves at this point from the values of the element's two nodes.
    pub fn point(&self, a: &NodeValues, b: &NodeValues) -> PointCurves {
        let along = |w: &[f64; 4], at: usize| {
            w[0] * a[at] + w[1] * a[at + 1] + w[2] * b[at] + w[3] * b[at + 1]
        };
        [
            along(&self.value, 0),
            along(&self.slope, 0),
            along(&self.bend[0], 0),
            along(&self.slope, 2),
            along(&self.bend[1], 2),
            self.twist[0] * a[4] + self.twist[1] * b[4],
            self.twist_slope * (b[4] - a[4]),
            along(&self.value, 2),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shape_functions_carry_a_cubic() {
        let mesh = Mesh::new(
            &BaseLine::Arch(ArchLine::Straight),
            &[(0.0, 3.0), (8.0, 11.0)],
            &[],
            [0.0, 0.0],
            &MeshDensity::Even(1),
        );
        let f = |x: f64| [0.1 * x.powi(3) - x, 0.3 * x * x - 1.0, 2.0 * x, 2.0, 0.5 * x];
        for (n, g) in mesh.gauss.iter().enumerate() {
            let (a, b) = (mesh.x[n / 2], mesh.x[n / 2 + 1]);
            let x = g.station_mm;
            let p = g.point(&f(a), &f(b));
            let want =
                [0.1 * x.powi(3) - x, 0.3 * x * x - 1.0, 0.6 * x, 2.0, 0.0, 0.5 * x, 0.5, 2.0 * x];
            for (have, want) in p.iter().zip(want) {
                assert!((have - want).abs() < 1e-11, "{p:?}");
            }
        }
    }

    #[test]
    fn nodes_are_increasing_and_hold_every_edge() {
        let creases = [RestCurvature { from_mm: 4.0, to_mm: 4.4, rest: Rest::Even([0.0; 3]) }];
        let mesh = Mesh::new(
            &BaseLine::Arch(ArchLine::Straight),
            &[(0.0, 3.0), (8.0, 8.0), (30.0, 33.0)],
            &creases,
            [0.0; 2],
            &MeshDensity::Even(2),
        );
        assert!(mesh.x.windows(2).all(|w| w[1] > w[0]));
        assert_eq!(mesh.seats.len(), 3);
        assert_eq!(mesh.x[mesh.seats[2].0], 30.0);
        assert_eq!(mesh.seats[1].0, mesh.seats[1].1);
    }
}
