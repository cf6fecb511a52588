//! Stops and ends as bounds on lengths of wire, and what the wire then does to the teeth that hold it.

use std::sync::Arc;

use crate::geometry::sliding::BlockedWire;
use crate::mouth::kept_short::KeptShort;
use springline_mechanics::{
    EdgeSide, LengthBound, LengthLimit, Refusal, Setup, Slot, SlotEdge, SlotPose, Solution, Start,
    solve,
};
use springline_units::tooth::Tooth;

/// A bound no wire comes to, to read a length from the room that it leaves, mm.
const FAR_MM: f64 = 500.0;
/// A bound is a length, mm.
const LEAST_MM: f64 = 1e-3;

/// A length of wire that something holds. How long it is, only the solved wire says.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldLength {
    /// Ids of the slots at which it is held.
    pub right: u16,
    pub left: u16,
    pub by: LengthHolder,
}

/// What holds a length of wire, from one side.
#[derive(Debug, Clone, PartialEq)]
pub enum LengthHolder {
    /// Two stops that run into facing brackets, the right one by its left edge, the left one by its right: the wire is no
    /// shorter than as it goes in, less the way that the stops run until they meet them.
    Stops { play_mm: f64 },
    /// A stop or a bent end on the far side of each of two brackets: the wire is no longer than it was, beyond the way from
    /// the one to the other, as they were put there, and their slack. In the teeth as they stood then.
    Short { then: Arc<Setup>, slack_mm: f64 },
}

impl HeldLength {
    pub(crate) fn of(blocked: &BlockedWire) -> HeldLength {
        let by = LengthHolder::Stops { play_mm: blocked.play_mm };
        HeldLength { right: id(blocked.right), left: id(blocked.left), by }
    }

    /// Of wire kept short; `None` where this set-up's wire does not hold both teeth, or did not then.
    pub(crate) fn short(setup: &Setup, kept: &KeptShort) -> Option<HeldLength> {
        let (right, left) = (id(kept.right), id(kept.left));
        let has = |setup: &Setup, id| setup.slots.iter().any(|s| s.id == id);
        let both = [setup, &*kept.then].iter().all(|s| has(s, right) && has(s, left));
        let by = LengthHolder::Short { then: kept.then.clone(), slack_mm: kept.slack_mm };
        both.then_some(HeldLength { right, left, by })
    }

    /// Whether it presses the teeth at its ends apart, and does not draw them together.
    pub(crate) fn presses_apart(&self) -> bool {
        matches!(self.by, LengthHolder::Stops { .. })
    }

    fn edges(&self) -> (SlotEdge, SlotEdge) {
        match self.by {
            LengthHolder::Stops { .. } => facing(self.right, self.left),
            LengthHolder::Short { .. } => behind(self.right, self.left),
        }
    }
}

/// From the left edge of the right bracket to the right edge of the left one.
fn facing(right: u16, left: u16) -> (SlotEdge, SlotEdge) {
    let edge = |id, side| SlotEdge { id, side };
    (edge(right, EdgeSide::Left), edge(left, EdgeSide::Right))
}

/// From behind the one bracket to behind the other.
fn behind(right: u16, left: u16) -> (SlotEdge, SlotEdge) {
    let edge = |id, side| SlotEdge { id, side };
    (edge(right, EdgeSide::Right), edge(left, EdgeSide::Left))
}

/// The brackets at both ends of a wire.
fn outermost(setup: &Setup) -> Option<[u16; 2]> {
    let by_station = |a: &&Slot, b: &&Slot| a.station_mm.total_cmp(&b.station_mm);
    let (first, last) =
        (setup.slots.iter().min_by(by_station), setup.slots.iter().max_by(by_station));
    Some([first?.id, last?.id])
}

/// The held lengths as bounds, read off the wire free to slide in the teeth as they stand; none where the mechanics
/// has no answer.
pub(crate) fn bounds(setup: &Setup, held: &[HeldLength]) -> Vec<LengthBound> {
    let bound = |held: &HeldLength| {
        let (from, to) = held.edges();
        let length = match &held.by {
            LengthHolder::Stops { play_mm } => {
                let (_, mm) = free_mm(setup, from, to).ok()?;
                LengthLimit::AtLeast((mm - play_mm).max(LEAST_MM))
            }
            LengthHolder::Short { then, slack_mm } => {
                let (_, mm) = free_mm(then, from, to).ok()?;
                let way = |setup| way_mm(setup, held.right, held.left);
                let most = mm + way(setup)? - way(then)? + slack_mm;
                LengthLimit::AtMost(most.max(LEAST_MM))
            }
        };
        Some(LengthBound { from, to, length })
    };
    held.iter().map(bound).collect::<Option<Vec<_>>>().unwrap_or_default()
}

/// From the middle of the one bracket to that of the other along the arch, mm: the teeth may have been moved apart since
/// by what the course reckons without the wire's length.
fn way_mm(setup: &Setup, right: u16, left: u16) -> Option<f64> {
    let place = |id| {
        let slot = setup.slots.iter().find(|s| s.id == id)?;
        Some(slot.station_mm + slot.stand.along_mm)
    };
    Some(place(left)? - place(right)?)
}

fn id(tooth: Tooth) -> u16 {
    tooth.code() as u16
}

/// The set-up with one bound on the wire from one edge to the other.
fn bound(setup: &Setup, from: SlotEdge, to: SlotEdge, length: LengthLimit) -> Setup {
    let mut bound = setup.clone();
    bound.wire.bounds = vec![LengthBound { from, to, length }];
    bound
}

/// The wire free to slide, and its length between two edges, mm.
fn free_mm(setup: &Setup, from: SlotEdge, to: SlotEdge) -> Result<(Solution, f64), Refusal> {
    let far = bound(setup, from, to, LengthLimit::AtMost(FAR_MM));
    let free = solve(&far, Start::Cold)?;
    let room = free.bounds.first().map_or(0.0, |b| b.room_mm);
    Ok((free, FAR_MM - room))
}

/// Force, N, with which wire that cannot leave presses two brackets apart once the teeth between them are in
/// line; `None` where a wire does not hold both or the mechanics has no answer.
pub(crate) fn pressed_apart_n(setup: &Setup, blocked: &BlockedWire) -> Option<f64> {
    let place = |tooth| setup.slots.iter().find(|s| s.id == id(tooth)).map(|s| s.station_mm);
    let (right, left) = (place(blocked.right)?, place(blocked.left)?);
    let mut aligned = setup.clone();
    let between = |s: &&mut Slot| s.station_mm >= right && s.station_mm <= left;
    for slot in aligned.slots.iter_mut().filter(between) {
        slot.stand = SlotPose::default();
    }
    let (from, to) = facing(id(blocked.right), id(blocked.left));
    let (free, length) = free_mm(&aligned, from, to).ok()?;
    let least = LengthLimit::AtLeast(length + blocked.excess_mm);
    let pressed = solve(&bound(&aligned, from, to, least), Start::Warm(&free)).ok()?;
    pressed.bounds.first().map(|b| b.force_n)
}

/// Force, N, with which ends bent before the teeth are tied in draw each end's tooth forward: the wire may be no
/// longer than it lies passive, and the slack.
pub(crate) fn drawn_forward_n(setup: &Setup, slack_mm: f64) -> Option<f64> {
    let [right, left] = outermost(setup)?;
    let (from, to) = behind(right, left);
    let (free, length) = free_mm(setup, from, to).ok()?;
    let most = LengthLimit::AtMost(length - free.taken_in_mm + slack_mm);
    let drawn = solve(&bound(setup, from, to, most), Start::Warm(&free)).ok()?;
    drawn.bounds.first().map(|b| b.force_n)
}
