//! Simulation of one phase at unit rate: the wire moves the teeth and is solved again, until it is at
//! rest.
//!
//! Growth, patient and learned factors only scale time, so one simulation serves every patient and the
//! whole band. Teeth move about their centres of resistance ([`drive`](crate::run::drive)), in steps each of which is one
//! equilibrium ([`time_step`](crate::run::time_step)). Steps adapt: no tooth moves farther than a set distance and no
//! force falls by more than a set share; teeth that are almost at rest follow.

use crate::law::chair::ChairTest;
use crate::law::passive::{
    FLOOR_N, MonitoredTooth, QUARTER, SEEN_BEND_RAD, irregularity, share_left,
};
use crate::run::carried_teeth::{CarriedTooth, couples_at, next_there, turning_loads};
use crate::run::chair::{FrictionRange, ShiftForce, held};
use crate::run::chair_reading::{ChairReading, StiffTeeth};
use crate::run::drive::{Drive, MovingTooth};
use crate::run::figures::{Insertion, NoFigures};
use crate::run::insertion::{Inserted, insert};
use crate::run::pushed_teeth::{PushedTeeth, pushes};
use crate::run::stop_signal::StopSignal;
use crate::run::time_step::{StepControl, StepTaken, Stiffness, TimeStep};
use crate::setup::arch_setup::{ArchSetup, passed_on};
use springline_mechanics::{
    Components, Refusal, Setup, Solution, Start, ToothTravel, Travelled, solve, travel,
};
use springline_units::tooth::Tooth;

/// The input of a simulation of one wire, and the key of its cache entry.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RunQuery {
    pub setup: ArchSetup,
    /// In order along the arch: all teeth that base wire or overlay hold.
    pub movers: Vec<MovingTooth>,
    /// Poses at insertion, where the wire has been in for a while: the measure of passivity counts from
    /// there.
    pub at_insertion: Option<Vec<[f64; 6]>>,
    /// Teeth at both ends of every held length.
    pub pushed: Vec<[PushedTeeth; 2]>,
    /// Couples by which what carries teeth along the arch turns them.
    pub carried: Vec<CarriedTooth>,
    /// Of the base wire in its slots.
    pub friction: FrictionRange,
    pub pace: StepControl,
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
    /// The wire on stiff teeth; `None` where shifting it is not worth the solve at any time.
    pub on_stiff_teeth: Option<StiffTeeth>,
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
        // What draws them together makes no room.
        let apart = question.pushed.iter().zip(&question.setup.held);
        let apart = apart.filter(|(_, held)| held.presses_apart());
        let ends: Vec<(usize, f64)> = apart
            .flat_map(|(ends, _)| ends)
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
    pub fn chair_test(&self, shift: &ShiftForce) -> Option<ChairReading> {
        let [low, force_n, high] = shift.by_friction_n;
        let tooth = |(id, share): (u16, f64)| Some((Tooth::iso(u32::from(id))?, share));
        self.insertion.refused.is_none().then(|| {
            let tightest = shift.tightest.and_then(tooth);
            let soft = ChairTest { force_n, range_n: [low, high], tightest };
            ChairReading::new(soft, self.on_stiff_teeth.clone())
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

/// Part of a pose: along the arch.
const ALONG: usize = 2;

/// Days beyond which nothing is predicted, at unit rate.
const HORIZON_DAYS: f64 = 1500.0;

/// Base wire and overlay after one solve.
struct WireState {
    base: Solution,
    overlay: Option<Solution>,
    drives: Vec<Drive>,
}

#[cfg(test)]
pub(crate) fn run(question: &RunQuery) -> PhaseTrace {
    run_until(question, &StopSignal::default())
}

/// Ends early, with what there is by then, where nobody waits for it any more.
pub(crate) fn run_until(question: &RunQuery, stop: &StopSignal) -> PhaseTrace {
    let stands: Vec<[f64; 6]> =
        question.movers.iter().map(|m| pose_in(&question.setup, m.id)).collect();
    if stop.is_set() {
        return finish(question, Insertion::default(), Vec::new(), stands, None, None, 0);
    }
    let bounded = bounded(question);
    let Inserted { insertion, base, overlay, given, mut solves } = insert(&bounded);
    solves += question.setup.held.len();
    // What hangs on the wire, and a curve bent into it to work for months, would never let it be
    // passive: the path to rest is that of the plain wire. The forces at insertion have it all.
    let mut setup = bounded;
    let plain = setup.base.loads.is_empty()
        && question.carried.is_empty()
        && setup.base.wire.reverse_curve.is_none();
    setup.base.wire.reverse_curve = None;
    let mut carried = couples_at(&question.movers, &question.carried, 0.0);
    setup.base.loads = turning_loads(&setup.base, &question.movers, &carried);
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
        let drives = driven(question, &carried, &stands, &base, overlay.as_ref());
        let mut state = WireState { base, overlay, drives };
        let mut stiff = Stiffness::new(&question.movers);
        if let Some(given) = given.filter(|_| plain && state.overlay.is_none()) {
            let after = driven(question, &carried, &stands, &given.solution, None);
            let step = TimeStep::measured_at_insertion(&question.movers, given.travel_mm_per_n);
            let before = &state.drives;
            let taken =
                StepTaken { laid_out: &step, taken: 1.0, poses: &stands, before, after: &after };
            stiff.learn(&question.movers, &taken);
        }
        held_n = held(&setup.base, &state.base, &question.friction);
        let mut now = stands.clone();
        let mut days = 0.0;
        let mut after_rest = 0;
        for _ in 0..=question.pace.most_steps {
            if stop.is_set() {
                break;
            }
            let worst_n = worst(&question.movers, &state.drives);
            let bend_rad = seen_bend(&state);
            let shift = ShiftForce::of(&setup.base, &state.base, &question.friction);
            if on_stiff_teeth.is_none() {
                let friction = &question.friction;
                on_stiff_teeth = StiffTeeth::under(&setup.base, &state.base, &shift, friction);
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
            if done && strict.is_none() {
                let bend = before.as_ref().map(|b| b.bend_rad);
                let bends = bend.and_then(|b| passes(b, bend_rad, SEEN_BEND_RAD, false));
                let later = rests.unwrap_or(0.0).max(bends.unwrap_or(0.0));
                strict = Some(at((later > 0.0).then_some(later)).days);
            }
            samples.push(sample);
            after_rest += usize::from(done);
            let held = |d: &Drive| d.carried_by.is_none() || d.tips_n() < FLOOR_N;
            if days > HORIZON_DAYS
                || done && (state.drives.iter().all(held) || after_rest > MORE_STEPS)
            {
                // Wire and pulls hold each other until the next tooth is there.
                match next_there(&question.carried, days) {
                    Some(then) if days <= HORIZON_DAYS => days = then,
                    _ => break,
                }
                samples.extend(samples.last().cloned().map(|last| TraceSample { days, ..last }));
                after_rest = 0;
            } else {
                let most_days =
                    next_there(&question.carried, days).map_or(f64::INFINITY, |then| then - days);
                let Some(step) =
                    stiff.step(&question.movers, &state.drives, &question.pace, most_days)
                else {
                    break;
                };
                match advance(&mut setup, question, &now, &step, &state) {
                    Ok(Advance { state: next, poses, taken, tries }) => {
                        solves += tries;
                        let (before, after) = (&state.drives, &next.drives);
                        let step = StepTaken { laid_out: &step, taken, poses: &now, before, after };
                        stiff.learn(&question.movers, &step);
                        days += step.days(&question.movers);
                        (now, state) = (poses, next);
                    }
                    Err((refusal, tries)) => {
                        solves += tries;
                        broke_off = Some(NoFigures::new(refusal));
                        break;
                    }
                }
            }
            let goes_on = couples_at(&question.movers, &question.carried, days + 1e-6);
            if goes_on != carried {
                carried = goes_on;
                setup.base.loads = turning_loads(&setup.base, &question.movers, &carried);
                solves += 1;
                match let_go(&setup, question, &carried, &now, &state) {
                    Ok(next) => state = next,
                    Err(refusal) => {
                        broke_off = Some(NoFigures::new(refusal));
                        break;
                    }
                }
            }
        }
    }
    PhaseTrace {
        broke_off,
        on_stiff_teeth,
        held_n,
        ..finish(question, insertion, samples, stands, at_rest, strict, solves)
    }
}

/// Steps that are followed where a wire is at rest and leaves to themselves teeth that something carries.
const MORE_STEPS: usize = 12;

/// The same wires and teeth under other pulls.
fn let_go(
    setup: &ArchSetup,
    question: &RunQuery,
    carried: &[Option<Components>],
    poses: &[[f64; 6]],
    state: &WireState,
) -> Result<WireState, Refusal> {
    let mut base = setup.base.clone();
    base.loads.extend(state.overlay.iter().flat_map(|o| passed_on(&setup.base, o)));
    let base = solve(&base, Start::Carry(&state.base))?;
    let overlay = state.overlay.clone();
    let drives = driven(question, carried, poses, &base, overlay.as_ref());
    Ok(WireState { base, overlay, drives })
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
pub(crate) fn pose_in(setup: &ArchSetup, id: u16) -> [f64; 6] {
    let slots = setup.base.slots.iter();
    let more = setup.overlay.iter().flat_map(|o| o.slots.iter());
    slots.chain(more).find(|s| s.id == id).map_or([0.0; 6], |s| {
        let s = s.stand;
        [s.lingual_mm, s.gingival_mm, s.along_mm, s.rotated_rad, s.tipped_rad, s.torque_rad]
    })
}

/// What wires and loads together do to every tooth.
fn driven(
    question: &RunQuery,
    carried: &[Option<Components>],
    poses: &[[f64; 6]],
    base: &Solution,
    overlay: Option<&Solution>,
) -> Vec<Drive> {
    // Where both wires hold a tooth, what the one passes on is a load under the other.
    let on = |id: u16| base.tooth(id).or_else(|| overlay.and_then(|o| o.tooth(id)));
    let teeth = question.movers.iter().zip(poses).zip(carried);
    let mut out: Vec<Drive> = teeth
        .map(|((m, pose), by)| {
            let forces = on(m.id).map_or_else(Components::default, |t| t.carried);
            m.drive(pose, forces, *by)
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

/// The set-up with the held lengths as bounds, and ties as long, as they were when the wire went in.
fn bounded(question: &RunQuery) -> ArchSetup {
    let mut inserted = question.setup.clone();
    if let Some(poses) = &question.at_insertion {
        place(&mut inserted.base, question, poses);
    }
    let mut out = match question.setup.held.is_empty() {
        true => question.setup.clone(),
        false => question.setup.bounded(&inserted),
    };
    out.base.ties = inserted.base.ties_as_tied();
    out
}

/// The largest force, couples by their levers, of the teeth that can move.
fn worst(movers: &[MovingTooth], drives: &[Drive]) -> f64 {
    let all = movers.iter().zip(drives).filter(|(m, _)| !m.watched.fixed);
    all.map(|(_, drive)| drive.worst_n()).fold(0.0, f64::max)
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

/// The teeth that stand in the way of a pushed one go with it.
fn taken_along(question: &RunQuery, pushed_mm: &[f64]) -> Vec<f64> {
    let mut out = pushed_mm.to_vec();
    let at = |id: u16| question.movers.iter().position(|m| m.id == id);
    for end in question.pushed.iter().flatten() {
        let Some(by) = at(end.first).map(|i| pushed_mm[i]) else { continue };
        for i in end.others.iter().filter_map(|id| at(*id)) {
            out[i] += by;
        }
    }
    out
}

/// The teeth after a step.
struct Advance {
    state: WireState,
    poses: Vec<[f64; 6]>,
    /// Share of the step that was taken.
    taken: f64,
    tries: usize,
}

/// Lets the teeth travel; on a refusal tries half the step, twice. On failure why, and the solves.
fn advance(
    setup: &mut ArchSetup,
    question: &RunQuery,
    now: &[[f64; 6]],
    step: &TimeStep,
    state: &WireState,
) -> Result<Advance, (Refusal, usize)> {
    let mut tries = 0;
    let mut why = None;
    for taken in [1.0, 0.5, 0.25] {
        tries += 1;
        // What stops push goes first, so that the forces in the end know of it.
        let pushed = pushed(question, now, step, taken);
        place_all(setup, question, &pushed);
        let gone = go(setup, question, &pushed, step, taken, state);
        let (base, overlay, poses) = match gone {
            Ok(gone) => gone,
            Err(refusal) => {
                why = why.or(Some(refusal));
                continue;
            }
        };
        place_all(setup, question, &poses);
        let by: Vec<_> = state.drives.iter().map(|d| d.carried_by).collect();
        let drives = driven(question, &by, &poses, &base, overlay.as_ref());
        return Ok(Advance { state: WireState { base, overlay, drives }, poses, taken, tries });
    }
    let never_tried = Refusal::Unsolved { what: "no step of the forecast was tried" };
    Err((why.unwrap_or(never_tried), tries))
}

/// The teeth where stops have pushed them along the arch.
fn pushed(question: &RunQuery, now: &[[f64; 6]], step: &TimeStep, taken: f64) -> Vec<[f64; 6]> {
    let mut poses = now.to_vec();
    for (pose, by) in poses.iter_mut().zip(taken_along(question, &step.pushed_mm)) {
        pose[ALONG] += taken * by;
    }
    poses
}

fn place_all(setup: &mut ArchSetup, question: &RunQuery, poses: &[[f64; 6]]) {
    place(&mut setup.base, question, poses);
    if let Some(overlay) = &mut setup.overlay {
        place(overlay, question, poses);
    }
}

type Gone = (Solution, Option<Solution>, Vec<[f64; 6]>);

/// Both wires where the teeth have travelled. A tooth that both hold goes with the base wire, under what the overlay
/// passes on.
fn go(
    setup: &ArchSetup,
    question: &RunQuery,
    now: &[[f64; 6]],
    step: &TimeStep,
    taken: f64,
    state: &WireState,
) -> Result<Gone, Refusal> {
    let in_base = |id: u16| setup.base.slots.iter().any(|s| s.id == id);
    let ways = |base: bool| -> Vec<ToothTravel> {
        let teeth = question.movers.iter().enumerate().filter(|(_, m)| in_base(m.id) == base);
        let way = |(i, m): (usize, &MovingTooth)| {
            m.way(&now[i], &state.drives[i], step.mm_per_n[i].map(|x| taken * x))
        };
        teeth.map(way).collect()
    };
    let mut poses = now.to_vec();
    let mut moved = |ways: &[ToothTravel], gone: &Travelled| {
        for (way, by) in ways.iter().zip(&gone.by) {
            let Some(i) = question.movers.iter().position(|m| m.id == way.id) else { continue };
            // Along the arch a tooth goes only as stops and closing move it.
            let by =
                [by.lingual_mm, by.gingival_mm, 0.0, by.rotated_rad, by.tipped_rad, by.torque_rad];
            poses[i] = std::array::from_fn(|part| poses[i][part] + by[part]);
        }
    };
    let overlay = match (&setup.overlay, &state.overlay) {
        (Some(setup), Some(before)) => {
            let ways = ways(false);
            let gone = travel(setup, Start::Carry(before), &ways)?;
            moved(&ways, &gone);
            Some(gone.solution)
        }
        _ => None,
    };
    let ways = ways(true);
    let gone = match &overlay {
        None => travel(&setup.base, Start::Carry(&state.base), &ways)?,
        Some(over) => {
            let mut base = setup.base.clone();
            base.loads.extend(passed_on(&setup.base, over));
            travel(&base, Start::Carry(&state.base), &ways)?
        }
    };
    moved(&ways, &gone);
    Ok((gone.solution, overlay, poses))
}

fn place(setup: &mut Setup, question: &RunQuery, stands: &[[f64; 6]]) {
    for slot in &mut setup.slots {
        if let Some(i) = question.movers.iter().position(|m| m.id == slot.id) {
            slot.stand = crate::mouth::pose::ToothPose::from_parts(stands[i]).stand();
        }
    }
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
        on_stiff_teeth: None,
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
