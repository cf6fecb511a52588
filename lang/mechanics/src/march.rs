//! Relaxation: how the force of a wire decays as the teeth move under it.
//!
//! Every tooth moves about its centre of resistance by the force and the couples that the wire has there, as easily as
//! its ligament gives in the first stage, so the arch follows the steepest descent of the wire's energy. Each step is implicit: the teeth move by the forces
//! *remaining* at its end, `new = old + t F(new)`. That is the equilibrium of the same arch on supports
//! softer by `t`, so one solve is one step. The energy can only fall, and a long step ends at rest, where
//! an explicit step would overshoot.

use super::components::{COUPLE_LEVERS_MM, Components};
use super::slot_edges::{drawn_along, load_on};
use super::solve_arch::solve_softer;
use super::support::{SixForces, SupportWay, marched};
use super::{Load, Refusal, Setup, Slot, Solution, Start, ToothForces, solve};

/// How far the relaxation is followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct March {
    /// Displacement of the worst tooth, mm, after which the force counts as delivered.
    pub delivered_mm: f64,
    /// The same, after which it counts as sustained, mm; not under the delivered one.
    pub sustained_mm: f64,
    /// Force at the bracket, or couple divided by its lever, below which a tooth held by 0.1 mm/N counts as at rest, N.
    pub floor_n: f64,
    /// Steps to the delivered force; the way from there to the sustained force takes as many. Between
    /// steps the forces are read off a straight line.
    pub steps: usize,
}

impl Default for March {
    fn default() -> Self {
        March { delivered_mm: 0.2, sustained_mm: 0.5, floor_n: 0.05, steps: 2 }
    }
}

/// One tooth over the march.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToothMarch {
    /// The tooth's [`Slot::id`].
    pub id: u16,
    /// When the wire goes in.
    pub inserted: Components,
    /// After the worst tooth has moved 0.2 mm, or has come to rest before that.
    pub delivered: Components,
    /// After the worst tooth has moved 0.5 mm, or has come to rest before that: the sustained force S.
    pub sustained: Components,
}

impl ToothMarch {
    /// The tooth under two wires at once.
    pub fn and(&self, other: &ToothMarch) -> ToothMarch {
        ToothMarch {
            id: self.id,
            inserted: self.inserted.and(&other.inserted),
            delivered: self.delivered.and(&other.delivered),
            sustained: self.sustained.and(&other.sustained),
        }
    }

    /// Resultant when the wire goes in, N.
    pub fn peak_n(&self) -> f64 {
        self.inserted.resultant_n()
    }

    /// Resultant after the worst tooth has moved 0.2 mm, N.
    pub fn delivered_n(&self) -> f64 {
        self.delivered.resultant_n()
    }

    /// Resultant after the worst tooth has moved 0.5 mm, N.
    pub fn sustained_n(&self) -> f64 {
        self.sustained.resultant_n()
    }
}

/// The arch after one step.
#[derive(Debug, Clone, PartialEq)]
pub struct Unloading {
    /// Displacement of the worst tooth since insertion, mm; rotations count by their levers.
    pub way_mm: f64,
    /// What a tooth held by 0.1 mm/N moved in this step for each newton that it still has in `solution`, mm/N; others
    /// and turns in the proportions of their [`Support`](super::Support) in its first stage.
    pub travel_mm_per_n: f64,
    /// The forces that are left.
    pub solution: Solution,
}

/// A whole march.
#[derive(Debug, Clone, PartialEq)]
pub struct Marched {
    /// In order of station.
    pub teeth: Vec<ToothMarch>,
    /// The wire going in.
    pub inserted: Solution,
    /// The steps, in order; empty where no tooth has any movement left.
    pub steps: Vec<Unloading>,
    /// Solves spent.
    pub solves: usize,
}

impl Marched {
    /// The figures of one tooth.
    pub fn tooth(&self, id: u16) -> Option<&ToothMarch> {
        self.teeth.iter().find(|t| t.id == id)
    }

    /// The tooth with the largest resultant as the wire goes in, and that resultant, N.
    pub fn peak(&self) -> (u16, f64) {
        self.worst(ToothMarch::peak_n)
    }

    /// The same after 0.2 mm of movement.
    pub fn delivered(&self) -> (u16, f64) {
        self.worst(ToothMarch::delivered_n)
    }

    /// The same after 0.5 mm of movement.
    pub fn sustained(&self) -> (u16, f64) {
        self.worst(ToothMarch::sustained_n)
    }

    fn worst(&self, of: impl Fn(&ToothMarch) -> f64) -> (u16, f64) {
        let all = self.teeth.iter().map(|t| (t.id, of(t)));
        all.max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((0, 0.0))
    }
}

/// Inserts the wire and follows the relaxation as the teeth move.
///
/// A tooth on a rigid [`Support`](super::Support) (an implant, an ankylosed tooth) gives nothing. Loads along the arch move
/// their teeth with the wire, so that these tip and turn until the wire holds them; what loads pull across the arch
/// stays where it is, and the way there is that of the wire's own forces.
///
/// # Errors
/// As [`solve`].
pub fn march(setup: &Setup, how: &March) -> Result<Marched, Refusal> {
    march_from(setup, how, Start::Cold)
}

/// The march with another start of its first solve.
///
/// # Errors
/// As [`march`].
pub fn march_from(setup: &Setup, how: &March, start: Start<'_>) -> Result<Marched, Refusal> {
    check(how)?;
    let inserted = solve(setup, start)?;
    let mut relaxation = Relaxation::new(setup, &inserted);
    let mut steps: Vec<Unloading> = Vec::new();
    let mut rest = None;
    let (mut way_mm, mut fall, mut before) = (0.0, USUAL_FALL, None);
    while way_mm < how.sustained_mm && steps.len() < MOST_STEPS {
        let last = steps.last().map_or(&inserted, |g| &g.solution);
        // Where every tooth is held for itself these are its forces and couples over their levers.
        let drive = relaxation.reach_mm(last);
        if drive < how.floor_n {
            rest = before.map(|before| comes_to_rest(before, drive, how.floor_n));
            break;
        }
        if let Some(before) = before.replace(drive) {
            fall = drive / before;
        }
        // The step is laid out for the force at its end, falling as it did in the last one; a step too long
        // cannot pass rest, one too short costs another solve.
        let ahead = (AHEAD / fall).clamp(AHEAD, MOST_AHEAD);
        let travel = (ahead * (how.next_mark(way_mm) - way_mm) / drive).min(MOST_TRAVEL_MM_PER_N);
        let given = relaxation.step(last, travel)?;
        way_mm = given.way_mm;
        steps.push(given);
    }
    let solves = 1 + relaxation.solves;
    let read = |at_mm: f64| read(&inserted, &steps, rest, at_mm);
    let (delivered, sustained) = (read(how.delivered_mm), read(how.sustained_mm));
    let teeth = inserted
        .teeth
        .iter()
        .zip(delivered.into_iter().zip(sustained))
        .map(|(t, (delivered, sustained))| ToothMarch {
            id: t.id,
            inserted: Components::from(t),
            delivered,
            sustained,
        })
        .collect();
    Ok(Marched { teeth, inserted, steps, solves })
}

/// Share of its force that a wire usually keeps over a first step.
const USUAL_FALL: f64 = 0.85;
/// Every step is laid out a little longer than wanted, and never by more than the second factor.
const AHEAD: f64 = 1.15;
const MOST_AHEAD: f64 = 5.0;
/// A support of this compliance carries practically nothing, mm/N.
const MOST_TRAVEL_MM_PER_N: f64 = 50.0;
/// Upper bound on steps. An arch with little movement left takes one or two more than planned; this many
/// does not occur.
const MOST_STEPS: usize = 40;
/// A step that is refused is tried again at a quarter of its length, this often.
const TRIES: usize = 3;

impl March {
    /// Where the next step should come to.
    fn next_mark(&self, way_mm: f64) -> f64 {
        let steps = self.steps.max(1) as f64;
        let (from, to) = match way_mm < 0.999 * self.delivered_mm {
            true => (0.0, self.delivered_mm),
            false => (self.delivered_mm, self.sustained_mm),
        };
        let step = (to - from) / steps;
        // A target that is almost reached already is skipped.
        let next = from + step * (((way_mm - from) / step + 0.25).floor() + 1.0);
        next.min(to).max(way_mm + 0.1 * step)
    }
}

fn check(how: &March) -> Result<(), Refusal> {
    let ordered = how.delivered_mm > 0.0 && how.sustained_mm >= how.delivered_mm;
    if !(ordered && how.sustained_mm <= 5.0) {
        let value = how.sustained_mm;
        return Err(Refusal::Input { id: None, what: "the way of the march", value });
    }
    if !(how.floor_n >= 1.0e-3 && how.floor_n.is_finite()) {
        let value = how.floor_n;
        return Err(Refusal::Input { id: None, what: "the floor of the march", value });
    }
    if how.steps > MOST_STEPS / 4 {
        let value = how.steps as f64;
        return Err(Refusal::Input { id: None, what: "the steps of the march", value });
    }
    Ok(())
}

/// The share of the last step after which every tooth counts as at rest. How far under the floor a step comes is chance: a
/// long one goes farther.
fn comes_to_rest(before: f64, drive: f64, floor_n: f64) -> f64 {
    ((before - JUST_UNDER * floor_n) / (before - drive)).clamp(0.0, 1.0)
}

/// At rest is what lies under the floor.
const JUST_UNDER: f64 = 0.99;

/// Forces on every tooth when the worst has gone so far, or as far as it goes: to rest, where it comes there in the last
/// step.
fn read(
    inserted: &Solution,
    steps: &[Unloading],
    rest: Option<f64>,
    at_mm: f64,
) -> Vec<Components> {
    let states =
        std::iter::once((0.0, inserted)).chain(steps.iter().map(|g| (g.way_mm, &g.solution)));
    let states: Vec<(f64, &Solution)> = states.collect();
    let of = |s: &Solution| s.teeth.iter().map(Components::from).collect::<Vec<_>>();
    let line = |a: &Solution, b: &Solution, share: f64| {
        let pairs = of(a).into_iter().zip(of(b));
        pairs.map(|(a, b)| Components::between(&a, &b, share)).collect::<Vec<_>>()
    };
    if let (Some(rest), [.., (from, a), (to, b)]) = (rest, states.as_slice())
        && at_mm >= from + rest * (to - from)
    {
        return line(a, b, rest);
    }
    let after = states.partition_point(|(way, _)| *way < at_mm);
    match (after.checked_sub(1).map(|i| states[i]), states.get(after)) {
        (Some((from, a)), Some((to, b))) => line(a, b, (at_mm - from) / (to - from)),
        (Some((_, s)), None) => of(s),
        (None, _) => of(inserted),
    }
}

/// How far a tooth is from where it was, across the arch; rotations count by their levers.
fn way_mm(moved: &SixForces) -> f64 {
    let turns = moved[2..5].iter().zip(COUPLE_LEVERS_MM).map(|(turn, lever)| turn.abs() * lever);
    turns.fold(moved[0].hypot(moved[1]), f64::max)
}

/// What moves a tooth in a march: the wire, its ties, and what pulls it along the arch.
fn moving(setup: &Setup, ties: &[Load], id: u16, tooth: &ToothForces) -> SixForces {
    // What is felt of the wire leaves out every load, ties among them.
    let wire = tooth.felt().six();
    let (along, tied) = (drawn_along(id, &setup.loads), load_on(id, ties));
    std::array::from_fn(|k| wire[k] + along[k] + tied[k])
}

/// State of a relaxation in progress.
struct Relaxation {
    setup: Setup,
    /// What every slot has moved: lingual, gingival, rotated, tipped, torque, along.
    moved: Vec<[f64; 6]>,
    /// The farthest that a tooth has been from where it was, mm; a tooth may come back.
    way_mm: f64,
    solves: usize,
}

impl Relaxation {
    fn new(setup: &Setup, inserted: &Solution) -> Relaxation {
        let mut setup = setup.clone();
        // In the order of the solution, so that both can be walked together.
        let place = |s: &Slot| inserted.teeth.iter().position(|t| t.id == s.id);
        setup.slots.sort_by_key(place);
        setup.ties = setup.ties_as_tied();
        let moved = vec![[0.0; 6]; setup.slots.len()];
        Relaxation { setup, moved, way_mm: 0.0, solves: 0 }
    }

    /// The farthest that a tooth would go under the forces it has, for a travel of 1 mm/N.
    fn reach_mm(&self, now: &Solution) -> f64 {
        let ties = self.setup.tie_loads(&now.ties_n);
        let teeth = self.setup.slots.iter().zip(&now.teeth);
        teeth
            .filter(|(slot, _)| slot.support.is_compliant())
            .map(|(slot, t)| {
                way_mm(&marched(&slot.support, 1.0, &moving(&self.setup, &ties, slot.id, t)))
            })
            .fold(f64::MIN_POSITIVE, f64::max)
    }

    /// One implicit step; a quarter of it where the whole is refused.
    fn step(&mut self, last: &Solution, travel: f64) -> Result<Unloading, Refusal> {
        let mut travel = travel;
        for left in (0..TRIES).rev() {
            self.solves += 1;
            let way = SupportWay::March { mm_per_n: travel, ties: &[] };
            match solve_softer(&self.setup, Start::Carry(last), way) {
                Ok(solution) => return Ok(self.taken(travel, solution)),
                Err(refusal) if left == 0 => return Err(refusal),
                Err(_) => travel *= 0.25,
            }
        }
        Err(Refusal::Input { id: None, what: "the step of the march", value: travel })
    }

    /// Moves every tooth by what it still has.
    fn taken(&mut self, travel: f64, solution: Solution) -> Unloading {
        let ties = self.setup.tie_loads(&solution.ties_n);
        let by: Vec<SixForces> = self
            .setup
            .slots
            .iter()
            .zip(&solution.teeth)
            .map(|(slot, tooth)| {
                marched(&slot.support, travel, &moving(&self.setup, &ties, slot.id, tooth))
            })
            .collect();
        for ((slot, moved), go) in self.setup.slots.iter_mut().zip(&mut self.moved).zip(by) {
            if !slot.support.is_compliant() {
                continue;
            }
            for (sum, part) in moved.iter_mut().zip(go) {
                *sum += part;
            }
            let stand = &mut slot.stand;
            stand.lingual_mm += go[0];
            stand.gingival_mm += go[1];
            stand.rotated_rad += go[2];
            stand.tipped_rad += go[3];
            stand.torque_rad += go[4];
            self.way_mm = self.way_mm.max(way_mm(moved));
        }
        Unloading { way_mm: self.way_mm, travel_mm_per_n: travel, solution }
    }
}
