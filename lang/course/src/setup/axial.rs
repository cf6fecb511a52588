//! Stops and ends as bounds on lengths of wire, and what the wire then does to the teeth that hold it.

use crate::geometry::sliding::BlockedWire;
use springline_mechanics::{
    EdgeSide, LengthBound, LengthLimit, Refusal, Setup, Slot, SlotEdge, SlotPose, Solution, Start,
    solve,
};
use springline_units::tooth::Tooth;

/// A bound no wire comes to, to read a length from the room that it leaves, mm.
const FAR_MM: f64 = 500.0;
/// A bound is a length, mm.
const LEAST_MM: f64 = 1e-3;

/// A length of wire that two stops hold: no shorter than it is as the wire goes in, less the way that the stops run
/// until they meet their brackets. How long that is, only the solved wire says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeldLength {
    /// Ids of the slots into which the stops run: the right one by its left edge, the left one by its right.
    pub right: u16,
    pub left: u16,
    pub play_mm: f64,
}

impl HeldLength {
    pub(crate) fn of(blocked: &BlockedWire) -> HeldLength {
        HeldLength { right: id(blocked.right), left: id(blocked.left), play_mm: blocked.play_mm }
    }

    fn edges(&self) -> (SlotEdge, SlotEdge) {
        let from = SlotEdge { id: self.right, side: EdgeSide::Left };
        let to = SlotEdge { id: self.left, side: EdgeSide::Right };
        (from, to)
    }
}

/// The held lengths as bounds, read off the wire free to slide in the teeth as they stand; none where the mechanics
/// has no answer.
pub(crate) fn bounds(setup: &Setup, held: &[HeldLength]) -> Vec<LengthBound> {
    let bound = |held: &HeldLength| {
        let (from, to) = held.edges();
        let (_, length) = free_mm(setup, from, to).ok()?;
        let least = (length - held.play_mm).max(LEAST_MM);
        Some(LengthBound { from, to, length: LengthLimit::AtLeast(least) })
    };
    held.iter().map(bound).collect::<Option<Vec<_>>>().unwrap_or_default()
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
    let from = SlotEdge { id: id(blocked.right), side: EdgeSide::Left };
    let to = SlotEdge { id: id(blocked.left), side: EdgeSide::Right };
    let (free, length) = free_mm(&aligned, from, to).ok()?;
    let least = LengthLimit::AtLeast(length + blocked.excess_mm);
    let pressed = solve(&bound(&aligned, from, to, least), Start::Warm(&free)).ok()?;
    pressed.bounds.first().map(|b| b.force_n)
}

/// Force, N, with which ends bent before the teeth are tied in draw each end's tooth forward: the wire may be no
/// longer than it lies passive, and the slack.
pub(crate) fn drawn_forward_n(setup: &Setup, slack_mm: f64) -> Option<f64> {
    let by_station = |a: &&Slot, b: &&Slot| a.station_mm.total_cmp(&b.station_mm);
    let first = setup.slots.iter().min_by(by_station)?.id;
    let last = setup.slots.iter().max_by(by_station)?.id;
    let (from, to) = (
        SlotEdge { id: first, side: EdgeSide::Right },
        SlotEdge { id: last, side: EdgeSide::Left },
    );
    let (free, length) = free_mm(setup, from, to).ok()?;
    let most = LengthLimit::AtMost(length - free.taken_in_mm + slack_mm);
    let drawn = solve(&bound(setup, from, to, most), Start::Warm(&free)).ok()?;
    drawn.bounds.first().map(|b| b.force_n)
}
