//! The search for equilibrium: Newton on the energy, contacts by a primal-dual interior point.
//!
//! Minimises wire energy plus tooth energy less load work, with a logarithmic barrier on the slacks of
//! the contacts. Constraints are linear, so a full step makes every slack true; a shorter one keeps the
//! rest of the miss. Steps are accepted on energy, barrier and miss together.

use super::bending::Bending;
use super::chain::{Block, Chain, Column};
use super::contact::{Contact, Grip, HELD_GIVE, Room, Six, Tooth, Touch, gap, grip};
use super::fibre::Ready;
use super::kinematics::{self, Density};
use super::mesh::{Mesh, Node};
use super::setup::{Kinematics, Settings};

/// Largest change of a slope or a twist in one step: the graph has no global minimum, and a longer
/// step may leave the valley of the shape that a clinician would see.
const TURN_STEP: f64 = 0.4;
/// Largest change of a displacement in one step, mm.
const SHIFT_STEP_MM: f64 = 3.0;
/// Share of the way to a wall that one step may go.
const TO_WALL: f64 = 0.99;

/// Everything fixed during a search.
pub(crate) struct Problem<'a> {
    pub mesh: &'a Mesh,
    pub bending: &'a Bending,
    pub kinematics: Kinematics,
    /// Fibre states, section point by section point; empty for a fresh wire.
    pub state: &'a [Ready],
    pub contacts: &'a [Contact],
    pub teeth: &'a [Tooth],
    /// A typical stiffness of every node value, for shifts.
    pub scale: Vec<[f64; 5]>,
    /// The elastic wire of small slopes, unbent.
    pub elastic: Assembled,
}

/// Everything that moves.
#[derive(Debug, Clone)]
pub(crate) struct Iterate {
    pub nodes: Vec<Node>,
    pub touches: Vec<Touch>,
    /// Force carried by each tooth's support.
    pub carried: Vec<[f64; 5]>,
    /// Curvature that strains each section point, as of the last accepted step.
    pub curvatures: Vec<[f64; 2]>,
}

/// How a search ended.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Outcome {
    pub converged: bool,
    pub iterations: usize,
    pub residual_n: f64,
    /// Node of the largest residual.
    pub node: usize,
    pub energy_nmm: f64,
}

#[derive(Debug, Clone, Default)]
pub(crate) struct Assembled {
    energy: f64,
    gradient: Vec<Column>,
    chain: Chain,
    /// Curvature that strains each section point.
    curvatures: Vec<[f64; 2]>,
}

struct Step {
    nodes: Vec<Column>,
    gaps: Vec<f64>,
    carried: Vec<[f64; 5]>,
}

impl<'a> Problem<'a> {
    pub fn new(
        mesh: &'a Mesh,
        bending: &'a Bending,
        kinematics: Kinematics,
        state: &'a [Ready],
        contacts: &'a [Contact],
        teeth: &'a [Tooth],
    ) -> Problem<'a> {
        let mut problem = Problem {
            mesh,
            bending,
            kinematics,
            state,
            contacts,
            teeth,
            scale: Vec::new(),
            elastic: Assembled::default(),
        };
        let zero = vec![Node::default(); mesh.nodes()];
        problem.elastic = problem.assemble(&zero, true);
        problem.scale = problem
            .elastic
            .chain
            .diagonal
            .iter()
            .map(|b| std::array::from_fn(|i| b[(i, i)].max(1e-6)))
            .collect();
        problem
    }

    fn state_at(&self, gauss: usize) -> &[Ready] {
        if self.state.is_empty() {
            return &[];
        }
        let n = self.bending.fibres();
        &self.state[gauss * n..(gauss + 1) * n]
    }

    fn density(&self, gauss: usize, a: &Node, b: &Node, elastic: bool) -> Density {
        let g = &self.mesh.gauss[gauss];
        let point = g.point(a, b);
        if elastic {
            return kinematics::small_slope(&point, &g.place, self.bending, &[]);
        }
        let state = self.state_at(gauss);
        match self.kinematics {
            Kinematics::Exact => kinematics::exact(&point, &g.place, self.bending, state),
            Kinematics::SmallSlope => {
                kinematics::small_slope(&point, &g.place, self.bending, state)
            }
        }
    }

    /// Energy, gradient and Hessian of the wire alone.
    fn assemble(&self, nodes: &[Node], elastic: bool) -> Assembled {
        let n = nodes.len();
        let mut energy = 0.0;
        let mut curvatures = Vec::with_capacity(self.mesh.gauss.len());
        let mut gradient = vec![Column::zeros(); n];
        let mut chain = Chain {
            diagonal: vec![Block::zeros(); n],
            next: vec![Block::zeros(); n.saturating_sub(1)],
            ties: Vec::new(),
        };
        for i in 0..n.saturating_sub(1) {
            let mut local = [[0.0_f64; 10]; 10];
            let mut pull = [0.0_f64; 10];
            for gauss in [2 * i, 2 * i + 1] {
                let d = self.density(gauss, &nodes[i], &nodes[i + 1], elastic);
                energy += self.mesh.gauss[gauss].weight * d.energy;
                curvatures.push(d.curvature);
                self.spread(gauss, &d, &mut pull, &mut local);
            }
            for r in 0..5 {
                gradient[i][r] += pull[r];
                gradient[i + 1][r] += pull[5 + r];
                for c in 0..5 {
                    chain.diagonal[i][(r, c)] += local[r.min(c)][r.max(c)];
                    chain.diagonal[i + 1][(r, c)] += local[5 + r.min(c)][5 + r.max(c)];
                    chain.next[i][(r, c)] = local[r][5 + c];
                }
            }
        }
        // A round wire's roll costs nothing on a straight line; a trace of stiffness keeps it still.
        for (i, block) in chain.diagonal.iter_mut().enumerate() {
            let trace = 1e-9 * self.bending.torsion;
            block[(4, 4)] += trace;
            gradient[i][4] += trace * nodes[i][4];
            energy += 0.5 * trace * nodes[i][4] * nodes[i][4];
        }
        Assembled { energy, gradient, chain, curvatures }
    }

    /// Adds a point's derivatives to those of its element's ten values (upper triangle).
    #[inline]
    fn spread(&self, gauss: usize, d: &Density, pull: &mut [f64; 10], local: &mut [[f64; 10]; 10]) {
        const Y: [usize; 4] = [0, 1, 5, 6];
        const Z: [usize; 4] = [2, 3, 7, 8];
        const PHI: [usize; 2] = [4, 9];
        let g = &self.mesh.gauss[gauss];
        let w = g.weight;
        let h = &d.hessian;
        let twist_slope = [-g.twist_slope, g.twist_slope];
        let mut column = [[0.0_f64; 7]; 10];
        for a in 0..4 {
            let (v, s, b) = (w * g.value[a], w * g.slope[a], w * g.bend[0][a]);
            let (sz, bz) = (w * g.slope[a], w * g.bend[1][a]);
            pull[Y[a]] += v * d.gradient[0] + s * d.gradient[1] + b * d.gradient[2];
            pull[Z[a]] += sz * d.gradient[3] + bz * d.gradient[4];
            for i in 0..7 {
                column[Y[a]][i] = v * h[i][0] + s * h[i][1] + b * h[i][2];
                column[Z[a]][i] = sz * h[i][3] + bz * h[i][4];
            }
        }
        for a in 0..2 {
            let (v, s) = (w * g.twist[a], w * twist_slope[a]);
            pull[PHI[a]] += v * d.gradient[5] + s * d.gradient[6];
            for i in 0..7 {
                column[PHI[a]][i] = v * h[i][5] + s * h[i][6];
            }
        }
        for c in 0..10 {
            let k = &column[c];
            for a in 0..4 {
                if Y[a] <= c {
                    local[Y[a]][c] += g.value[a] * k[0] + g.slope[a] * k[1] + g.bend[0][a] * k[2];
                }
                if Z[a] <= c {
                    local[Z[a]][c] += g.slope[a] * k[3] + g.bend[1][a] * k[4];
                }
            }
            for a in 0..2 {
                if PHI[a] <= c {
                    local[PHI[a]][c] += g.twist[a] * k[5] + twist_slope[a] * k[6];
                }
            }
        }
    }

    /// Gaps of all contacts.
    pub fn gaps(&self, nodes: &[Node], carried: &[[f64; 5]]) -> Vec<f64> {
        self.contacts
            .iter()
            .map(|c| gap(c, &nodes[c.node], &self.teeth[c.tooth], &carried[c.tooth]))
            .collect()
    }

    /// A first shape: the elastic wire of small slopes drawn softly to the middle of every slot.
    pub fn first_shape(&self) -> Option<Iterate> {
        let zero = vec![Node::default(); self.mesh.nodes()];
        let carried: Vec<[f64; 5]> = self.teeth.iter().map(|t| t.load).collect();
        let mut touches: Vec<Touch> = self.contacts.iter().map(|_| Touch::default()).collect();
        // Slack and force such that every contact pulls like a spring of a wire's own stiffness.
        let rigidity = self.bending.rigidity();
        for (touch, contact) in touches.iter_mut().zip(self.contacts) {
            let spring = match contact.dof {
                0 => rigidity[0],
                2 => rigidity[1],
                _ => self.bending.torsion,
            };
            touch.slack = [1.0; 2];
            touch.force = [0.5 * spring; 2];
        }
        let gaps = self.gaps(&zero, &carried);
        let soft: Vec<Contact> = self
            .contacts
            .iter()
            .map(|c| match c.room {
                Room::Held => *c,
                Room::Between { low, high } => {
                    let mid = 0.5 * (low + high);
                    Contact { room: Room::Between { low: mid - 1.0, high: mid + 1.0 }, ..*c }
                }
            })
            .collect();
        let grips: Vec<Grip> = self
            .teeth
            .iter()
            .zip(&carried)
            .map(|(tooth, own)| {
                let (a, b) = tooth.contacts;
                let quiet: Vec<Touch> = touches[a..b]
                    .iter()
                    .zip(&soft[a..b])
                    .map(|(t, c)| match c.room {
                        Room::Held => Touch::default(),
                        Room::Between { .. } => *t,
                    })
                    .collect();
                grip(&soft[a..b], &quiet, &gaps[a..b], tooth, own, 0.0)
            })
            .collect();
        let step = self.step(&self.elastic, &grips, &mut 0.0)?;
        let nodes: Vec<Node> = step.nodes.iter().map(|c| std::array::from_fn(|i| c[i])).collect();
        let carried: Vec<[f64; 5]> = carried
            .iter()
            .zip(&step.carried)
            .map(|(a, b)| std::array::from_fn(|i| a[i] + b[i]))
            .collect();
        Some(Iterate { nodes, touches, carried, curvatures: Vec::new() })
    }

    /// Solves for a step; raises `shift` until the system is positive definite.
    fn step(&self, system: &Assembled, grips: &[Grip], shift: &mut f64) -> Option<Step> {
        let mut chain = system.chain.clone();
        let mut right: Vec<Column> = system.gradient.iter().map(|g| -g).collect();
        for (tooth, grip) in self.teeth.iter().zip(grips) {
            let (a, b) = tooth.contacts;
            let push = grip.right_side();
            let mut tie = Block::zeros();
            let own = &self.contacts[a..b];
            for (i, ci) in own.iter().enumerate() {
                right[ci.node][ci.dof] += push[i];
                for (j, cj) in own.iter().enumerate() {
                    let k = grip.stiffness[(i, j)];
                    if ci.node == cj.node {
                        chain.diagonal[ci.node][(ci.dof, cj.dof)] += k;
                    } else if ci.node < cj.node {
                        tie[(ci.dof, cj.dof)] += k;
                    }
                }
            }
            if let (Some(first), Some(last)) = (own.first(), own.last()) {
                let low = own.iter().map(|c| c.node).min().unwrap_or(first.node);
                let high = own.iter().map(|c| c.node).max().unwrap_or(last.node);
                chain.ties.push((low, high, tie));
            }
        }
        let factor = loop {
            if let Some(f) = chain.factor(*shift, &self.scale) {
                break f;
            }
            *shift = if *shift == 0.0 { 1e-7 } else { *shift * 10.0 };
            if *shift > 1e6 {
                return None;
            }
        };
        factor.solve(&mut right);
        let mut gaps = vec![0.0; self.contacts.len()];
        let mut carried = vec![[0.0; 5]; self.teeth.len()];
        for (t, (tooth, grip)) in self.teeth.iter().zip(grips).enumerate() {
            let (a, b) = tooth.contacts;
            let own = &self.contacts[a..b];
            let mut wire = Six::zeros();
            for (i, c) in own.iter().enumerate() {
                wire[i] = right[c.node][c.dof];
            }
            let (g, c) = grip.recover(own, &wire);
            gaps[a..b].copy_from_slice(&g.as_slice()[..b - a]);
            carried[t] = c;
        }
        Some(Step { nodes: right, gaps, carried })
    }

    /// Largest unbalanced force and where it is. Couples count over a millimetre.
    fn residual(&self, system: &Assembled, it: &Iterate) -> (f64, usize) {
        let mut left = system.gradient.clone();
        let mut teeth: Vec<[f64; 5]> = self
            .teeth
            .iter()
            .zip(&it.carried)
            .map(|(t, c)| std::array::from_fn(|k| c[k] - t.load[k]))
            .collect();
        for (contact, touch) in self.contacts.iter().zip(&it.touches) {
            let force = touch.on_wire();
            left[contact.node][contact.dof] -= force;
            for k in 0..5 {
                teeth[contact.tooth][k] += contact.row[k] * force;
            }
        }
        let mut worst = (0.0_f64, 0);
        for (node, column) in left.iter().enumerate() {
            let here = column.amax();
            if here > worst.0 || here.is_nan() {
                worst = (here, node);
            }
        }
        for (tooth, unbalanced) in self.teeth.iter().zip(&teeth) {
            for k in 0..5 {
                // A part that cannot give carries whatever comes.
                if tooth.compliance[k] > 0.0 && unbalanced[k].abs() > worst.0 {
                    worst = (unbalanced[k].abs(), self.contacts[tooth.contacts.0].node);
                }
            }
        }
        worst
    }

    /// Tooth energy less the work of its loads.
    fn tooth_energy(&self, carried: &[[f64; 5]]) -> f64 {
        self.teeth
            .iter()
            .zip(carried)
            .map(|(t, c)| {
                (0..5).map(|k| t.compliance[k] * c[k] * (0.5 * c[k] - t.load[k])).sum::<f64>()
            })
            .sum()
    }

    /// What a step must lower: energies, barrier, and the miss of the slacks at price `price`.
    fn merit(&self, wire: f64, it: &Iterate, gaps: &[f64], barrier: f64, price: f64) -> f64 {
        let mut merit = wire + self.tooth_energy(&it.carried);
        for ((contact, touch), &gap) in self.contacts.iter().zip(&it.touches).zip(gaps) {
            match contact.room {
                Room::Held => {
                    merit += gap * (0.5 * gap / HELD_GIVE - touch.force[0]);
                }
                Room::Between { low, high } => {
                    merit -= barrier * (touch.slack[0] * touch.slack[1]).ln();
                    merit += price
                        * ((gap - low - touch.slack[0]).abs()
                            + (high - gap - touch.slack[1]).abs());
                }
            }
        }
        merit
    }

    /// Runs the search from `it`.
    pub fn minimise(&self, it: &mut Iterate, settings: &Settings, start_barrier: f64) -> Outcome {
        let mut system = self.assemble(&it.nodes, false);
        let outcome = self.search(it, &mut system, settings, start_barrier);
        it.curvatures = system.curvatures;
        outcome
    }

    fn search(
        &self,
        it: &mut Iterate,
        system: &mut Assembled,
        settings: &Settings,
        start_barrier: f64,
    ) -> Outcome {
        let end = settings.barrier_nmm;
        let sides = self.contacts.iter().filter(|c| matches!(c.room, Room::Between { .. })).count()
            as f64
            * 2.0;
        let mut barrier = start_barrier.max(end);
        let mut shift = 0.0_f64;
        let mut outcome = Outcome {
            converged: false,
            iterations: 0,
            residual_n: f64::INFINITY,
            node: 0,
            energy_nmm: system.energy,
        };
        let mut last_length = 1.0_f64;
        for iteration in 0..=settings.max_iterations {
            let gaps = self.gaps(&it.nodes, &it.carried);
            let (residual, node) = self.residual(system, it);
            let (mut product, mut largest, mut miss) = (0.0, 0.0_f64, 0.0_f64);
            for ((contact, touch), &gap) in self.contacts.iter().zip(&it.touches).zip(&gaps) {
                match contact.room {
                    Room::Held => miss = miss.max(gap.abs()),
                    Room::Between { low, high } => {
                        for k in 0..2 {
                            let p = touch.slack[k] * touch.force[k];
                            product += p;
                            largest = largest.max(p);
                        }
                        miss = miss
                            .max((gap - low - touch.slack[0]).abs())
                            .max((high - gap - touch.slack[1]).abs());
                    }
                }
            }
            outcome = Outcome {
                converged: false,
                iterations: iteration,
                residual_n: residual,
                node,
                energy_nmm: system.energy,
            };
            if !residual.is_finite() || !system.energy.is_finite() {
                return outcome;
            }
            if residual <= settings.force_tolerance_n && largest <= 10.0 * end && miss <= 1e-6 {
                outcome.converged = true;
                return outcome;
            }
            if iteration == settings.max_iterations {
                return outcome;
            }
            if sides > 0.0 {
                let mean = product / sides;
                let share = if last_length > 0.9 { 0.1 } else { 0.4 };
                // Close to the end the product falls faster than by a tenth.
                barrier = (share * mean).min(mean.powf(1.5).max(0.02 * mean)).max(end);
            }

            let grips: Vec<Grip> = self
                .teeth
                .iter()
                .zip(&it.carried)
                .map(|(tooth, own)| {
                    let (a, b) = tooth.contacts;
                    grip(&self.contacts[a..b], &it.touches[a..b], &gaps[a..b], tooth, own, barrier)
                })
                .collect();
            shift = if shift < 1e-7 { 0.0 } else { shift * 0.1 };
            let Some(step) = self.step(system, &grips, &mut shift) else {
                return outcome;
            };

            // Changes of slacks and forces that go with the step.
            let mut change: Vec<Touch> = Vec::with_capacity(it.touches.len());
            let (mut longest, mut longest_force) = (1.0_f64, 1.0_f64);
            for (i, (contact, touch)) in self.contacts.iter().zip(&it.touches).enumerate() {
                let mut d = Touch::default();
                match contact.room {
                    Room::Held => d.force[0] = -(gaps[i] + step.gaps[i]) / HELD_GIVE,
                    Room::Between { low, high } => {
                        let miss =
                            [gaps[i] - low - touch.slack[0], high - gaps[i] - touch.slack[1]];
                        for k in 0..2 {
                            let sign = if k == 0 { 1.0 } else { -1.0 };
                            let (s, f) = (touch.slack[k], touch.force[k]);
                            d.slack[k] = sign * step.gaps[i] + miss[k];
                            d.force[k] = (barrier - f * d.slack[k]) / s - f;
                            if d.slack[k] < 0.0 {
                                longest = longest.min(-TO_WALL * s / d.slack[k]);
                            }
                            if d.force[k] < 0.0 {
                                longest_force = longest_force.min(-TO_WALL * f / d.force[k]);
                            }
                        }
                    }
                }
                change.push(d);
            }
            for column in &step.nodes {
                for turn in [column[1].abs(), column[3].abs(), column[4].abs()] {
                    longest = longest.min(TURN_STEP / turn.max(1e-300));
                }
                for way in [column[0].abs(), column[2].abs()] {
                    longest = longest.min(SHIFT_STEP_MM / way.max(1e-300));
                }
            }

            let price = 2.0
                * it.touches
                    .iter()
                    .zip(&change)
                    .flat_map(|(t, d)| [t.force[0] + d.force[0], t.force[1] + d.force[1]])
                    .fold(1.0_f64, |m, f| m.max(f.abs()));
            let before = self.merit(system.energy, it, &gaps, barrier, price);
            let slope = self.slope(system, it, &gaps, &step, &change, barrier, price);
            let mut length = longest;
            let mut accepted = None;
            for _ in 0..25 {
                let trial = self.moved(it, &step, &change, length, longest_force.min(1.0));
                let next = self.assemble(&trial.nodes, false);
                let trial_gaps = self.gaps(&trial.nodes, &trial.carried);
                // A held contact's force is part of the function, not of the step.
                let judged = Iterate {
                    touches: trial
                        .touches
                        .iter()
                        .zip(&it.touches)
                        .zip(self.contacts)
                        .map(|((t, old), c)| if c.room == Room::Held { *old } else { *t })
                        .collect(),
                    ..trial.clone()
                };
                let after = self.merit(next.energy, &judged, &trial_gaps, barrier, price);
                let noise = 1e-12 * (before.abs() + 1.0);
                if after.is_finite() && after <= before + 1e-4 * length * slope.min(0.0) + noise {
                    accepted = Some((trial, next));
                    break;
                }
                length *= 0.5;
            }
            if let Some((trial, next)) = accepted {
                last_length = length;
                *it = trial;
                *system = next;
            } else {
                // No descent along this step: lean harder on the diagonal.
                shift = (shift * 100.0).max(1e-5);
                last_length = 0.0;
                if shift > 1e4 {
                    return outcome;
                }
            }
        }
        outcome
    }

    /// Rate of the merit along a step.
    #[allow(clippy::too_many_arguments)]
    fn slope(
        &self,
        system: &Assembled,
        it: &Iterate,
        gaps: &[f64],
        step: &Step,
        change: &[Touch],
        barrier: f64,
        price: f64,
    ) -> f64 {
        let mut slope: f64 = system.gradient.iter().zip(&step.nodes).map(|(g, d)| g.dot(d)).sum();
        for (t, tooth) in self.teeth.iter().enumerate() {
            for k in 0..5 {
                slope +=
                    tooth.compliance[k] * (it.carried[t][k] - tooth.load[k]) * step.carried[t][k];
            }
        }
        for (i, (contact, touch)) in self.contacts.iter().zip(&it.touches).enumerate() {
            match contact.room {
                Room::Held => {
                    slope += step.gaps[i] * (gaps[i] / HELD_GIVE - touch.force[0]);
                }
                Room::Between { low, high } => {
                    slope -= barrier
                        * (change[i].slack[0] / touch.slack[0]
                            + change[i].slack[1] / touch.slack[1]);
                    slope -= price
                        * ((gaps[i] - low - touch.slack[0]).abs()
                            + (high - gaps[i] - touch.slack[1]).abs());
                }
            }
        }
        slope
    }

    fn moved(
        &self,
        it: &Iterate,
        step: &Step,
        change: &[Touch],
        length: f64,
        force_length: f64,
    ) -> Iterate {
        let nodes = it
            .nodes
            .iter()
            .zip(&step.nodes)
            .map(|(u, d)| std::array::from_fn(|i| u[i] + length * d[i]))
            .collect();
        let touches = it
            .touches
            .iter()
            .zip(change)
            .zip(self.contacts)
            .map(|((t, d), c)| {
                let share = if c.room == Room::Held { length } else { force_length };
                Touch {
                    slack: std::array::from_fn(|k| t.slack[k] + length * d.slack[k]),
                    force: std::array::from_fn(|k| t.force[k] + share * d.force[k]),
                }
            })
            .collect();
        let carried = it
            .carried
            .iter()
            .zip(&step.carried)
            .map(|(c, d)| std::array::from_fn(|k| c[k] + length * d[k]))
            .collect();
        Iterate { nodes, touches, carried, curvatures: Vec::new() }
    }
}
