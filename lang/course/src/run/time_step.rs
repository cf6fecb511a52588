//! Steps in time: how long one may be, how far each tooth is to travel in it, and how long it has truly taken.
//!
//! A step is one equilibrium: every tooth travels by the forces that it has in the end
//! ([`travel`](springline_mechanics::travel)), so no tooth passes the place where the wire lets it rest. The law is not
//! linear, so the way for each newton is that of the law where the force dies by the stiffness that the last step
//! showed; once the forces at the end are known, the duration is corrected by them.

use crate::law::movement::{K_SLIDE, distance_mm, rate_mm_per_day};
use crate::law::passive::FLOOR_N;
use crate::law::periodontium::pressure_kpa;
use crate::run::drive::{ACROSS, Drive, LENGTHWISE, MOVEMENTS, MovingTooth, TURNS};
use springline_mechanics::COUPLE_LEVERS_MM;

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
        StepControl { step_mm: 0.15, step_rad: 0.04, fall: 0.6, most_steps: 80 }
    }
}

/// Besides the movements under wire and loads: along the arch, by stops.
const PUSHED: usize = MOVEMENTS;
const WAYS: usize = MOVEMENTS + 1;

/// A step as laid out.
pub(crate) struct TimeStep {
    pub days: f64,
    /// Per tooth and movement, mm for each newton of its size that is left at the end.
    pub mm_per_n: Vec<[f64; MOVEMENTS]>,
    /// Per tooth, along the arch, mm.
    pub pushed_mm: Vec<f64>,
}

impl TimeStep {
    /// The first step of the march that was solved for the forces at insertion.
    pub fn measured_at_insertion(movers: &[MovingTooth], travel_mm_per_n: f64) -> TimeStep {
        TimeStep {
            days: 0.0,
            mm_per_n: movers.iter().map(|m| m.marched(travel_mm_per_n)).collect(),
            pushed_mm: vec![0.0; movers.len()],
        }
    }

    /// How far one tooth has gone where that is left on it.
    fn went(&self, i: usize, left: &Drive, taken: f64) -> [f64; WAYS] {
        let by = |c: usize| taken * self.mm_per_n[i][c] * left.size_n[c];
        [by(ACROSS), by(LENGTHWISE), by(TURNS), taken * self.pushed_mm[i].abs()]
    }
}

/// Stiffness observed in the last step, N per mm.
pub(crate) struct Stiffness {
    per_mm: Vec<[f64; WAYS]>,
    most: Vec<[f64; WAYS]>,
}

/// A tooth pushed along the arch takes its neighbours with it; its support is taken for so stiff, N per mm.
const HELD_ALONG: f64 = 50.0;
/// A steady pull that nothing holds changes nothing on its way: such a tooth may go so much farther in a step.
const CARRIED_FARTHER: f64 = 4.0;
/// What is left of a force is not taken for less than this, N and of what it was: so much less it would have to be for
/// the tooth to travel farther than laid out.
const LEAST_LEFT_N: f64 = 0.02;
const LEAST_LEFT: f64 = 0.3;

impl Stiffness {
    /// A wire is taken for a twenty-fifth as stiff as the support until it has been seen.
    pub fn new(movers: &[MovingTooth]) -> Stiffness {
        let most: Vec<[f64; WAYS]> = movers
            .iter()
            .map(|m| {
                let [across, along, turns] = m.held_n_per_mm();
                [across, along, turns, HELD_ALONG]
            })
            .collect();
        let per_mm = most.iter().map(|m| m.map(|x| 0.04 * x)).collect();
        Stiffness { per_mm, most }
    }

    /// The next step, no longer than so many days; `None` when nothing moves.
    pub fn step(
        &self,
        movers: &[MovingTooth],
        drives: &[Drive],
        pace: &StepControl,
        most_days: f64,
    ) -> Option<TimeStep> {
        let (mut by_distance, mut by_force) = (f64::INFINITY, 0.0_f64);
        for (i, (m, n)) in movers.iter().zip(drives).enumerate() {
            let sizes = sizes(n);
            let (far, turn) = (pace.step_mm, pace.step_rad * m.rotation_lever_mm);
            let tips = if n.carried_by.is_some() { CARRIED_FARTHER * far } else { far };
            // Stops push both ends of a length.
            let farthest = [tips, tips, turn, 0.5 * far];
            let turns = FLOOR_N * COUPLE_LEVERS_MM[0] / m.rotation_lever_mm;
            let floor = [FLOOR_N, FLOOR_N, turns, FLOOR_N];
            for c in 0..WAYS {
                let rate = rate(m, n, c, sizes[c]);
                if rate > 0.0 && sizes[c] > 0.5 * floor[c] {
                    by_distance = by_distance.min(farthest[c] / rate);
                    by_force = by_force.max(pace.fall * sizes[c] / self.per_mm[i][c] / rate);
                }
            }
        }
        let days = by_distance.min(by_force).min(most_days);
        (days.is_finite() && days > 0.0).then(|| self.lasting(days, movers, drives))
    }

    fn lasting(&self, days: f64, movers: &[MovingTooth], drives: &[Drive]) -> TimeStep {
        let (mut mm_per_n, mut pushed_mm) = (Vec::new(), Vec::new());
        for (i, (m, n)) in movers.iter().zip(drives).enumerate() {
            let sizes = sizes(n);
            let way = |c: usize| {
                let (k, area) = held_by(m, n, c);
                let moves = rate(m, n, c, sizes[c]) > 0.0;
                if moves { distance_mm(sizes[c], area, k, self.per_mm[i][c], days) } else { 0.0 }
            };
            mm_per_n.push([ACROSS, LENGTHWISE, TURNS].map(|c| {
                let (way, size) = (way(c), sizes[c]);
                let left = (size - self.per_mm[i][c] * way).max(LEAST_LEFT * size);
                way / left.max(LEAST_LEFT_N)
            }));
            pushed_mm.push(way(PUSHED) * n.along.signum());
        }
        TimeStep { days, mm_per_n, pushed_mm }
    }

    /// Compares what moves the teeth before and after a step.
    pub fn learn(&mut self, movers: &[MovingTooth], step: &StepTaken<'_>) {
        for (i, m) in movers.iter().enumerate() {
            let (was, is) = (&step.before[i], &step.after[i]);
            let went = step.laid_out.went(i, is, step.taken);
            let [across, along, turns] = was.change_n(m, &step.poses[i], is);
            let change = [across, along, turns, (was.along.abs() - is.along.abs()).abs()];
            for c in 0..WAYS {
                if went[c] > 1e-7 {
                    let seen = (change[c] / went[c]).min(self.most[i][c]);
                    let old = self.per_mm[i][c];
                    self.per_mm[i][c] = seen.max(0.4 * old).max(1e-3 * self.most[i][c]);
                }
            }
        }
    }
}

/// A step that was taken, or the share of it that was.
pub(crate) struct StepTaken<'s> {
    pub laid_out: &'s TimeStep,
    pub taken: f64,
    /// Where the teeth stood before.
    pub poses: &'s [[f64; 6]],
    pub before: &'s [Drive],
    pub after: &'s [Drive],
}

impl StepTaken<'_> {
    /// How long it took. Its ways were set by predicted forces; now that those at its end are known, the mean rate gives
    /// the time, from the teeth that moved most.
    pub fn days(&self, movers: &[MovingTooth]) -> f64 {
        let (mut ways, mut rates) = (0.0, 0.0);
        for (i, m) in movers.iter().enumerate() {
            let (before, after) = (&self.before[i], &self.after[i]);
            let (was, mut is) = (sizes(before), sizes(after));
            // What has turned round was nothing in between.
            let turned = after.turned_round(m, &self.poses[i], before);
            for (size, turned) in is.iter_mut().zip(turned) {
                *size = if turned { 0.0 } else { *size };
            }
            let went = self.laid_out.went(i, after, self.taken);
            for c in 0..WAYS {
                let rate = |size: f64| rate(m, before, c, size);
                let mean = (rate(was[c]) + 4.0 * rate(0.5 * (was[c] + is[c])) + rate(is[c])) / 6.0;
                ways += went[c] * went[c];
                rates += went[c] * mean;
            }
        }
        let laid_out = self.taken * self.laid_out.days;
        let days = if rates > 0.0 { ways / rates } else { laid_out };
        // The correction of a single step is bounded, since a large one cannot be trusted.
        days.clamp(0.3 * laid_out, 3.0 * laid_out)
    }
}

fn sizes(drive: &Drive) -> [f64; WAYS] {
    let [across, along, turns] = drive.size_n;
    [across, along, turns, drive.along.abs()]
}

/// How fast one way goes, mm a day; nothing where the tooth cannot.
fn rate(tooth: &MovingTooth, drive: &Drive, way: usize, size_n: f64) -> f64 {
    let (k, area) = held_by(tooth, drive, way);
    let rate = k * rate_mm_per_day(pressure_kpa(size_n, area));
    if tooth.watched.fixed || !rate.is_finite() { 0.0 } else { rate }
}

/// The factor k and the area of the roots that hold a tooth against one way of moving.
fn held_by(m: &MovingTooth, n: &Drive, way: usize) -> (f64, f64) {
    match way {
        PUSHED => (K_SLIDE, n.along_area_mm2),
        // A tooth that is carried along the arch goes as teeth that slide do, crown and root.
        ACROSS | LENGTHWISE if n.carried_by.is_some() => (m.k.max(K_SLIDE), m.area_mm2),
        _ => (m.k, m.area_mm2),
    }
}
