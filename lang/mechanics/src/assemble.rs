//! Assembly: energy, gradient and Hessian of the whole wire, summed over its elements.
//!
//! Two elements with two Gauss points each fill the four lanes of `Four`, so elements are processed in
//! pairs.

use super::axial::Axial;
use super::bending::{Bending, MomentMemo};
use super::block_tridiagonal::{Column, FiveByFive};
use super::kinematics::{self, Density, FourArchPoints, FourPointCurves, States};
use super::mesh::{Batch, Mesh, NodeValues};
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
        self.gradient.clear();
        self.gradient.resize(nodes, [0.0; 5]);
        self.diagonal.clear();
        self.diagonal.resize(nodes, [[0.0; 5]; 5]);
        self.next.clear();
        self.next.resize(nodes.saturating_sub(1), [[0.0; 5]; 5]);
        self.curvatures.clear();
        self.curvatures.resize(2 * nodes.saturating_sub(1), [0.0; 2]);
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
        let mut local = [[Four::ZERO; 10]; 10];
        let slides = theory == Theory::Of(Kinematics::Exact);
        let form = (slides && mesh.form.slides()).then_some(mesh.form);
        self.slid.clear();
        self.cost.clear();
        if form.is_some() {
            self.slide(mesh, nodes);
        }
        for (n, batch) in mesh.batches.iter().enumerate() {
            let first = 2 * n;
            let points = batch.points(nodes, first);
            let mut places = batch.places;
            if let Some(here) = self.levels.get(first) {
                let next = self.levels.get(first + 1).unwrap_or(here);
                places.level = Four([*here, *here, *next, *next]);
            }
            let mut turn = Four::ZERO;
            if let Some(form) = form {
                let (k0, dk0) = form.curvatures(batch.station + self.slid[n]);
                places.rest[0] += k0 - places.k0;
                turn = dk0;
            }
            let d = if theory == Theory::Start {
                kinematics::small_slope(&points, &batch.places, bending, &[&[]; 4])
            } else {
                let states: States<'_> = std::array::from_fn(|i| memory.at(4 * n + i));
                if theory == Theory::Of(Kinematics::Exact) {
                    kinematics::exact(&points, &places, bending, &states)
                } else {
                    kinematics::small_slope(&points, &batch.places, bending, &states)
                }
            };
            energy += batch.weight * d.energy;
            if form.is_some() {
                self.cost.push(-(batch.weight * turn * d.leans));
            }
            let pull = batch.spread(&d, &mut local);
            self.put(first, 0, &pull, &local, &d);
            if first + 2 < nodes.len() {
                self.put(first + 1, 2, &pull, &local, &d);
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
            let pull = batch.thrust(&t, batch.weight * thrust);
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
        let pull = batch.thrust(&t, batch.weight);
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

const Y: [usize; 4] = [0, 1, 5, 6];
const Z: [usize; 4] = [2, 3, 7, 8];
const PHI: [usize; 2] = [4, 9];

impl Batch {
    /// The curves at the four points of two elements.
    #[inline(always)]
    fn points(&self, nodes: &[NodeValues], first: usize) -> FourPointCurves {
        let (a, b) = (&nodes[first], &nodes[first + 1]);
        // The last batch may have one element alone; its second has no weight.
        let c = nodes.get(first + 2).unwrap_or(b);
        let ends = |k: usize| [Four([a[k], a[k], b[k], b[k]]), Four([b[k], b[k], c[k], c[k]])];
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
        ]
    }

    /// Unit tangent of the wire in the axes of the arch line, and length beyond that of the line.
    #[inline(always)]
    fn stretch(&self, nodes: &[NodeValues], first: usize) -> ([Four; 3], Four) {
        let [y, dy, _, dz, ..] = self.points(nodes, first);
        let ahead = -(self.places.k0 * y);
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
        }
        pull
    }

    /// Derivatives by the ten values of each element (Hessian: upper triangle, the rest is left alone).
    #[inline(always)]
    fn spread(&self, d: &Density, local: &mut [[Four; 10]; 10]) -> [Four; 10] {
        let w = self.weight;
        let mut pull = [Four::ZERO; 10];
        let mut column = [[Four::ZERO; 7]; 10];
        let h = &d.hessian;
        for a in 0..4 {
            let (v, s, b) = (w * self.value[a], w * self.slope[a], w * self.bend[0][a]);
            pull[Y[a]] = v * d.gradient[0] + s * d.gradient[1] + b * d.gradient[2];
            for i in 0..7 {
                column[Y[a]][i] = v * h[0][i] + s * h[1][i] + b * h[2][i];
            }
            let b = w * self.bend[1][a];
            pull[Z[a]] = s * d.gradient[3] + b * d.gradient[4];
            for i in 0..7 {
                column[Z[a]][i] = s * h[3][i] + b * h[4][i];
            }
        }
        for a in 0..2 {
            let v = w * self.twist[a];
            let s = if a == 0 { -(w * self.twist_slope) } else { w * self.twist_slope };
            pull[PHI[a]] = v * d.gradient[5] + s * d.gradient[6];
            for i in 0..7 {
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

/// The same numbers of four section points side by side.
impl Batch {
    pub fn of(four: [&super::mesh::Gauss; 4], weights: [f64; 4]) -> Batch {
        let each =
            |f: &dyn Fn(&super::mesh::Gauss) -> f64| Four(std::array::from_fn(|i| f(four[i])));
        Batch {
            station: each(&|g| g.station_mm),
            weight: Four(weights),
            value: std::array::from_fn(|k| each(&|g| g.value[k])),
            slope: std::array::from_fn(|k| each(&|g| g.slope[k])),
            bend: std::array::from_fn(|p| std::array::from_fn(|k| each(&|g| g.bend[p][k]))),
            twist: std::array::from_fn(|k| each(&|g| g.twist[k])),
            twist_slope: each(&|g| g.twist_slope),
            places: FourArchPoints::of(four.map(|g| g.place)),
        }
    }
}
