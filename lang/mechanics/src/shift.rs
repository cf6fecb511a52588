//! Coulomb friction coupled with the wire's axial force.
//!
//! Where the wire slides through an edge, the edge holds it back by its coefficient times the force square to
//! the wire, so the axial force changes there; the axial force in turn presses the wire onto the edges or lifts
//! it off them. Solved and read again until both agree.

use super::friction::{Friction, Hand, SlidingWire, SlotResistance, Towards};
use super::solve::{AxialForces, solve_under};
use super::{Refusal, Setup, Solution, Start, solve};

/// Rounds before a wire counts as locked: a coefficient of 0.3 takes 11.
const ROUNDS: usize = 40;
/// The force at the end stands when it changes by no more than this, N.
const STANDS_N: f64 = 1.0e-5;

/// Which way the wire runs through its slots.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WireTravel {
    /// As it goes into slots out of line it draws length in from both ends: friction holds that back, and the
    /// teeth feel more.
    In,
    /// As teeth come into line it gives length out at both ends, and the teeth feel less.
    Out,
}

/// A wire that slides against friction.
#[derive(Debug, Clone, PartialEq)]
pub struct Shifted {
    /// Force of the hand, N; nothing where the wire runs by itself.
    pub force_n: f64,
    /// Resistance of every slot, in order of station.
    pub slots: Vec<SlotResistance>,
    /// The equilibrium with friction: forces on the teeth, and [`Solution::levels_n`], the axial force of each
    /// piece.
    pub solution: Solution,
}

impl Shifted {
    /// The slot that holds the wire most, and its share.
    pub fn tightest(&self) -> Option<(u16, f64)> {
        let all: f64 = self.slots.iter().map(|s| s.resistance_n).sum();
        let most = self.slots.iter().max_by(|a, b| a.resistance_n.total_cmp(&b.resistance_n))?;
        (all > 0.0).then(|| (most.id, most.resistance_n / all))
    }
}

/// What friction does to a wire that is to slide.
#[derive(Debug, Clone, PartialEq)]
pub enum WithFriction {
    /// It slides.
    Slides(Box<Shifted>),
    /// It does not, however hard it is drawn or pushed: what a slot holds grows as fast as the force.
    Locks,
}

impl WithFriction {
    /// The wire, where it slides.
    pub fn sliding(self) -> Option<Shifted> {
        match self {
            WithFriction::Slides(sliding) => Some(*sliding),
            WithFriction::Locks => None,
        }
    }
}

/// Shifts the whole wire that way by a hand at its end, the other end free: steady sliding through every
/// slot. `start` is a solution of this set-up to begin from, as for [`solve`].
///
/// # Errors
/// As [`solve`], of the wire without friction.
pub fn shift(
    setup: &Setup,
    start: Start<'_>,
    friction: &Friction,
    hand: Hand,
    towards: Towards,
) -> Result<WithFriction, Refusal> {
    let sign = if hand == Hand::Pushes { 1.0 } else { -1.0 };
    // Ahead of an edge the wire carries what the edges between there and the free end hold.
    let free_end_is_left = (hand == Hand::Pushes) == (towards == Towards::Left);
    coupled(setup, start, friction, &|held| {
        let all: f64 = held.iter().sum();
        let from_right = running(held);
        let pieces =
            from_right.iter().map(|sum| sign * if free_end_is_left { all - sum } else { *sum });
        let ends = if free_end_is_left { [sign * all, 0.0] } else { [0.0, sign * all] };
        (all, AxialForces { pieces_n: pieces.collect(), ends_n: ends })
    })
}

/// The wire running in or out at both ends by itself. It takes the easier way to each end, so its axial force
/// grows from both ends to where they meet.
///
/// # Errors
/// As [`solve`], of the wire without friction.
pub fn running_wire(
    setup: &Setup,
    start: Start<'_>,
    friction: &Friction,
    flow: WireTravel,
) -> Result<WithFriction, Refusal> {
    let sign = if flow == WireTravel::In { -1.0 } else { 1.0 };
    coupled(setup, start, friction, &|held| {
        let all: f64 = held.iter().sum();
        let pieces = running(held).into_iter().map(|sum| sign * sum.min(all - sum));
        (0.0, AxialForces { pieces_n: pieces.collect(), ends_n: [0.0; 2] })
    })
}

/// Sum of what all edges up to each piece hold.
fn running(held: &[f64]) -> Vec<f64> {
    let sum = held.iter().scan(0.0, |sum, r| {
        *sum += r;
        Some(*sum)
    });
    sum.take(held.len().saturating_sub(1)).collect()
}

/// Repeats solve and resistances until they agree. `forces` makes of what each edge holds the force at the end and
/// the axial forces.
fn coupled(
    setup: &Setup,
    start: Start<'_>,
    friction: &Friction,
    forces: &dyn Fn(&[f64]) -> (f64, AxialForces),
) -> Result<WithFriction, Refusal> {
    let carries = matches!(start, Start::Carry(_));
    let mut solution = match start {
        Start::Warm(known) | Start::Carry(known) => known.clone(),
        Start::Cold | Start::History(_) => solve(setup, start)?,
    };
    let own = solution.clone();
    let stands = STANDS_N.max(setup.settings.force_tolerance_n);
    let (mut before, mut changes) = (0.0_f64, [f64::INFINITY; 2]);
    for _ in 0..ROUNDS {
        let wire = SlidingWire::of(setup, &solution);
        let held = wire.edges_n(friction);
        let all: f64 = held.iter().sum();
        let change = (all - before).abs();
        let (force_n, mut axial) = forces(&held);
        if change <= stands {
            let slots = wire.slots(friction);
            return Ok(WithFriction::Slides(Box::new(Shifted { force_n, slots, solution })));
        }
        // The series of a wire that locks does not fall.
        if change > changes[0] && changes[0] > changes[1] || !all.is_finite() {
            return Ok(WithFriction::Locks);
        }
        (before, changes) = (all, [change, changes[0]]);
        for (level, bound) in axial.pieces_n.iter_mut().zip(&own.levels_n) {
            *level += bound;
        }
        let from = match start {
            Start::History(_) => start,
            _ if carries => Start::Carry(&own),
            _ => Start::Warm(&solution),
        };
        match solve_under(setup, from, &axial) {
            Ok(next) => solution = next,
            Err(Refusal::NotConverged { .. } | Refusal::Turn { .. } | Refusal::Strain { .. }) => {
                return Ok(WithFriction::Locks);
            }
            Err(refusal) => return Err(refusal),
        }
    }
    Ok(WithFriction::Locks)
}
