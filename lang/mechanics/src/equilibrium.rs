//! Equilibrium by Newton's method on the energy, with contacts treated by a primal-dual interior point
//! method.
//!
//! The objective is the energy of wire and teeth less the work of the loads, plus a logarithmic barrier
//! on the contacts' slacks. The constraints are linear, so a full step satisfies every slack equation; a
//! shorter step leaves the corresponding part of the residual. Steps are accepted on energy, barrier and
//! residual together.

use std::cell::OnceCell;
use std::rc::Rc;

use nalgebra::{DMatrix, DVector};

use super::assemble::{Assembled, Theory};
use super::axial::Axial;
use super::bending::{Bending, MomentMemo};
use super::block_tridiagonal::{BlockTridiagonal, Column, FiveByFive};
use super::contact::{
    Contact, ContactState, ElasticTooth, Grip, HELD_GIVE, HeldTooth, Room, WallGive, change, gap,
    grip,
};
use super::mesh::{Mesh, NodeValues};
use super::setup::{Kinematics, SolverSettings};
use super::solution::SolveStep;
use super::support::dot as work;
use super::support::{GiveState, SixForces};

/// Largest change of a slope or a twist in one step: the graph has no global minimum, and a longer
/// step may leave the valley of the shape that a clinician would see.
const TURN_STEP: f64 = 0.4;
/// Largest change of a displacement in one step, mm.
const SHIFT_STEP_MM: f64 = 3.0;
/// Share of the way to a wall that one step may go.
const TO_WALL: f64 = 0.995;

/// Thrust of the wire on every tooth at a shape.
pub(crate) type ThrustAt<'a> = dyn Fn(&Iterate) -> Option<Vec<SixForces>> + 'a;

/// The thrust follows the shape once what is unbalanced, N, and the largest product of a contact's force and slack,
/// as a multiple of the last barrier, are no more than this,
const FOLLOWED_N: f64 = 10.0;
const FOLLOWED_BARRIERS: f64 = 1000.0;
/// and this often at most once a search is within so many times its tolerance.
const FOLLOWED: usize = 40;
const FOLLOWED_TOLERANCES: f64 = 100.0;

/// Everything fixed during a search.
pub(crate) struct EquilibriumProblem<'a> {
    pub mesh: &'a Mesh,
    pub bending: &'a Bending,
    pub kinematics: Kinematics,
    /// Fibre states; empty for a fresh wire.
    pub memory: &'a MomentMemo,
    pub contacts: &'a [Contact],
    pub teeth: &'a [ElasticTooth],
    /// What each tooth gives at its contacts.
    walls: Rc<[WallGive]>,
    /// Axial forces and bounds on lengths of wire; `None` for a wire that slides freely.
    pub axial: Option<&'a Axial>,
    /// Thrust on the teeth at a shape (see `Iterate::thrust`); `None` where the one they are under stands.
    pub follow: Option<&'a ThrustAt<'a>>,
    /// The elastic wire of small slopes, unbent, and a typical stiffness of every node value, for
    /// shifts: made when first asked for, which a warm search seldom does.
    elastic: OnceCell<(Assembled, Vec<[f64; 5]>)>,
}

/// Everything that moves.
#[derive(Debug, Clone, Default)]
pub(crate) struct Iterate {
    pub nodes: Vec<NodeValues>,
    pub touches: Vec<ContactState>,
    /// What each tooth's support carries, as of the first stage of its give (see `Give`).
    pub carried: Vec<SixForces>,
    /// Thrust of the wire along the arch, which tips and turns the teeth without shifting their slots: it follows
    /// from the shape and is a load meanwhile. Empty where it moves none.
    pub thrust: Vec<SixForces>,
    /// Curvature that strains each section point, as of the last accepted step.
    pub curvatures: Vec<[f64; 2]>,
    /// Force along the arch that keeps the wire's reference point in place.
    pub held: f64,
    /// Axial force of every element, N; empty where the wire slides freely.
    pub levels: Vec<f64>,
    /// Force of every bound and the length by which it is missed, N and mm.
    pub bounds: Vec<(f64, f64)>,
    /// What the search did, step by step.
    pub trace: Vec<SolveStep>,
}

/// How a search ended.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct NewtonOutcome {
    pub converged: bool,
    pub iterations: usize,
    pub residual_n: f64,
    /// Node of the largest residual.
    pub node: usize,
    pub energy_nmm: f64,
}

/// A Newton step; its buffers are used again.
#[derive(Debug, Default)]
struct NewtonStep {
    nodes: Vec<Column>,
    gaps: Vec<f64>,
    /// Force on the wire at every contact after the step.
    on_wire: Vec<f64>,
    carried: Vec<SixForces>,
    change: Vec<ContactState>,
    chain: BlockTridiagonal,
    grips: Vec<Grip>,
    /// Answers of the wire to the bounds that are reached.
    answers: Vec<Vec<Column>>,
}

impl<'a> EquilibriumProblem<'a> {
    pub fn new(
        mesh: &'a Mesh,
        bending: &'a Bending,
        kinematics: Kinematics,
        memory: &'a MomentMemo,
        contacts: &'a [Contact],
        teeth: &'a [ElasticTooth],
    ) -> EquilibriumProblem<'a> {
        let walls = teeth
            .iter()
            .map(|t| WallGive::of(&contacts[t.contacts.0..t.contacts.1], &t.give))
            .collect();
        EquilibriumProblem {
            mesh,
            bending,
            kinematics,
            memory,
            contacts,
            teeth,
            walls,
            axial: None,
            follow: None,
            elastic: OnceCell::new(),
        }
    }

    /// The same wire in the same contacts with other targets.
    pub fn with_contacts<'b>(&'b self, contacts: &'b [Contact]) -> EquilibriumProblem<'b> {
        let (walls, elastic) = (self.walls.clone(), self.elastic.clone());
        EquilibriumProblem { contacts, walls, elastic, ..*self }
    }

    /// The same wire under axial forces.
    pub fn with_axial<'b>(&'b self, axial: &'b Axial) -> EquilibriumProblem<'b> {
        let (walls, elastic) = (self.walls.clone(), self.elastic.clone());
        EquilibriumProblem { axial: Some(axial), walls, elastic, ..*self }
    }

    fn elastic(&self) -> &(Assembled, Vec<[f64; 5]>) {
        self.elastic.get_or_init(|| {
            let mut elastic = Assembled::default();
            let zero = vec![NodeValues::default(); self.mesh.nodes()];
            elastic.assemble(self.mesh, self.bending, self.memory, &zero, Theory::Start, None);
            let scale = elastic
                .diagonal
                .iter()
                .map(|b| std::array::from_fn(|i| b[i][i].max(1e-6)))
                .collect();
            (elastic, scale)
        })
    }

    fn assemble(&self, nodes: &[NodeValues], into: &mut Assembled) {
        let theory = Theory::Of(self.kinematics);
        into.assemble(self.mesh, self.bending, self.memory, nodes, theory, self.axial);
    }

    /// Gaps of all contacts.
    pub fn gaps(&self, nodes: &[NodeValues], carried: &[SixForces]) -> Vec<f64> {
        let (mut supports, mut gaps) = (Vec::new(), Vec::new());
        self.gave(carried, &mut supports);
        self.gaps_into(nodes, &supports, &mut gaps);
        gaps
    }

    /// What every support has given.
    fn gave(&self, carried: &[SixForces], supports: &mut Vec<GiveState>) {
        supports.clear();
        supports.extend(self.teeth.iter().zip(carried).map(|(tooth, own)| tooth.give.at(own)));
    }

    fn gaps_into(&self, nodes: &[NodeValues], supports: &[GiveState], gaps: &mut Vec<f64>) {
        gaps.clear();
        for (tooth, state) in self.teeth.iter().zip(supports) {
            let displaced = tooth.displaced(state);
            let (a, b) = tooth.contacts;
            gaps.extend(self.contacts[a..b].iter().map(|c| gap(c, &nodes[c.node], &displaced)));
        }
    }

    /// A tooth where a step begins.
    fn held<'b>(
        &'b self,
        tooth: usize,
        state: &'b GiveState,
        carried: &'b SixForces,
    ) -> HeldTooth<'b> {
        let (a, b) = self.teeth[tooth].contacts;
        HeldTooth { contacts: &self.contacts[a..b], walls: &self.walls[tooth], state, carried }
    }

    /// A first shape: the elastic wire of small slopes drawn softly to the middle of every slot.
    pub fn first_shape(&self) -> Option<Iterate> {
        let zero = vec![NodeValues::default(); self.mesh.nodes()];
        let carried: Vec<SixForces> = self.teeth.iter().map(|t| t.load).collect();
        let mut touches: Vec<ContactState> =
            self.contacts.iter().map(|_| ContactState::default()).collect();
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
        let (mut supports, mut gaps) = (Vec::new(), Vec::new());
        self.gave(&carried, &mut supports);
        self.gaps_into(&zero, &supports, &mut gaps);
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
        for (touch, contact) in touches.iter_mut().zip(self.contacts) {
            if contact.room == Room::Held {
                *touch = ContactState::default();
            }
        }
        let grips = (0..self.teeth.len())
            .map(|tooth| {
                let (a, b) = self.teeth[tooth].contacts;
                let here = self.held(tooth, &supports[tooth], &carried[tooth]);
                let soft = HeldTooth { contacts: &soft[a..b], ..here };
                grip(&soft, &touches[a..b], &gaps[a..b], &self.teeth[tooth].load, 0.0)
            })
            .collect();
        let mut step = NewtonStep { grips, ..NewtonStep::default() };
        if !self.step(&self.elastic().0, (&supports, &carried), &mut step, &mut 0.0) {
            return None;
        }
        let nodes: Vec<NodeValues> = std::mem::take(&mut step.nodes);
        let carried: Vec<SixForces> = carried
            .iter()
            .zip(&step.carried)
            .map(|(a, b)| std::array::from_fn(|i| a[i] + b[i]))
            .collect();
        Some(Iterate { nodes, touches, carried, ..Iterate::default() })
    }

    /// Solves for a step from where the supports are; raises `shift` until the system is positive definite. False
    /// when there is no step.
    fn step(
        &self,
        system: &Assembled,
        (supports, carries): (&[GiveState], &[SixForces]),
        step: &mut NewtonStep,
        shift: &mut f64,
    ) -> bool {
        let NewtonStep { nodes: right, gaps, on_wire, carried, chain, grips, answers, .. } = step;
        // Every bound that is reached may hold one direction in which the wire alone would go.
        let reached = match system.levels.is_empty() {
            true => 0,
            false => system.reached.iter().filter(|r| r.force > 0.0).count(),
        };
        loop {
            right.clear();
            right.extend_from_slice(&system.gradient);
            for x in right.iter_mut().flatten() {
                *x = -*x;
            }
            chain.load(&system.diagonal, &system.next);
            for (tooth, grip) in self.teeth.iter().zip(&*grips) {
                self.hold(tooth, grip, chain, right);
            }
            let scale: &[[f64; 5]] = if *shift > 0.0 { &self.elastic().1 } else { &[] };
            if let Some(negative) = chain.factor(*shift, scale, reached) {
                chain.solve(right);
                if reached == 0 || held_to_bounds(system, chain, right, answers, negative) {
                    break;
                }
            }
            *shift = if *shift == 0.0 { 1e-7 } else { *shift * 10.0 };
            if *shift > 1e6 {
                return false;
            }
        }
        gaps.clear();
        gaps.resize(self.contacts.len(), 0.0);
        on_wire.clear();
        on_wire.resize(self.contacts.len(), 0.0);
        carried.clear();
        for (tooth, grip) in grips.iter().enumerate() {
            let here = self.held(tooth, &supports[tooth], &carries[tooth]);
            let mut wire = [0.0; 6];
            for (moved, c) in wire.iter_mut().zip(here.contacts) {
                *moved = right[c.node][c.dof];
            }
            let own = grip.recover(&here, &wire);
            let (a, b) = self.teeth[tooth].contacts;
            gaps[a..b].copy_from_slice(&own.gaps[..b - a]);
            on_wire[a..b].copy_from_slice(&own.on_wire[..b - a]);
            carried.push(own.carried);
        }
        true
    }

    /// Adds what one tooth does to the system.
    fn hold(
        &self,
        tooth: &ElasticTooth,
        grip: &Grip,
        chain: &mut BlockTridiagonal,
        right: &mut [Column],
    ) {
        let (a, b) = tooth.contacts;
        let own = &self.contacts[a..b];
        let (Some(first), Some(last)) = (own.first(), own.last()) else { return };
        let (first, last) = (first.node.min(last.node), first.node.max(last.node));
        let push = &grip.right_side;
        let mut tie: FiveByFive = [[0.0; 5]; 5];
        for (i, ci) in own.iter().enumerate() {
            right[ci.node][ci.dof] += push[i];
            for (j, cj) in own.iter().enumerate() {
                let k = grip.stiffness[i][j];
                if ci.node == cj.node {
                    chain.diagonal[ci.node][ci.dof][cj.dof] += k;
                } else if ci.node < cj.node {
                    tie[ci.dof][cj.dof] += k;
                }
            }
        }
        chain.tie(first, last, &tie);
    }

    /// Largest unbalanced force and where it is. Couples count over a millimetre.
    fn residual(
        &self,
        system: &Assembled,
        it: &Iterate,
        (supports, loads): (&[GiveState], &[SixForces]),
        left: &mut Vec<Column>,
    ) -> (f64, usize) {
        left.clear();
        left.extend_from_slice(&system.gradient);
        let mut worst = (0.0_f64, 0);
        for (index, tooth) in self.teeth.iter().enumerate() {
            let mut own = [0.0; 6];
            for k in 0..6 {
                own[k] = supports[index].ratio * it.carried[index][k] - loads[index][k];
            }
            let (a, b) = tooth.contacts;
            for (contact, touch) in self.contacts[a..b].iter().zip(&it.touches[a..b]) {
                let force = touch.on_wire();
                left[contact.node][contact.dof] -= force;
                for k in 0..6 {
                    own[k] += contact.row[k] * force;
                }
            }
            for k in 0..6 {
                // A rigid support carries any load.
                if tooth.give.matrix[k][k] > 0.0 && own[k].abs() > worst.0 {
                    worst = (own[k].abs(), self.contacts[a].node);
                }
            }
        }
        let mut all_numbers = 0.0;
        for (node, column) in left.iter().enumerate() {
            let mut here = 0.0_f64;
            for x in column {
                let size = x.abs();
                here = if size > here { size } else { here };
                all_numbers += size;
            }
            if here > worst.0 {
                worst = (here, node);
            }
        }
        if all_numbers.is_nan() { (f64::NAN, worst.1) } else { worst }
    }

    /// Tooth energy less the work of its loads.
    fn tooth_energy(supports: &[GiveState], loads: &[SixForces]) -> f64 {
        supports.iter().zip(loads).map(|(s, load)| s.energy - work(load, &s.displaced)).sum()
    }

    /// What a step must lower: energies, barrier, and the miss of the slacks at price `price`.
    /// `held` are the touches whose forces held contacts are judged by, with the energy of the teeth.
    fn merit(
        &self,
        wire: f64,
        it: &Iterate,
        (held, teeth): (&[ContactState], f64),
        gaps: &[f64],
        barrier: f64,
        price: f64,
    ) -> f64 {
        let mut merit = wire + teeth;
        for (i, (contact, touch)) in self.contacts.iter().zip(&it.touches).enumerate() {
            let gap = gaps[i];
            match contact.room {
                Room::Held => {
                    merit += gap * (0.5 * gap / HELD_GIVE - held[i].force[0]);
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

    /// Energy of wire and teeth less the work of the loads: what the search lowers, without its barrier. The wire's
    /// thrust on the teeth is a load.
    #[cfg(test)]
    pub fn potential(&self, it: &Iterate) -> f64 {
        let mut system = Assembled::default();
        self.assemble(&it.nodes, &mut system);
        let mut supports = Vec::new();
        self.gave(&it.carried, &mut supports);
        system.energy + system.axial + Self::tooth_energy(&supports, &self.loads(&it.thrust))
    }

    /// Runs the search from `it`.
    pub fn minimise(
        &self,
        it: &mut Iterate,
        settings: &SolverSettings,
        start_barrier: f64,
    ) -> NewtonOutcome {
        let mut system = Assembled::default();
        self.assemble(&it.nodes, &mut system);
        let outcome = self.search(it, &mut system, settings, start_barrier);
        it.curvatures = system.curvatures;
        it.held = system.held;
        it.levels = system.levels;
        it.bounds = system.reached.iter().map(|r| (r.force, r.missed_mm)).collect();
        outcome
    }

    fn search(
        &self,
        it: &mut Iterate,
        system: &mut Assembled,
        settings: &SolverSettings,
        start_barrier: f64,
    ) -> NewtonOutcome {
        let end = settings.barrier_nmm;
        let sides = 2.0
            * self.contacts.iter().filter(|c| matches!(c.room, Room::Between { .. })).count()
                as f64;
        let mut barrier = start_barrier.max(end);
        let mut shift = 0.0_f64;
        let mut outcome = NewtonOutcome {
            converged: false,
            iterations: 0,
            residual_n: f64::INFINITY,
            node: 0,
            energy_nmm: system.energy,
        };
        let mut last_length = 1.0_f64;
        let mut step = NewtonStep::default();
        let (mut gaps, mut trial_gaps) = (Vec::new(), Vec::new());
        let (mut trial, mut next) = (Iterate::default(), Assembled::default());
        let mut left = Vec::new();
        let (mut supports, mut trial_supports) = (Vec::new(), Vec::new());
        self.gave(&it.carried, &mut supports);
        self.gaps_into(&it.nodes, &supports, &mut gaps);
        let mut loads = self.loads(&it.thrust);
        let mut followed = 0;
        for iteration in 0..=settings.max_iterations {
            let touching = self.touching(it, &gaps);
            let (mut residual, mut node) =
                self.residual(system, it, (&supports, &loads), &mut left);
            let near = residual <= FOLLOWED_N && touching.largest <= FOLLOWED_BARRIERS * end;
            if near && followed < FOLLOWED && self.followed(system, it) {
                followed +=
                    usize::from(residual <= FOLLOWED_TOLERANCES * settings.force_tolerance_n);
                loads = self.loads(&it.thrust);
                (residual, node) = self.residual(system, it, (&supports, &loads), &mut left);
            }
            outcome = NewtonOutcome {
                converged: false,
                iterations: iteration,
                residual_n: residual,
                node,
                energy_nmm: system.energy,
            };
            if !residual.is_finite() || !system.energy.is_finite() {
                return outcome;
            }
            if residual <= settings.force_tolerance_n
                && touching.largest <= 10.0 * end
                && touching.miss <= 1e-6
            {
                outcome.converged = true;
                return outcome;
            }
            if iteration == settings.max_iterations {
                return outcome;
            }
            if sides > 0.0 {
                let mean = touching.product / sides;
                let share = if last_length > 0.9 { 0.03 } else { 0.4 };
                // Close to the end the product falls faster than by a tenth.
                barrier = (share * mean).min(mean.powf(1.5).max(0.02 * mean)).max(end);
            }
            step.grips.clear();
            for (tooth, ElasticTooth { contacts: (a, b), .. }) in self.teeth.iter().enumerate() {
                let load = &loads[tooth];
                let here = self.held(tooth, &supports[tooth], &it.carried[tooth]);
                step.grips.push(grip(&here, &it.touches[*a..*b], &gaps[*a..*b], load, barrier));
            }
            shift = if shift < 1e-7 { 0.0 } else { shift * 0.1 };
            if !self.step(system, (&supports, &it.carried), &mut step, &mut shift) {
                return outcome;
            }
            let (longest, force_length) = self.lengths(it, &gaps, barrier, &mut step);
            let price = 2.0
                * it.touches
                    .iter()
                    .zip(&step.change)
                    .flat_map(|(t, d)| [t.force[0] + d.force[0], t.force[1] + d.force[1]])
                    .fold(1.0_f64, |m, f| m.max(f.abs()));
            let held = (it.touches.as_slice(), Self::tooth_energy(&supports, &loads));
            let before = self.merit(system.energy + system.axial, it, held, &gaps, barrier, price);
            let slope = self.slope(system, (it, &supports, &loads), &gaps, &step, barrier, price);
            let mut length = longest;
            let mut accepted = false;
            let mut after = before;
            for _ in 0..25 {
                self.moved(it, &step, length, force_length, &mut trial);
                self.assemble(&trial.nodes, &mut next);
                self.gave(&trial.carried, &mut trial_supports);
                self.gaps_into(&trial.nodes, &trial_supports, &mut trial_gaps);
                // A held contact's force is part of the function, not of the step.
                let potential = next.energy + next.axial;
                let held = (it.touches.as_slice(), Self::tooth_energy(&trial_supports, &loads));
                after = self.merit(potential, &trial, held, &trial_gaps, barrier, price);
                let noise = 1e-12 * (before.abs() + 1.0);
                if after.is_finite() && after <= before + 1e-4 * length * slope.min(0.0) + noise {
                    accepted = true;
                    break;
                }
                length *= 0.5;
            }
            if accepted {
                it.trace.push(SolveStep {
                    barrier_nmm: barrier,
                    potential_before_nmm: before,
                    potential_after_nmm: after,
                    energy_nmm: next.energy,
                    length,
                    residual_n: residual,
                });
                last_length = length;
                std::mem::swap(&mut it.nodes, &mut trial.nodes);
                std::mem::swap(&mut it.touches, &mut trial.touches);
                std::mem::swap(&mut it.carried, &mut trial.carried);
                std::mem::swap(system, &mut next);
                std::mem::swap(&mut gaps, &mut trial_gaps);
                std::mem::swap(&mut supports, &mut trial_supports);
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

    /// Loads on the teeth, the wire's thrust among them.
    fn loads(&self, thrust: &[SixForces]) -> Vec<SixForces> {
        let mut loads: Vec<SixForces> = self.teeth.iter().map(|t| t.load).collect();
        for (load, thrust) in loads.iter_mut().zip(thrust) {
            for k in 0..6 {
                load[k] += thrust[k];
            }
        }
        loads
    }

    /// Puts the thrust of the present shape on the teeth; false where the one they are under stands.
    fn followed(&self, system: &Assembled, it: &mut Iterate) -> bool {
        let Some(follow) = self.follow else { return false };
        it.levels.clone_from(&system.levels);
        it.held = system.held;
        let now = follow(it);
        let changed = now.is_some();
        it.thrust = now.unwrap_or_else(|| std::mem::take(&mut it.thrust));
        changed
    }

    /// Contact measures: sum and maximum of force times slack, and the slack residual.
    fn touching(&self, it: &Iterate, gaps: &[f64]) -> Touching {
        let mut all = Touching { product: 0.0, largest: 0.0, miss: 0.0 };
        for ((contact, touch), &gap) in self.contacts.iter().zip(&it.touches).zip(gaps) {
            match contact.room {
                Room::Held => all.miss = all.miss.max(gap.abs()),
                Room::Between { low, high } => {
                    for k in 0..2 {
                        let p = touch.slack[k] * touch.force[k];
                        all.product += p;
                        all.largest = all.largest.max(p);
                    }
                    all.miss = all
                        .miss
                        .max((gap - low - touch.slack[0]).abs())
                        .max((high - gap - touch.slack[1]).abs());
                }
            }
        }
        all
    }

    /// Changes of slacks and forces that go with the step, and how far of it may be gone: for places
    /// and for forces.
    fn lengths(
        &self,
        it: &Iterate,
        gaps: &[f64],
        barrier: f64,
        step: &mut NewtonStep,
    ) -> (f64, f64) {
        let (mut longest, mut longest_force) = (1.0_f64, 1.0_f64);
        step.change.clear();
        for (i, (contact, touch)) in self.contacts.iter().zip(&it.touches).enumerate() {
            let mut d = ContactState::default();
            match contact.room {
                Room::Held => d.force[0] = step.on_wire[i] - touch.force[0],
                Room::Between { low, high } => {
                    let miss = [gaps[i] - low - touch.slack[0], high - gaps[i] - touch.slack[1]];
                    d = change(touch, miss, step.gaps[i], step.on_wire[i], barrier);
                    for k in 0..2 {
                        let (s, f) = (touch.slack[k], touch.force[k]);
                        if d.slack[k] < 0.0 {
                            longest = longest.min(-TO_WALL * s / d.slack[k]);
                        }
                        if d.force[k] < 0.0 {
                            longest_force = longest_force.min(-TO_WALL * f / d.force[k]);
                        }
                    }
                }
            }
            step.change.push(d);
        }
        let mut most = [1e-300_f64; 5];
        for column in &step.nodes {
            for k in 0..5 {
                let size = column[k].abs();
                most[k] = if size > most[k] { size } else { most[k] };
            }
        }
        longest = longest.min(TURN_STEP / most[1].max(most[3]).max(most[4]));
        longest = longest.min(SHIFT_STEP_MM / most[0].max(most[2]));
        (longest, longest_force)
    }

    /// Rate of the merit along a step.
    fn slope(
        &self,
        system: &Assembled,
        (it, supports, loads): (&Iterate, &[GiveState], &[SixForces]),
        gaps: &[f64],
        step: &NewtonStep,
        barrier: f64,
        price: f64,
    ) -> f64 {
        let change = &step.change;
        let mut slope = 0.0;
        slope += dot(&system.gradient, &step.nodes);
        for (t, tooth) in self.teeth.iter().enumerate() {
            let mut over = [0.0; 6];
            for k in 0..6 {
                over[k] = supports[t].ratio * it.carried[t][k] - loads[t][k];
            }
            slope += work(&over, &tooth.give.moved(&supports[t], &it.carried[t], &step.carried[t]));
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

    /// A share of the step from `it`, written into `to`.
    fn moved(
        &self,
        it: &Iterate,
        step: &NewtonStep,
        length: f64,
        force_length: f64,
        to: &mut Iterate,
    ) {
        to.nodes.clone_from(&it.nodes);
        for (own, change) in to.nodes.iter_mut().flatten().zip(step.nodes.iter().flatten()) {
            *own += length * change;
        }
        to.touches.clone_from(&it.touches);
        for ((own, change), c) in to.touches.iter_mut().zip(&step.change).zip(self.contacts) {
            let share = if c.room == Room::Held { length } else { force_length };
            for k in 0..2 {
                own.slack[k] += length * change.slack[k];
                own.force[k] += share * change.force[k];
            }
        }
        to.carried.clone_from(&it.carried);
        for (own, change) in to.carried.iter_mut().flatten().zip(step.carried.iter().flatten()) {
            *own += length * change;
        }
    }
}

/// Corrects a step of the free wire for the bounds that are reached: each is a stiffness against one direction,
/// the gradient of its length. False unless the wire so held is positive definite, `negative` directions of the
/// free one not being so.
fn held_to_bounds(
    system: &Assembled,
    chain: &BlockTridiagonal,
    step: &mut [Column],
    answers: &mut Vec<Vec<Column>>,
    negative: usize,
) -> bool {
    let reached: Vec<_> = system.reached.iter().filter(|r| r.force > 0.0).collect();
    answers.clear();
    for bound in &reached {
        let mut answer = bound.gradient.clone();
        chain.solve(&mut answer);
        answers.push(answer);
    }
    let n = reached.len();
    let mut system = DMatrix::zeros(n, n);
    let mut right = DVector::zeros(n);
    for (i, bound) in reached.iter().enumerate() {
        right[i] = dot(&bound.gradient, step);
        for (j, answer) in answers.iter().enumerate() {
            system[(i, j)] = dot(&bound.gradient, answer);
        }
        system[(i, i)] += 1.0 / bound.stiffness;
    }
    // By Haynsworth's inertia formula.
    let opposed = system.clone().symmetric_eigenvalues().iter().filter(|e| **e < 0.0).count();
    if opposed != negative {
        return false;
    }
    let Some(forces) = system.lu().solve(&right) else { return false };
    for (answer, force) in answers.iter().zip(forces.iter()) {
        for (own, part) in step.iter_mut().zip(answer) {
            for k in 0..5 {
                own[k] -= force * part[k];
            }
        }
    }
    true
}

fn dot(a: &[Column], b: &[Column]) -> f64 {
    let mut sums = [0.0; 5];
    for (x, y) in a.iter().zip(b) {
        for k in 0..5 {
            sums[k] += x[k] * y[k];
        }
    }
    sums.iter().sum()
}

/// See [`EquilibriumProblem::touching`].
struct Touching {
    product: f64,
    largest: f64,
    miss: f64,
}
