//! Wire in the mouth that can grow no longer between two brackets: what is put on it, a stop or a bent end, lies on the far
//! side of each.

use std::sync::Arc;

use crate::geometry::sliding::side_of;
use crate::plan::state::ArchState;
use springline_mechanics::Setup;
use springline_units::quantity::mm;
use springline_units::tooth::{Side, Tooth};

/// Wire from the right side of one bracket to the left side of another that cannot grow longer.
#[derive(Debug, Clone)]
pub(crate) struct KeptShort {
    pub right: Tooth,
    pub left: Tooth,
    /// That its bent ends have, mm.
    pub slack_mm: f64,
    /// The wire in its slots as stops and bends were put on it.
    pub then: Arc<Setup>,
}

/// Two brackets between which a wire is kept short, the right one and the left one, and its slack, mm.
type Pair = (Tooth, Tooth, f64);

/// What keeps the wire short as a step begins: what was put on it in an earlier step and is on it still goes on as it was
/// then, what is new counts from `now`.
pub(crate) fn kept_short(state: &ArchState, now: &Setup, before: &[KeptShort]) -> Vec<KeptShort> {
    let pairs = pairs(state, now);
    if pairs.is_empty() {
        return Vec::new();
    }
    let then = Arc::new(now.clone());
    let of = |pair: &Pair| {
        let known = before.iter().find(|k| k.is(pair)).filter(|_| state.wire.kept).cloned();
        let (right, left, slack_mm) = *pair;
        known.unwrap_or_else(|| KeptShort { right, left, slack_mm, then: then.clone() })
    };
    pairs.iter().map(of).collect()
}

/// Of these, what still keeps the wire of an earlier step short.
pub(crate) fn still_kept<'k>(
    state: &ArchState,
    now: &Setup,
    before: &'k [KeptShort],
) -> Vec<&'k KeptShort> {
    if !state.wire.kept || before.is_empty() {
        return Vec::new();
    }
    let pairs = pairs(state, now);
    before.iter().filter(|k| pairs.iter().any(|p| k.is(p))).collect()
}

impl KeptShort {
    fn is(&self, (right, left, _): &Pair) -> bool {
        self.right == *right && self.left == *left
    }
}

/// A stop to the right of a bracket, like an end bent behind the last one on the right, keeps the wire from sliding to
/// the left; on the left it is the other way round. So every such pair holds the wire between, and only from growing longer:
/// too much of it slides off both.
fn pairs(state: &ArchState, now: &Setup) -> Vec<Pair> {
    let place = |tooth: Tooth| {
        let slot = now.slots.iter().find(|s| u32::from(s.id) == tooth.code());
        slot.map(|s| s.station_mm)
    };
    let mut out: Vec<Pair> = Vec::new();
    for (right, slack) in held_on(state, now, Side::Right) {
        for (left, more) in held_on(state, now, Side::Left) {
            if !place(right).zip(place(left)).is_some_and(|(a, b)| a < b) {
                continue;
            }
            // A stop at the last bracket does what its bent end does.
            match out.iter_mut().find(|p| (p.0, p.1) == (right, left)) {
                Some(known) => known.2 = known.2.min(slack + more),
                None => out.push((right, left, slack + more)),
            }
        }
    }
    out
}

/// Brackets on whose this side a stop or a bent end lies, with its slack, mm.
fn held_on(state: &ArchState, now: &Setup, side: Side) -> Vec<(Tooth, f64)> {
    let slots = now.slots.iter();
    let last = match side {
        Side::Right => slots.min_by(|a, b| a.station_mm.total_cmp(&b.station_mm)),
        Side::Left => slots.max_by(|a, b| a.station_mm.total_cmp(&b.station_mm)),
    };
    let last = last.filter(|_| state.is_cinched_on(side)).and_then(|s| Tooth::iso(u32::from(s.id)));
    let end = last.map(|tooth| (tooth, state.ends.of(side).slack.map_or(0.0, mm)));
    let stops = state.stops().filter(|(spot, _)| side_of(*spot) == side);
    stops.map(|(spot, _)| (spot.tooth, 0.0)).chain(end).collect()
}
