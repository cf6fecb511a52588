//! Simulation of one phase at unit rate: the wire moves the teeth and is solved again, until it is at
//! rest.
//!
//! Growth, patient and learned factors only scale time, so one simulation serves every patient and the
//! whole band. Within a step every force decays with the stiffness observed in the previous step; once
//! the forces at its end are known, the duration of the step is corrected by them. Steps adapt: no tooth
//! moves farther than a set distance and no force falls by more than half; teeth that are almost at rest
//! follow.

use crate::law::chair::ChairTest;
use crate::law::movement::{K_SLIDE, distance_mm, rate_mm_per_day};
use crate::law::passive::{
    FLOOR_N, MonitoredTooth, QUARTER, SEEN_BEND_RAD, irregularity, share_left,
};
use crate::law::periodontium::{TIP_LEVER_MM, pressure_kpa};
use crate::run::chair::{FrictionRange, ShiftForce, held, stiffer};
use crate::run::figures::{Insertion, NoFigures};
use crate::run::insertion::{Inserted, insert};
use crate::run::pushed_teeth::{PushedTeeth, pushes};
use crate::setup::arch_setup::{ArchSetup, passed_on};
use springline_mechanics::{COUPLE_LEVERS_MM, Refusal, Setup, Solution, Start, solve};
use springline_units::tooth::Tooth;

/// An engaged tooth with its support.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct MovingTooth {
    pub id: u16,
    pub watched: MonitoredTooth,
    pub area_mm2: f64,
    pub rotation_lever_mm: f64,
    /// How far the slot lies before the tooth's long axis, mm.
    pub axis_mm: f64,
    /// The wire holds one wing only.
    pub one_wing: bool,
    /// Force that it takes to move it towards the gum at all, N.
    pub least_intruding_n: f64,
    /// Factor k of its situation.
    pub k: f64,
}

/// The input of a simulation of one wire, and the key of its cache entry.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RunQuery {
    pub setup: ArchSetup,
    /// In order along the arch: all teeth that base wire or overlay hold.
    pub movers: Vec<MovingTooth>,
    /// Poses at insertion, where the wire has been in for a while: the measure of passivity counts from
    /// there.
    pub at_insertion: Option<Vec<[f64; 6]>>,
    /// Teeth at both ends of every length that stops hold.
    pub pushed: Vec<[PushedTeeth; 2]>,
    /// Of the base wire in its slots.
    pub friction: FrictionRange,
    pub pace: StepControl,
}

/// Step size control.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct StepControl {
    /// Farthest move of a tooth in a step, mm.
    pub step_mm: f64,
    /// Largest turn in a step, rad.
    pub step_rad: f64,
    /// Largest share of a force that a step may remove.
    pub fall: f64,
    pub most_steps: usize,
}

impl Default for StepControl {
    fn default() -> StepControl {
        StepControl { step_mm: 0.15, step_rad: 0.04, fall: 0.4, most_steps: 80 }
    }
}

/// The teeth at one moment. Poses are relative to the wire as it was bent.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TraceSample {
    /// Days since insertion at unit rate (k included).
    pub days: f64,
    pub poses: Vec<[f64; 6]>,
    pub worst_n: f64,
    pub bend_rad: f64,
    /// Share of the correctable part that is left.
    pub share: f64,
    /// What it takes to shift the base wire.
    pub shift: ShiftForce,
}

/// A simulated phase at unit rate.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PhaseTrace {
    pub insertion: Insertion,
    /// At least one: the start.
    pub samples: Vec<TraceSample>,
    /// Days until a quarter is left or every force is under the floor; until the strict look.
    pub quarter: Option<f64>,
    /// It was the floor that was reached first.
    pub by_floor: bool,
    pub strict: Option<f64>,
    pub index_in_mm: f64,
    pub index_left_mm: f64,
    /// Poses left by play.
    pub left: Vec<[f64; 6]>,
    /// What every slot of the base wire holds as it goes in, N, by each friction of the range.
    pub held_n: Vec<(u16, [f64; 3])>,
    /// How many times as much it takes to shift the wire on stiff teeth.
    pub on_stiff_teeth: f64,
    /// Why the simulation ended before the wire came to rest: the refusal of the solver.
    pub broke_off: Option<NoFigures>,
    pub solves: usize,
}

impl PhaseTrace {
    /// Why the simulation knows no time to passive; `None` where it knows one.
    pub fn never_at_rest(&self) -> Option<String> {
        if self.insertion.refused.is_some() {
            return Some("the wire cannot be computed here".to_owned());
        }
        if self.quarter.is_some() {
            return None;
        }
        Some(match &self.broke_off {
            Some(no) => format!("its forces cannot be computed to the end: {}", no.why),
            None => {
                "the wire is still active after the longest time that can be forecast".to_owned()
            }
        })
    }

    /// How far stops have pushed their teeth apart at every sample, days and mm; empty where nothing pushes.
    pub fn pushed_apart(&self, question: &RunQuery) -> Vec<(f64, f64)> {
        let ends = question.pushed.iter().flatten();
        let ends: Vec<(usize, f64)> = ends
            .filter_map(|end| {
                let at = question.movers.iter().position(|m| m.id == end.first)?;
                Some((at, if end.to_left { 1.0 } else { -1.0 }))
            })
            .collect();
        if ends.is_empty() {
            return Vec::new();
        }
        let apart = |poses: &[[f64; 6]]| -> f64 {
            ends.iter().map(|(at, sign)| sign * poses[*at][ALONG]).sum()
        };
        let from = self.samples.first().map_or(0.0, |s| apart(&s.poses));
        self.samples.iter().map(|s| (s.days, apart(&s.poses) - from)).collect()
    }

    /// Stands after so many days, by straight line between the samples.
    pub fn poses_at(&self, days: f64) -> Vec<[f64; 6]> {
        let after = self.samples.partition_point(|s| s.days < days);
        match (after.checked_sub(1).and_then(|i| self.samples.get(i)), self.samples.get(after)) {
            (Some(a), Some(b)) if b.days > a.days => {
                let share = (days - a.days) / (b.days - a.days);
                mix(&a.poses, &b.poses, share)
            }
            (_, Some(s)) | (Some(s), None) => s.poses.clone(),
            (None, None) => Vec::new(),
        }
    }

    /// Share of what the wire corrects that is left after so many days, by straight line between the samples.
    pub fn share_at(&self, days: f64) -> f64 {
        let after = self.samples.partition_point(|s| s.days < days);
        match (after.checked_sub(1).and_then(|i| self.samples.get(i)), self.samples.get(after)) {
            (Some(a), Some(b)) if b.days > a.days => {
                a.share + (b.share - a.share) * (days - a.days) / (b.days - a.days)
            }
            (_, Some(s)) | (Some(s), None) => s.share,
            (None, None) => 1.0,
        }
    }

    /// The chair test of a force to shift; `None` where the wire has no figures.
    pub fn chair_test(&self, shift: &ShiftForce) -> Option<ChairTest> {
        let [low, force_n, high] = shift.by_friction_n;
        let tooth = |(id, share): (u16, f64)| Some((Tooth::iso(u32::from(id))?, share));
        self.insertion.refused.is_none().then(|| ChairTest {
            force_n,
            range_n: [low, high * self.on_stiff_teeth],
            tightest: shift.tightest.and_then(tooth),
        })
    }

    /// What it takes to shift the wire after so many days, by straight line between the samples.
    pub fn shift_at(&self, days: f64) -> ShiftForce {
        let after = self.samples.partition_point(|s| s.days < days);
        match (after.checked_sub(1).and_then(|i| self.samples.get(i)), self.samples.get(after)) {
            (Some(a), Some(b)) if b.days > a.days => {
                a.shift.between(&b.shift, (days - a.days) / (b.days - a.days))
            }
            (_, Some(s)) | (Some(s), None) => s.shift,
            (None, None) => ShiftForce::default(),
        }
    }
}

fn mix(a: &[[f64; 6]], b: &[[f64; 6]], share: f64) -> Vec<[f64; 6]> {
    a.iter().zip(b).map(|(x, y)| std::array::from_fn(|i| x[i] + (y[i] - x[i]) * share)).collect()
}

/// Parts of a pose: along the arch, rotation.
const ALONG: usize = 2;
const ROTATED: usize = 3;

/// The ways in which a tooth moves: across the arch, about three axes, and along the arch.
const WAYS: usize = 5;
const PUSHED: usize = 4;

/// Days beyond which nothing is predicted, at unit rate.
const HORIZON_DAYS: f64 = 1500.0;

/// Net action on one tooth: force in the plane across the arch, and the couples.
#[derive(Debug, Clone, Copy, Default)]
struct NetForce {
    lingual: f64,
    gingival: f64,
    /// About the long axis, of tip and of torque.
    couples: [f64; 3],
    /// What the labiolingual force at the slot adds to the first, as the slot of a turned tooth lies beside
    /// the line of its long axis.
    beside_axis: f64,
    /// From stops that run into its bracket, to the patient's left positive, and the area of the roots that go with it:
    /// nothing where they cannot.
    along: f64,
    along_area_mm2: f64,
}

/// Base wire and overlay after one solve.
struct WireState {
    base: Solution,
    overlay: Option<Solution>,
    net: Vec<NetForce>,
}

pub(crate) fn run(question: &RunQuery) -> PhaseTrace {
    let stands: Vec<[f64; 6]> = question.movers.iter().map(|m| pose_of(question, m)).collect();
    let bounded = bounded(question);
    let Inserted { insertion, base, overlay, given, mut solves } = insert(&bounded);
    solves += question.setup.held.len();
    // What hangs on the wire, and a curve bent into it to work for months, would never let it be
    // passive: the path to rest is that of the plain wire. The forces at insertion have it all.
    let mut setup = bounded;
    let plain = setup.base.loads.is_empty() && setup.base.wire.reverse_curve.is_none();
    setup.base.loads.clear();
    setup.base.wire.reverse_curve = None;
    let mut samples = Vec::new();
    let mut strict = None;
    let mut at_rest = None;
    let mut broke_off = None;
    let mut on_stiff_teeth = None;
    let mut held_n = Vec::new();
    let base = base.and_then(|base| {
        if plain {
            return Some(base);
        }
        solves += 1;
        fresh(&setup, overlay.as_ref(), &base)
            .map_err(|refusal| broke_off = Some(NoFigures::new(refusal)))
            .ok()
    });
    if let Some(base) = base {
        let net = net_of(&setup, question, &stands, &base, overlay.as_ref());
        let mut state = WireState { base, overlay, net };
        let mut stiff = Stiffness::new(&question.movers);
        if let Some(given) = given.filter(|_| plain && state.overlay.is_none()) {
            let after = net_of(&setup, question, &stands, &given.solution, None);
            let step = TimeStep::measured_at_insertion(&after, given.travel_mm_per_n);
            stiff.learn(&question.movers, &state.net, &after, &step, 1.0);
        }
        held_n = held(&setup.base, &state.base, &question.friction);
        let mut now = stands.clone();
        let mut days = 0.0;
        for _ in 0..=question.pace.most_steps {
            let worst_n = worst(&question.movers, &state.net);
            let bend_rad = seen_bend(&state);
            let shift = ShiftForce::of(&setup.base, &state.base, &question.friction);
            if on_stiff_teeth.is_none() {
                on_stiff_teeth = stiffer(&setup.base, &state.base, &shift, &question.friction);
                solves += usize::from(on_stiff_teeth.is_some());
            }
            let sample =
                TraceSample { days, poses: now.clone(), worst_n, bend_rad, share: 1.0, shift };
            // Force and bend cross their thresholds between two samples.
            let before = samples.last().cloned();
            let at = |share: Option<f64>| match (&before, share) {
                (Some(before), Some(share)) => between(before, &sample, share),
                _ => sample.clone(),
            };
            let rests = before.as_ref().and_then(|b| passes(b.worst_n, worst_n, FLOOR_N, true));
            if worst_n < FLOOR_N && at_rest.is_none() {
                let rest = at(rests);
                at_rest = Some(rest.days);
                if rests.is_some() {
                    samples.push(rest);
                }
            }
            let straight = bend_rad < SEEN_BEND_RAD || worst_n < FLOOR_N / 3.0;
            let done = worst_n < FLOOR_N && straight;
            if done {
                let bend = before.as_ref().map(|b| b.bend_rad);
                let bends = bend.and_then(|b| passes(b, bend_rad, SEEN_BEND_RAD, false));
                let later = rests.unwrap_or(0.0).max(bends.unwrap_or(0.0));
                strict = Some(at((later > 0.0).then_some(later)).days);
            }
            samples.push(sample);
            if done {
                break;
            }
            if days > HORIZON_DAYS {
                break;
            }
            let Some(step) = stiff.step(question, &state.net) else { break };
            match advance(&mut setup, question, &now, &step, &state) {
                Ok((next, stands, taken, tries)) => {
                    solves += tries;
                    stiff.learn(&question.movers, &state.net, &next.net, &step, taken);
                    days += time_for(&question.movers, &state.net, &next.net, &step, taken);
                    (now, state) = (stands, next);
                }
                Err((refusal, tries)) => {
                    solves += tries;
                    broke_off = Some(NoFigures::new(refusal));
                    break;
                }
            }
        }
    }
    PhaseTrace {
        broke_off,
        on_stiff_teeth: on_stiff_teeth.unwrap_or(1.0),
        held_n,
        ..finish(question, insertion, samples, stands, at_rest, strict, solves)
    }
}

/// The share of the way between two values at which a mark is passed downwards; forces die away, so
/// theirs is that of the logarithms.
fn passes(from: f64, to: f64, mark: f64, dying: bool) -> Option<f64> {
    if from <= mark || to >= mark {
        return None;
    }
    // Where the next value is nothing the mark is passed somewhere on a straight line.
    let share = match dying && to > 1e-3 * mark {
        true => (from / mark).ln() / (from / to).ln(),
        false => (from - mark) / (from - to),
    };
    Some(share.clamp(0.0, 1.0))
}

fn between(a: &TraceSample, b: &TraceSample, share: f64) -> TraceSample {
    let line = |x: f64, y: f64| x + (y - x) * share;
    TraceSample {
        days: line(a.days, b.days),
        poses: mix(&a.poses, &b.poses, share),
        worst_n: line(a.worst_n, b.worst_n),
        bend_rad: line(a.bend_rad, b.bend_rad),
        share: 1.0,
        shift: a.shift.between(&b.shift, share),
    }
}

/// The pose of a tooth in the set-up.
fn pose_of(question: &RunQuery, mover: &MovingTooth) -> [f64; 6] {
    let slots = question.setup.base.slots.iter();
    let more = question.setup.overlay.iter().flat_map(|o| o.slots.iter());
    slots.chain(more).find(|s| s.id == mover.id).map_or([0.0; 6], |s| {
        let s = s.stand;
        [s.lingual_mm, s.gingival_mm, s.along_mm, s.rotated_rad, s.tipped_rad, s.torque_rad]
    })
}

/// Wire, overlay and loads together on every tooth.
///
/// The solver gives couples about the slot; a tooth turns about its long axis. One wing held by the wire
/// pulls at its own arm *and* at that of the slot, which a turned tooth carries mesial or distal of its
/// axis: at 50 degrees the second is four times the first. Two wings make a couple that is the same about
/// any axis, and little net force.
fn net_of(
    setup: &ArchSetup,
    question: &RunQuery,
    poses: &[[f64; 6]],
    base: &Solution,
    overlay: Option<&Solution>,
) -> Vec<NetForce> {
    let mut out: Vec<NetForce> = question
        .movers
        .iter()
        .zip(poses)
        .map(|(m, pose)| {
            let mut net = NetForce::default();
            for f in [base.tooth(m.id), overlay.and_then(|o| o.tooth(m.id))].into_iter().flatten() {
                net.lingual += f.lingual_n;
                net.gingival += f.gingival_n;
                let couples = [f.rotation_nmm, f.tip_nmm, f.torque_nmm];
                for (sum, couple) in net.couples.iter_mut().zip(couples) {
                    *sum += couple;
                }
            }
            for load in setup.base.loads.iter().filter(|l| l.id == m.id) {
                net.lingual += load.lingual_n;
                net.gingival += load.gingival_n;
            }
            // Towards the gum nothing moves below the least force of an intrusion.
            if net.gingival > 0.0 {
                net.gingival = (net.gingival - m.least_intruding_n).max(0.0);
            }
            if m.one_wing {
                net.beside_axis = m.axis_mm * pose[ROTATED].sin() * net.lingual;
                net.couples[0] += net.beside_axis;
            }
            net
        })
        .collect();
    for (end, force) in pushes(&question.pushed, base) {
        if let Some(i) = question.movers.iter().position(|m| m.id == end.first) {
            out[i].along += if end.to_left { force } else { -force };
            out[i].along_area_mm2 = end.area_mm2;
        }
    }
    out
}

/// The set-up with the lengths that stops hold as long as they were when the wire went in.
fn bounded(question: &RunQuery) -> ArchSetup {
    if question.setup.held.is_empty() {
        return question.setup.clone();
    }
    let mut inserted = question.setup.clone();
    if let Some(poses) = &question.at_insertion {
        place(&mut inserted.base, question, poses);
    }
    question.setup.bounded(&inserted)
}

/// The largest force, couples by their levers, of the teeth that can move.
fn worst(movers: &[MovingTooth], net: &[NetForce]) -> f64 {
    movers
        .iter()
        .zip(net)
        .filter(|(m, _)| !m.watched.fixed)
        .flat_map(|(_, n)| {
            let c: [f64; 3] = std::array::from_fn(|i| n.couples[i].abs() / COUPLE_LEVERS_MM[i]);
            let along = if n.along_area_mm2 > 0.0 { n.along.abs() } else { 0.0 };
            [n.lingual.hypot(n.gingival), c[0], c[1], c[2], along]
        })
        .fold(0.0, f64::max)
}

/// The largest angle between the wire beside a slot and the straight line to the next slot.
fn seen_bend(state: &WireState) -> f64 {
    let mut largest: f64 = 0.0;
    for solution in [Some(&state.base), state.overlay.as_ref()].into_iter().flatten() {
        for pair in solution.teeth.windows(2) {
            let (Some(a), Some(b)) = (pair[0].edges.last(), pair[1].edges.first()) else {
                continue;
            };
            let span = b.station_mm - a.station_mm;
            if span <= 0.1 {
                continue;
            }
            let chord_in = ((b.wire_lingual_mm - a.wire_lingual_mm) / span).atan();
            let chord_up = ((b.wire_gingival_mm - a.wire_gingival_mm) / span).atan();
            for edge in [a, b] {
                let (i, u) = (edge.wire_rotated_rad - chord_in, edge.wire_tipped_rad - chord_up);
                largest = largest.max(i.hypot(u));
            }
        }
    }
    largest
}

/// A move of every tooth.
struct TimeStep {
    days: f64,
    /// Per tooth, as in a pose: lingual, gingival, along mm; rotated, tipped, torque rad.
    moves: Vec<[f64; 6]>,
}

impl TimeStep {
    /// The step of the relaxation that was solved for the forces at insertion; `net` are the forces after
    /// it.
    fn measured_at_insertion(net: &[NetForce], travel_mm_per_n: f64) -> TimeStep {
        let moves = net
            .iter()
            .map(|n| {
                // The march turns a tooth by the couple at its slot.
                let about_slot = [n.couples[0] - n.beside_axis, n.couples[1], n.couples[2]];
                let turn = |c: usize| about_slot[c] / COUPLE_LEVERS_MM[c].powi(2);
                let parts = [n.lingual, n.gingival, 0.0, turn(0), turn(1), turn(2)];
                parts.map(|part| travel_mm_per_n * part)
            })
            .collect();
        TimeStep { days: 0.0, moves }
    }

    /// The displacement of a tooth: by force, and by the couples at their levers.
    fn went(&self, i: usize, levers: &[f64; WAYS]) -> [f64; WAYS] {
        let s = self.moves[i];
        let turn = |c: usize| s[c + 2].abs() * levers[c];
        [s[0].hypot(s[1]), turn(1), turn(2), turn(3), s[ALONG].abs()]
    }
}

/// Stiffness observed under the last moves: N per mm, couples at their levers.
struct Stiffness {
    per_mm: Vec<[f64; WAYS]>,
    most: Vec<[f64; WAYS]>,
}

impl Stiffness {
    /// No force dies faster than the tooth's own support is stiff, five times 0.1 mm/N and c/50, c/125 beyond its first
    /// stage; a wire is taken for a twenty-fifth of that until it has been seen.
    fn new(movers: &[MovingTooth]) -> Stiffness {
        let most: Vec<[f64; WAYS]> = movers
            .iter()
            .map(|m| {
                let (r, t) = (m.rotation_lever_mm, TIP_LEVER_MM);
                [50.0, 2500.0 / (r * r), 6250.0 / (t * t), 6250.0 / (t * t), 50.0]
            })
            .collect();
        let per_mm = most.iter().map(|m| m.map(|x| 0.04 * x)).collect();
        Stiffness { per_mm, most }
    }

    /// The next step; `None` when nothing moves.
    fn step(&self, question: &RunQuery, net: &[NetForce]) -> Option<TimeStep> {
        let pace = question.pace;
        let mut wanted = Vec::with_capacity(net.len());
        let (mut by_distance, mut by_force) = (f64::INFINITY, 0.0_f64);
        for (i, (m, n)) in question.movers.iter().zip(net).enumerate() {
            let levers = levers(m);
            let forces = forces(n, &levers);
            let mut rates = [0.0; WAYS];
            for c in 0..WAYS {
                if m.watched.fixed || !forces[c].is_finite() {
                    continue;
                }
                let (k, area) = held_by(m, n, c);
                rates[c] = k * rate_mm_per_day(pressure_kpa(forces[c], area));
                if rates[c] <= 0.0 {
                    continue;
                }
                let turns = (1..PUSHED).contains(&c);
                let farthest = if turns { pace.step_rad * levers[c] } else { pace.step_mm };
                let floor =
                    if turns { FLOOR_N * COUPLE_LEVERS_MM[c - 1] / levers[c] } else { FLOOR_N };
                if forces[c] > 0.5 * floor {
                    by_distance = by_distance.min(farthest / rates[c]);
                    let allowed = pace.fall * forces[c] / self.per_mm[i][c];
                    by_force = by_force.max(allowed / rates[c]);
                }
            }
            wanted.push((rates, forces));
        }
        let days = by_distance.min(by_force);
        if !(days.is_finite() && days > 0.0) {
            return None;
        }
        let moves = question
            .movers
            .iter()
            .zip(net)
            .zip(wanted)
            .enumerate()
            .map(|(i, ((m, n), (rates, forces)))| {
                let levers = levers(m);
                let mut go: [f64; WAYS] = std::array::from_fn(|c| match rates[c] > 0.0 {
                    true => {
                        let (k, area) = held_by(m, n, c);
                        distance_mm(forces[c], area, k, self.per_mm[i][c], days)
                    }
                    false => 0.0,
                });
                // One wing: force and couple are the same contact's and die together. Taken one by one the
                // couple would seem to die of the little that the tooth turns.
                if m.one_wing && rates[0] > 0.0 {
                    go[1] = rates[1] * (go[0] / rates[0]);
                }
                let size = forces[0].max(1e-12);
                let turn = |c: usize| go[c] / levers[c] * n.couples[c - 1].signum();
                [
                    go[0] * n.lingual / size,
                    go[0] * n.gingival / size,
                    go[PUSHED] * n.along.signum(),
                    turn(1),
                    turn(2),
                    turn(3),
                ]
            })
            .collect();
        Some(TimeStep { days, moves: taken_along(question, moves) })
    }

    /// Compares forces before and after a step.
    fn learn(
        &mut self,
        movers: &[MovingTooth],
        before: &[NetForce],
        after: &[NetForce],
        step: &TimeStep,
        taken: f64,
    ) {
        for (i, m) in movers.iter().enumerate() {
            let levers = levers(m);
            let (was, is) = (forces(&before[i], &levers), forces(&after[i], &levers));
            let went = step.went(i, &levers);
            for c in 0..WAYS {
                let went = went[c] * taken;
                if went > 1e-7 {
                    let mut change = (was[c] - is[c]).abs();
                    // A force that turned round fell by both.
                    if (1..PUSHED).contains(&c)
                        && before[i].couples[c - 1] * after[i].couples[c - 1] < 0.0
                    {
                        change = was[c] + is[c];
                    }
                    if c == 0 {
                        let (b, a) = (&before[i], &after[i]);
                        change = (b.lingual - a.lingual).hypot(b.gingival - a.gingival);
                    }
                    let seen = (change / went).min(self.most[i][c]);
                    let old = self.per_mm[i][c];
                    self.per_mm[i][c] = seen.max(0.4 * old).max(1e-3 * self.most[i][c]);
                }
            }
        }
    }
}

/// Corrects the duration of a step. Its displacements were set by predicted forces; now that those at its
/// end are known, the mean rate gives the time, from the teeth that moved most.
fn time_for(
    movers: &[MovingTooth],
    before: &[NetForce],
    after: &[NetForce],
    step: &TimeStep,
    taken: f64,
) -> f64 {
    let (mut ways, mut rates) = (0.0, 0.0);
    for (i, m) in movers.iter().enumerate() {
        let levers = levers(m);
        let (was, mut is) = (forces(&before[i], &levers), forces(&after[i], &levers));
        let (b, a) = (&before[i], &after[i]);
        // A force that has reversed was zero in between.
        let turned = |x: f64, y: f64| x * y < 0.0;
        if b.lingual * a.lingual + b.gingival * a.gingival < 0.0 {
            is[0] = 0.0;
        }
        for (force, (x, y)) in is[1..].iter_mut().zip(b.couples.iter().zip(a.couples)) {
            if turned(*x, y) {
                *force = 0.0;
            }
        }
        let went = step.went(i, &levers);
        for c in 0..WAYS {
            let (k, area) = held_by(m, b, c);
            let rate = |force: f64| k * rate_mm_per_day(pressure_kpa(force, area));
            let mean = (rate(was[c]) + 4.0 * rate(0.5 * (was[c] + is[c])) + rate(is[c])) / 6.0;
            let way = went[c] * taken;
            if mean.is_finite() {
                ways += way * way;
                rates += way * mean;
            }
        }
    }
    let days = if rates > 0.0 { ways / rates } else { step.days * taken };
    // The correction of a single step is bounded, since a large one cannot be trusted.
    days.clamp(0.3 * step.days * taken, 3.0 * step.days * taken)
}

/// The factor k and the area of the roots that hold a tooth against one way of moving.
fn held_by(m: &MovingTooth, n: &NetForce, way: usize) -> (f64, f64) {
    if way == PUSHED { (K_SLIDE, n.along_area_mm2) } else { (m.k, m.area_mm2) }
}

/// The teeth that stand in the way of a pushed one go with it.
fn taken_along(question: &RunQuery, mut moves: Vec<[f64; 6]>) -> Vec<[f64; 6]> {
    let at = |id: u16| question.movers.iter().position(|m| m.id == id);
    for end in question.pushed.iter().flatten() {
        let Some(by) = at(end.first).map(|i| moves[i][ALONG]) else { continue };
        for i in end.others.iter().filter_map(|id| at(*id)) {
            moves[i][ALONG] += by;
        }
    }
    moves
}

fn levers(m: &MovingTooth) -> [f64; WAYS] {
    [1.0, m.rotation_lever_mm, TIP_LEVER_MM, TIP_LEVER_MM, 1.0]
}

fn forces(n: &NetForce, levers: &[f64; WAYS]) -> [f64; WAYS] {
    [
        n.lingual.hypot(n.gingival),
        n.couples[0].abs() / levers[1],
        n.couples[1].abs() / levers[2],
        n.couples[2].abs() / levers[3],
        n.along.abs(),
    ]
}

/// Moves the teeth and solves again; on a refusal tries half the step, twice. Gives the share of the
/// step taken and the solves spent; on failure why, and the solves.
fn advance(
    setup: &mut ArchSetup,
    question: &RunQuery,
    now: &[[f64; 6]],
    step: &TimeStep,
    state: &WireState,
) -> Result<(WireState, Vec<[f64; 6]>, f64, usize), (Refusal, usize)> {
    let mut tries = 0;
    let mut why = None;
    for taken in [1.0, 0.5, 0.25] {
        let next: Vec<[f64; 6]> = now
            .iter()
            .zip(&step.moves)
            .map(|(s, m)| std::array::from_fn(|part| s[part] + taken * m[part]))
            .collect();
        place(&mut setup.base, question, &next);
        if let Some(overlay) = &mut setup.overlay {
            place(overlay, question, &next);
        }
        tries += 1;
        match solve_both(setup, question, &next, state) {
            Ok(state) => return Ok((state, next, taken, tries)),
            Err(refusal) => why = why.or(Some(refusal)),
        }
    }
    let never_tried = Refusal::Unsolved { what: "no step of the forecast was tried" };
    Err((why.unwrap_or(never_tried), tries))
}

fn place(setup: &mut Setup, question: &RunQuery, stands: &[[f64; 6]]) {
    for slot in &mut setup.slots {
        if let Some(i) = question.movers.iter().position(|m| m.id == slot.id) {
            slot.stand = crate::mouth::pose::ToothPose::from_parts(stands[i]).stand();
        }
    }
}

fn solve_both(
    setup: &ArchSetup,
    question: &RunQuery,
    poses: &[[f64; 6]],
    before: &WireState,
) -> Result<WireState, Refusal> {
    let overlay = match (&setup.overlay, &before.overlay) {
        (Some(s), Some(b)) => Some(solve(s, Start::Carry(b))?),
        _ => None,
    };
    let base = match &overlay {
        None => solve(&setup.base, Start::Carry(&before.base))?,
        Some(over) => {
            let mut base = setup.base.clone();
            base.loads.extend(passed_on(&setup.base, over));
            solve(&base, Start::Carry(&before.base))?
        }
    };
    let net = net_of(setup, question, poses, &base, overlay.as_ref());
    Ok(WireState { base, overlay, net })
}

/// A fresh wire in the base's slots, under what the overlay passes on, found from the shape of a like
/// one.
fn fresh(
    setup: &ArchSetup,
    overlay: Option<&Solution>,
    like: &Solution,
) -> Result<Solution, Refusal> {
    let mut base = setup.base.clone();
    base.loads.extend(overlay.into_iter().flat_map(|o| passed_on(&setup.base, o)));
    solve(&base, Start::Warm(like))
}

/// Reads the times off the samples.
fn finish(
    question: &RunQuery,
    insertion: Insertion,
    mut samples: Vec<TraceSample>,
    start: Vec<[f64; 6]>,
    at_rest: Option<f64>,
    strict: Option<f64>,
    solves: usize,
) -> PhaseTrace {
    let watched: Vec<MonitoredTooth> = question.movers.iter().map(|m| m.watched.clone()).collect();
    let reference = question.at_insertion.clone().unwrap_or_else(|| start.clone());
    let left = samples
        .iter()
        .find(|s| Some(s.days) == at_rest)
        .or(samples.last())
        .map_or_else(|| start.clone(), |s| s.poses.clone());
    for sample in &mut samples {
        sample.share = share_left(&watched, &reference, &sample.poses, &left);
    }
    if samples.is_empty() {
        samples.push(TraceSample {
            days: 0.0,
            poses: start.clone(),
            worst_n: 0.0,
            bend_rad: 0.0,
            share: 1.0,
            shift: ShiftForce::default(),
        });
    }
    let crossed = crossing(&samples, QUARTER);
    let quarter = match (crossed, at_rest) {
        (Some(q), Some(r)) => Some(q.min(r)),
        // Without a state at rest the share is relative to the state where the run ended.
        (_, r) => r,
    };
    let by_floor = at_rest.is_some_and(|r| crossed.is_none_or(|q| r <= q));
    PhaseTrace {
        insertion,
        index_in_mm: irregularity(&watched, &reference),
        index_left_mm: irregularity(&watched, &left),
        samples,
        quarter,
        by_floor,
        strict,
        left,
        on_stiff_teeth: 1.0,
        held_n: Vec::new(),
        broke_off: None,
        solves,
    }
}

/// When the share first falls to a level, by straight line.
pub(crate) fn crossing(samples: &[TraceSample], level: f64) -> Option<f64> {
    if samples.first().is_some_and(|s| s.share <= level) {
        return Some(0.0);
    }
    samples.windows(2).find(|w| w[1].share <= level).map(|w| {
        let fall = w[0].share - w[1].share;
        let part = if fall > 0.0 { (w[0].share - level) / fall } else { 1.0 };
        w[0].days + part.clamp(0.0, 1.0) * (w[1].days - w[0].days)
    })
}
