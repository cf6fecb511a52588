//! Assembly: energy, gradient and Hessian of the whole wire, summed over its elements.
//!
//! Two elements with two Gauss points each fill the four lanes of `Four`, so elements are processed in
//! pairs.

use super::axial::Axial;
use super::bending::{Bending, MomentMemo};
use super::block_tridiagonal::{Column, FiveByFive};
use super::kinematics::{self, Density, FourArchPoints, FourPointCurves, Hessians, States};
use super::mesh::{Batch, BatchJoint, Gauss, Joint, Mesh, NodeValues};
use super::setup::Kinematics;
use super::simd::{Four, widely};

/// The wire at one shape.
#[derive(Debug, Clone, Default)]
pub(crate) struct Assembled {
    pub energy: f64,
    pub gradient: Vec<Column>,
    /// Upper triangles.
    pub diagonal: Vec<FiveByFive>,
    /// Rows of a node, columns of the next.
    pub next: Vec<FiveByFive>,
    /// Curvature that strains each section point.
    pub curvatures: Vec<[f64; 2]>,
    /// Force along the arch on the wire that keeps its mark in place, N.
    pub held: f64,
    /// What the axial forces add to the potential: bounds under load less the work of given levels, N mm.
    pub axial: f64,
    /// Axial force of every element, and its bounds, where there are any.
    pub levels: Vec<f64>,
    pub reached: Vec<ReachedBound>,
    /// For a form that slides: how far the wire has slid, and what sliding on costs.
    slid: Vec<Four>,
    cost: Vec<Four>,
}

/// A bound on a length of wire at one shape.
#[derive(Debug, Clone, Default)]
pub(crate) struct ReachedBound {
    /// The force it takes, N, zero where there is room, and the length by which it is missed, mm.
    pub force: f64,
    pub missed_mm: f64,
    /// Derivative of the length by the node values, and the stiffness against it, N/mm; both only under load.
    pub gradient: Vec<Column>,
    pub stiffness: f64,
}

/// Which density to integrate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Theory {
    /// The elastic wire of small slopes, fresh.
    Start,
    Of(Kinematics),
}

impl Assembled {
    fn clear(&mut self, nodes: usize) {
        self.energy = 0.0;
        let elements = nodes.saturating_sub(1);
        self.gradient.resize(nodes, [0.0; 5]);
        self.gradient.fill([0.0; 5]);
        self.diagonal.resize(nodes, [[0.0; 5]; 5]);
        self.diagonal.fill([[0.0; 5]; 5]);
        // Every element writes its own of these.
        self.next.resize(elements, [[0.0; 5]; 5]);
        self.curvatures.resize(2 * elements, [0.0; 2]);
    }

    /// Integrates over the mesh; buffers are used again.
    pub fn assemble(
        &mut self,
        mesh: &Mesh,
        bending: &Bending,
        memory: &MomentMemo,
        nodes: &[NodeValues],
        theory: Theory,
        axial: Option<&Axial>,
    ) {
        self.clear(nodes.len());
        self.axial = 0.0;
        self.levels.clear();
        if let Some(axial) = axial {
            self.bound(mesh, nodes, axial);
        }
        widely(
            #[inline(always)]
            || self.integrate(mesh, bending, memory, nodes, theory),
        );
        // A round wire's roll costs nothing on a straight line; a trace of stiffness keeps it still.
        let trace = 1e-9 * bending.torsion;
        for ((block, slope), node) in self.diagonal.iter_mut().zip(&mut self.gradient).zip(nodes) {
            block[4][4] += trace;
            slope[4] += trace * node[4];
            self.energy += 0.5 * trace * node[4] * node[4];
        }
    }

    #[inline(always)]
    fn integrate(
        &mut self,
        mesh: &Mesh,
        bending: &Bending,
        memory: &MomentMemo,
        nodes: &[NodeValues],
        theory: Theory,
    ) {
        let mut energy = Four::ZERO;
        let mut second = SecondDerivatives::default();
        let slides = theory == Theory::Of(Kinematics::Exact);
        let form = (slides && mesh.form.slides()).then_some(mesh.form);
        self.slid.clear();
        self.cost.clear();
        if form.is_some() {
            self.slide(mesh, nodes);
        }
        for (n, batch) in mesh.batches.iter().enumerate() {
            let first = 2 * n;
            let mut places = batch.places;
            if let Some(here) = self.levels.get(first) {
                let next = self.levels.get(first + 1).unwrap_or(here);
                places.level = Four([*here, *here, *next, *next]);
            }
            let mut turn = Four::ZERO;
            if let Some(form) = form {
                let (k0, dk0) = form.curvatures(batch.station + self.slid[n]);
                places.rest[0] += k0 - places.form;
                turn = dk0;
            }
            if theory == Theory::Start && mesh.spatial() {
                // The stiffness of the elastic wire is asked for: one that is at rest along the line.
                places.rest = [places.k0, Four::ZERO, Four::ZERO];
            }
            let at = |i: usize| memory.at(4 * n + i);
            let states: States<'_> = [at(0), at(1), at(2), at(3)];
            let (d, pull) = if batch.spatial {
                batch.in_space(nodes, first, &places, bending, &states, theory, &mut second)
            } else {
                batch.pair::<false>(nodes, first, &places, bending, &states, theory, &mut second)
            };
            energy += batch.weight * d.energy;
            if form.is_some() {
                self.cost.push(-(batch.weight * turn * d.leans));
            }
            self.put(first, 0, &pull, &second.local, &d);
            if first + 2 < nodes.len() {
                self.put(first + 1, 2, &pull, &second.local, &d);
            }
        }
        self.energy = energy.sum();
        self.held = 0.0;
        if form.is_some() {
            self.push(mesh, nodes);
        }
    }

    /// Axial force of every element: the given levels and the bounds that are missed.
    fn bound(&mut self, mesh: &Mesh, nodes: &[NodeValues], axial: &Axial) {
        let longer: Vec<f64> = excess(mesh, nodes);
        self.levels.extend_from_slice(&axial.levels);
        self.levels.resize(longer.len(), 0.0);
        self.axial = -longer.iter().zip(&self.levels).map(|(l, c)| l * c).sum::<f64>();
        self.reached.resize(axial.bounds.len(), ReachedBound::default());
        for (bound, reached) in axial.bounds.iter().zip(&mut self.reached) {
            let (from, to) = bound.elements;
            let has: f64 = longer[from..to].iter().sum();
            reached.missed_mm = bound.sign * (bound.excess_mm - has);
            reached.force = bound.force(reached.missed_mm);
            reached.gradient.clear();
            if reached.force > 0.0 {
                reached.stiffness = 1.0 / bound.compliance();
                self.axial += 0.5 * bound.compliance() * reached.force * reached.force;
                reached.gradient.resize(nodes.len(), [0.0; 5]);
                lengthened(mesh, nodes, bound.elements, &mut reached.gradient);
                for level in &mut self.levels[from..to] {
                    *level += bound.sign * reached.force;
                }
            }
        }
    }

    /// How far each section point has slid along the form: the length that the wire has taken in
    /// between it and the mark.
    #[inline(always)]
    fn slide(&mut self, mesh: &Mesh, nodes: &[NodeValues]) {
        let (mut sum, mut at_mark) = (0.0, 0.0);
        for (n, batch) in mesh.batches.iter().enumerate() {
            let (_, longer) = batch.stretch(nodes, 2 * n);
            let length = batch.weight * longer;
            let mut slid = Four::ZERO;
            for i in 0..4 {
                slid.0[i] = sum + 0.5 * length.0[i];
                sum += length.0[i];
                if batch.station.0[i] < mesh.mark_mm {
                    at_mark = sum;
                }
            }
            self.slid.push(slid);
        }
        for slid in &mut self.slid {
            *slid = *slid - at_mark;
        }
    }

    /// The thrust that a form of changing curvature adds where the wire slides along it.
    #[inline(always)]
    fn push(&mut self, mesh: &Mesh, nodes: &[NodeValues]) {
        let total: f64 = self.cost.iter().map(|c| c.0.iter().sum::<f64>()).sum();
        self.held = -total;
        let mut before = 0.0;
        for (n, batch) in mesh.batches.iter().enumerate() {
            let mut thrust = Four::ZERO;
            for i in 0..4 {
                let own = self.cost[n].0[i];
                let beyond = if batch.station.0[i] < mesh.mark_mm { 0.0 } else { total };
                thrust.0[i] = beyond - before - 0.5 * own;
                before += own;
            }
            let (t, _) = batch.stretch(nodes, 2 * n);
            let mut pull = batch.thrust(&t, batch.weight * thrust);
            batch.back(nodes, 2 * n, &mut pull);
            for (element, lane) in [(2 * n, 0), (2 * n + 1, 2)] {
                if element + 1 < nodes.len() {
                    for r in 0..5 {
                        let both = |x: &Four| x.0[lane] + x.0[lane + 1];
                        self.gradient[element][r] += both(&pull[r]);
                        self.gradient[element + 1][r] += both(&pull[5 + r]);
                    }
                }
            }
        }
    }

    /// Adds an element, which has two lanes from `lane`.
    #[inline(always)]
    fn put(
        &mut self,
        element: usize,
        lane: usize,
        pull: &[Four; 10],
        local: &[[Four; 10]; 10],
        d: &Density,
    ) {
        let both = |x: &Four| x.0[lane] + x.0[lane + 1];
        for k in 0..2 {
            for i in 0..2 {
                self.curvatures[2 * element + k][i] = d.curvature[i].0[lane + k];
            }
        }
        for r in 0..5 {
            self.gradient[element][r] += both(&pull[r]);
            self.gradient[element + 1][r] += both(&pull[5 + r]);
        }
        let here = &mut self.diagonal[element];
        for r in 0..5 {
            for c in r..5 {
                here[r][c] += both(&local[r][c]);
            }
        }
        let after = &mut self.diagonal[element + 1];
        for r in 0..5 {
            for c in r..5 {
                after[r][c] += both(&local[5 + r][5 + c]);
            }
        }
        let next = &mut self.next[element];
        for r in 0..5 {
            for c in 0..5 {
                next[r][c] = both(&local[r][5 + c]);
            }
        }
    }
}

/// Length of every element beyond that of the arch line, mm.
pub(crate) fn excess(mesh: &Mesh, nodes: &[NodeValues]) -> Vec<f64> {
    let mut out = Vec::with_capacity(nodes.len());
    for (n, batch) in mesh.batches.iter().enumerate() {
        let (_, longer) = batch.stretch(nodes, 2 * n);
        let length = batch.weight * longer;
        out.extend([length.0[0] + length.0[1], length.0[2] + length.0[3]]);
    }
    out.truncate(nodes.len().saturating_sub(1));
    out
}

/// Adds the derivatives of the length of a stretch of elements.
fn lengthened(mesh: &Mesh, nodes: &[NodeValues], elements: (usize, usize), into: &mut [Column]) {
    for (n, batch) in mesh.batches.iter().enumerate() {
        if 2 * n + 1 < elements.0 || 2 * n >= elements.1 {
            continue;
        }
        let (t, _) = batch.stretch(nodes, 2 * n);
        let mut pull = batch.thrust(&t, batch.weight);
        batch.back(nodes, 2 * n, &mut pull);
        for (element, lane) in [(2 * n, 0), (2 * n + 1, 2)] {
            if element >= elements.0 && element < elements.1 {
                for r in 0..5 {
                    let both = |x: &Four| x.0[lane] + x.0[lane + 1];
                    into[element][r] += both(&pull[r]);
                    into[element + 1][r] += both(&pull[5 + r]);
                }
            }
        }
    }
}

/// Second derivatives of two elements, written anew for each two.
#[derive(Debug, Clone, Default)]
struct SecondDerivatives {
    /// At the points, by the curves there.
    by_point: Hessians,
    /// By the curves, and by the ten values of each element.
    column: [[Four; 8]; 10],
    /// By the ten values of each, upper triangle.
    local: [[Four; 10]; 10],
}

/// Curvature out of the plane that counts as none, 1/mm.
const FLAT_PER_MM: f64 = 1e-12;

const Y: [usize; 4] = [0, 1, 5, 6];
const Z: [usize; 4] = [2, 3, 7, 8];
const PHI: [usize; 2] = [4, 9];

impl Batch {
    /// The node values at the near and the far ends of two elements.
    #[inline(always)]
    fn ends(&self, nodes: &[NodeValues], first: usize) -> [[Four; 2]; 5] {
        let (a, b) = (&nodes[first], &nodes[first + 1]);
        // The last batch may have one element alone; its second has no weight.
        let c = nodes.get(first + 2).unwrap_or(b);
        let mut ends = [[Four::ZERO; 2]; 5];
        for (k, ends) in ends.iter_mut().enumerate() {
            *ends = [Four([a[k], a[k], b[k], b[k]]), Four([b[k], b[k], c[k], c[k]])];
        }
        ends
    }

    /// The densities at the four points of two elements, with their derivatives by the ten values of each.
    #[inline(always)]
    #[allow(clippy::too_many_arguments, reason = "what a pair of elements is made of")]
    fn pair<const SPATIAL: bool>(
        &self,
        nodes: &[NodeValues],
        first: usize,
        places: &FourArchPoints,
        bending: &Bending,
        states: &States<'_>,
        theory: Theory,
        second: &mut SecondDerivatives,
    ) -> (Density, [Four; 10]) {
        let h = &mut second.by_point;
        let points = self.points::<SPATIAL>(nodes, first);
        let d = match theory {
            Theory::Start => kinematics::small_slope(&points, places, bending, &[&[]; 4], h),
            Theory::Of(Kinematics::Exact) => {
                kinematics::exact::<SPATIAL>(&points, places, bending, states, h)
            }
            Theory::Of(Kinematics::SmallSlope) => {
                kinematics::small_slope(&points, places, bending, states, h)
            }
        };
        let pull = self.spread::<SPATIAL>(&d, second);
        (d, pull)
    }

    /// The same over a base line curved in space: a function of its own, so that the compiler has two of moderate
    /// size to work on.
    #[inline(never)]
    #[allow(clippy::too_many_arguments, reason = "what a pair of elements is made of")]
    fn in_space(
        &self,
        nodes: &[NodeValues],
        first: usize,
        places: &FourArchPoints,
        bending: &Bending,
        states: &States<'_>,
        theory: Theory,
        second: &mut SecondDerivatives,
    ) -> (Density, [Four; 10]) {
        let (d, mut pull) = widely(
            #[inline(always)]
            || self.pair::<true>(nodes, first, places, bending, states, theory, second),
        );
        if let Some(joint) = &self.joint {
            let ends = joint.at(&self.ends(nodes, first));
            ends.back_both(&mut pull, &mut second.local);
        }
        (d, pull)
    }

    #[inline(never)]
    fn points_in_space(&self, nodes: &[NodeValues], first: usize) -> FourPointCurves {
        self.points::<true>(nodes, first)
    }

    /// Derivatives by the values of two elements, as derivatives by those of their nodes.
    #[inline(never)]
    fn back(&self, nodes: &[NodeValues], first: usize, pull: &mut [Four; 10]) {
        if let Some(joint) = &self.joint {
            joint.at(&self.ends(nodes, first)).back(pull);
        }
    }

    /// The curves at the four points of two elements.
    #[inline(always)]
    fn points<const SPATIAL: bool>(&self, nodes: &[NodeValues], first: usize) -> FourPointCurves {
        let mut ends = self.ends(nodes, first);
        if let (true, Some(joint)) = (SPATIAL, &self.joint) {
            let own = joint.at(&ends);
            for k in 0..5 {
                ends[k] = [own.near.values[k], own.far.values[k]];
            }
        }
        let ends = |k: usize| ends[k];
        let along = |w: &[Four; 4], at: usize| {
            let ([u, v], [du, dv]) = (ends(at), ends(at + 1));
            w[0] * u + w[1] * du + w[2] * v + w[3] * dv
        };
        let [p, q] = ends(4);
        [
            along(&self.value, 0),
            along(&self.slope, 0),
            along(&self.bend[0], 0),
            along(&self.slope, 2),
            along(&self.bend[1], 2),
            self.twist[0] * p + self.twist[1] * q,
            self.twist_slope * (q - p),
            if SPATIAL { along(&self.value, 2) } else { Four::ZERO },
        ]
    }

    /// Unit tangent of the wire in the axes of the base line, and length beyond that of the line.
    #[inline(always)]
    fn stretch(&self, nodes: &[NodeValues], first: usize) -> ([Four; 3], Four) {
        let [y, dy, _, dz, _, _, _, z] = if self.spatial {
            self.points_in_space(nodes, first)
        } else {
            self.points::<false>(nodes, first)
        };
        let ahead = -(self.places.k0 * y) - self.places.kz * z;
        // |p| - 1 without cancellation.
        let square = dy * dy + dz * dz + ahead * (ahead + 2.0);
        let s = (square + 1.0).sqrt();
        ([(ahead + 1.0) / s, dy / s, dz / s], square / (s + 1.0))
    }

    /// Derivatives of the wire's length under weights, by the ten values of each element.
    #[inline(always)]
    fn thrust(&self, t: &[Four; 3], w: Four) -> [Four; 10] {
        let mut pull = [Four::ZERO; 10];
        let inward = -(w * self.places.k0 * t[0]);
        for a in 0..4 {
            pull[Y[a]] = inward * self.value[a] + w * t[1] * self.slope[a];
            pull[Z[a]] = w * t[2] * self.slope[a];
            if self.spatial {
                pull[Z[a]] -= w * self.places.kz * t[0] * self.value[a];
            }
        }
        pull
    }

    /// Derivatives by the ten values of each element (Hessian: upper triangle, the rest is left alone).
    #[inline(always)]
    fn spread<const SPATIAL: bool>(
        &self,
        d: &Density,
        second: &mut SecondDerivatives,
    ) -> [Four; 10] {
        let SecondDerivatives { by_point: Hessians { by_curves: h, .. }, column, local } = second;
        let w = self.weight;
        let mut pull = [Four::ZERO; 10];
        let curves = if SPATIAL { 8 } else { 7 };
        for a in 0..4 {
            let (v, s, b) = (w * self.value[a], w * self.slope[a], w * self.bend[0][a]);
            pull[Y[a]] = v * d.gradient[0] + s * d.gradient[1] + b * d.gradient[2];
            for i in 0..curves {
                column[Y[a]][i] = v * h[0][i] + s * h[1][i] + b * h[2][i];
            }
            let b = w * self.bend[1][a];
            pull[Z[a]] = s * d.gradient[3] + b * d.gradient[4];
            for i in 0..curves {
                column[Z[a]][i] = s * h[3][i] + b * h[4][i];
            }
            if SPATIAL {
                pull[Z[a]] += v * d.gradient[7];
                for i in 0..curves {
                    column[Z[a]][i] += v * h[7][i];
                }
            }
        }
        for a in 0..2 {
            let v = w * self.twist[a];
            let s = if a == 0 { -(w * self.twist_slope) } else { w * self.twist_slope };
            pull[PHI[a]] = v * d.gradient[5] + s * d.gradient[6];
            for i in 0..curves {
                column[PHI[a]][i] = v * h[5][i] + s * h[6][i];
            }
        }
        for c in 0..10 {
            let k = &column[c];
            for a in 0..4 {
                if Y[a] <= c {
                    local[Y[a]][c] =
                        self.value[a] * k[0] + self.slope[a] * k[1] + self.bend[0][a] * k[2];
                }
                if Z[a] <= c {
                    local[Z[a]][c] = self.slope[a] * k[3] + self.bend[1][a] * k[4];
                    if SPATIAL {
                        local[Z[a]][c] += self.value[a] * k[7];
                    }
                }
            }
            for a in 0..2 {
                if PHI[a] <= c {
                    let turn = self.twist_slope * k[6];
                    let turn = if a == 0 { -turn } else { turn };
                    local[PHI[a]][c] = self.twist[a] * k[5] + turn;
                }
            }
        }
        pull
    }
}

/// An end of two elements as the base line has it, with what its slopes hang on.
struct JointEnd {
    values: [Four; 5],
    /// Slopes against the slot's axis, in the axes carried; share that is left of them; and the line's curvature.
    slopes: [Four; 2],
    ahead: Four,
    curvature: [Four; 2],
    /// Turn of the slot's axes.
    cos: Four,
    sin: Four,
}

/// Both ends.
struct JointEnds {
    near: JointEnd,
    far: JointEnd,
}

impl JointEnd {
    #[inline(always)]
    fn of(node: [Four; 5], curvature: [Four; 2], [cos, sin, angle]: [Four; 3]) -> JointEnd {
        let [y, dy, z, dz, phi] = node;
        let (y, z) = (cos * y - sin * z, sin * y + cos * z);
        let slopes = [cos * dy - sin * dz, sin * dy + cos * dz];
        let ahead = Four::all(1.0) - curvature[0] * y - curvature[1] * z;
        let values = [y, ahead * slopes[0], z, ahead * slopes[1], phi + angle];
        JointEnd { values, slopes, ahead, curvature, cos, sin }
    }

    /// Derivatives by the element's values from `at` on, as derivatives by the node's own.
    #[inline(always)]
    fn back(&self, by: &mut [Four; 10], at: usize) {
        let fall = by[at + 1] * self.slopes[0] + by[at + 3] * self.slopes[1];
        let y = by[at] - self.curvature[0] * fall;
        let z = by[at + 2] - self.curvature[1] * fall;
        let (dy, dz) = (self.ahead * by[at + 1], self.ahead * by[at + 3]);
        by[at] = self.cos * y + self.sin * z;
        by[at + 2] = self.cos * z - self.sin * y;
        by[at + 1] = self.cos * dy + self.sin * dz;
        by[at + 3] = self.cos * dz - self.sin * dy;
    }

    /// What the product of place and slope adds to the second derivatives, under first derivatives by the element's
    /// values: rows y and z, columns the slopes, by the node's own values.
    #[inline(always)]
    fn bow(&self, by: &[Four; 10], at: usize) -> [[Four; 2]; 2] {
        let slope = [
            self.cos * by[at + 1] + self.sin * by[at + 3],
            self.cos * by[at + 3] - self.sin * by[at + 1],
        ];
        let [ky, kz] = self.curvature;
        let inward = [self.cos * ky + self.sin * kz, self.cos * kz - self.sin * ky];
        [0, 1].map(|r| [0, 1].map(|c| -(inward[r] * slope[c])))
    }
}

impl BatchJoint {
    fn of([a, b]: [Joint; 2]) -> BatchJoint {
        let lanes = |f: &dyn Fn(&Joint) -> f64| Four([f(&a), f(&a), f(&b), f(&b)]);
        BatchJoint {
            near: std::array::from_fn(|k| lanes(&|j| j.near[k])),
            far: std::array::from_fn(|k| lanes(&|j| j.far[k])),
            cos: lanes(&|j| j.angle.cos()),
            sin: lanes(&|j| j.angle.sin()),
            angle: lanes(&|j| j.angle),
        }
    }

    /// Both ends, from the node values there.
    #[inline(always)]
    fn at(&self, ends: &[[Four; 2]; 5]) -> JointEnds {
        let straight = [Four::all(1.0), Four::ZERO, Four::ZERO];
        let turned = [self.cos, self.sin, self.angle];
        JointEnds {
            near: JointEnd::of(std::array::from_fn(|k| ends[k][0]), self.near, straight),
            far: JointEnd::of(std::array::from_fn(|k| ends[k][1]), self.far, turned),
        }
    }
}

impl JointEnds {
    #[inline(always)]
    fn back(&self, by: &mut [Four; 10]) {
        self.near.back(by, 0);
        self.far.back(by, 5);
    }

    /// First derivatives, and the upper triangle of second ones.
    #[inline(never)]
    fn back_both(&self, pull: &mut [Four; 10], local: &mut [[Four; 10]; 10]) {
        for r in 0..10 {
            for c in 0..r {
                local[r][c] = local[c][r];
            }
        }
        for row in local.iter_mut() {
            self.back(row);
        }
        for c in 0..10 {
            let mut column: [Four; 10] = std::array::from_fn(|r| local[r][c]);
            self.back(&mut column);
            for r in 0..=c {
                local[r][c] = column[r];
            }
        }
        for (end, at) in [(&self.near, 0), (&self.far, 5)] {
            let [y, z] = end.bow(pull, at);
            local[at][at + 1] += y[0];
            local[at][at + 3] += y[1];
            local[at + 1][at + 2] += z[0];
            local[at + 2][at + 3] += z[1];
        }
        self.back(pull);
    }
}

/// One figure of four section points.
#[inline(always)]
fn lanes(four: [&Gauss; 4], of: impl Fn(&Gauss) -> f64) -> Four {
    Four([of(four[0]), of(four[1]), of(four[2]), of(four[3])])
}

/// The same numbers of four section points side by side.
impl Batch {
    pub fn of(four: [&Gauss; 4], weights: [f64; 4], joints: [Joint; 2]) -> Batch {
        let one = |k: usize| lanes(four, |g| g.value[k]);
        let two = |k: usize| lanes(four, |g| g.slope[k]);
        let bent = |p: usize, k: usize| lanes(four, |g| g.bend[p][k]);
        let bent = |p: usize| [bent(p, 0), bent(p, 1), bent(p, 2), bent(p, 3)];
        Batch {
            station: lanes(four, |g| g.station_mm),
            weight: Four(weights),
            value: [one(0), one(1), one(2), one(3)],
            slope: [two(0), two(1), two(2), two(3)],
            bend: [bent(0), bent(1)],
            twist: [lanes(four, |g| g.twist[0]), lanes(four, |g| g.twist[1])],
            twist_slope: lanes(four, |g| g.twist_slope),
            places: FourArchPoints::of([
                four[0].place,
                four[1].place,
                four[2].place,
                four[3].place,
            ]),
            spatial: joints != [Joint::default(); 2]
                || four.iter().any(|g| g.place.kz.abs().max(g.place.dkz.abs()) > FLAT_PER_MM),
            joint: (joints != [Joint::default(); 2]).then(|| BatchJoint::of(joints)),
        }
    }
}
