//! Best-first search over sequences: the cheapest ones, exactly, without computing all of them.
//!
//! A node is the beginning of a sequence. What it costs already, and the least that any end of it adds, bounds
//! every sequence that begins so; nodes are opened in the order of that bound. A beginning never costs more than
//! a sequence that begins so (all parts of a cost are sums without negatives), so the first whole sequence taken
//! from the queue is the cheapest. Beginnings that leave the teeth alike are not merged: a better aligned arch is
//! often the slower one for the next wire.

use std::cmp::Reverse;
use std::collections::BinaryHeap;
use std::sync::Arc;

use super::draft_step::DraftStep;
use super::plan_cost::{CostKey, PlanCost};
use super::tried_plan::{PlanJudge, TriedPlan};

/// Sequences that are looked at more closely once the search is over.
pub const FINALISTS: usize = 8;

/// What a search found.
#[derive(Debug, Clone)]
pub struct Ranked {
    /// The cheapest sequences, cheapest first: [`FINALISTS`] and all that are like the first in errors, excess and
    /// weeks.
    pub plans: Vec<Arc<TriedPlan>>,
    /// Nothing cheaper is left; else the search was stopped.
    pub proven: bool,
}

/// Cost, drawer order: the whole order of sequences.
pub type PlanRank = (CostKey, usize, Vec<usize>);

pub fn rank(judge: &PlanJudge<'_, '_, '_>, plan: &TriedPlan) -> PlanRank {
    (plan.cost.key(), plan.steps.len(), judge.frame.drawer.places(&plan.steps))
}

/// What is queued, ordered by its bound; among equals whole sequences first.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
struct QueuedSequence {
    bound: CostKey,
    stage: QueueStage,
    places: Vec<usize>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum QueueStage {
    Judged,
    /// A whole sequence of which only the beginning has been judged.
    Whole,
    Beginning,
}

/// The cheapest sequences that the drawer allows. `proceed` is asked before every one that is judged, with the
/// number judged so far; once it says no, the best so far is the answer.
pub fn search(judge: &mut PlanJudge<'_, '_, '_>, proceed: &mut dyn FnMut(usize) -> bool) -> Ranked {
    let drawer = &judge.frame.drawer;
    let all: Vec<DraftStep> = drawer.all().cloned().collect();
    let steps = |places: &[usize]| -> Vec<DraftStep> {
        places.iter().filter_map(|i| all.get(*i).cloned()).collect()
    };
    let mut queue = BinaryHeap::new();
    let mut found: Vec<Arc<TriedPlan>> = Vec::new();
    let start = QueuedSequence {
        bound: least_rest(judge, &[], 0).key(),
        stage: QueueStage::Beginning,
        places: Vec::new(),
    };
    queue.push(Reverse(start));
    let mut proven = true;
    // With many steps still to come the bounds say little, and the first whole sequence is long in coming: one is looked
    // for straight ahead, so that there is an answer where time is short.
    let straight = match drawer.missing(&[]) > 2 {
        true => straight_ahead(judge, proceed),
        false => None,
    };
    while let Some(Reverse(item)) = queue.pop() {
        if is_enough(&found, item.bound) {
            break;
        }
        let so_far = steps(&item.places);
        if item.stage == QueueStage::Judged {
            found.extend(judge.whole(&so_far));
            continue;
        }
        if !proceed(judge.judged) {
            proven = false;
            break;
        }
        // What comes next in the queue is nearly always opened next.
        if let Some(Reverse(next)) = queue.peek().filter(|n| n.0.stage != QueueStage::Judged) {
            judge.ahead([&so_far, &steps(&next.places)]);
        }
        if item.stage == QueueStage::Whole {
            if let Some(plan) = judge.whole(&so_far) {
                let bound = plan.cost.key();
                queue.push(Reverse(QueuedSequence { bound, stage: QueueStage::Judged, ..item }));
            }
            continue;
        }
        let Some(cost) = judge.beginning(&so_far) else { continue };
        if judge.frame.drawer.is_whole(&so_far) {
            let (bound, places) = (cost.key(), item.places.clone());
            queue.push(Reverse(QueuedSequence { bound, stage: QueueStage::Whole, places }));
        }
        for next in judge.frame.drawer.next(&so_far) {
            let mut longer = so_far.clone();
            longer.push(next);
            let bound = cost.and(least_rest(judge, &longer, 1)).key();
            let places = judge.frame.drawer.places(&longer);
            queue.push(Reverse(QueuedSequence { bound, stage: QueueStage::Beginning, places }));
        }
    }
    if !proven {
        found.extend(straight);
        // What was judged before the search was stopped, cheapest first.
        while let Some(Reverse(item)) = queue.pop() {
            if item.stage == QueueStage::Judged {
                found.extend(judge.whole(&steps(&item.places)));
            }
        }
    }
    Ranked { plans: in_order(judge, found), proven }
}

/// A whole sequence by the cheapest step at every place.
fn straight_ahead(
    judge: &mut PlanJudge<'_, '_, '_>,
    proceed: &mut dyn FnMut(usize) -> bool,
) -> Option<Arc<TriedPlan>> {
    let mut so_far = Vec::new();
    while !judge.frame.drawer.is_whole(&so_far) {
        let mut least: Option<(CostKey, DraftStep)> = None;
        let drawer = &judge.frame.drawer;
        let longer = |next: &DraftStep| [&so_far[..], std::slice::from_ref(next)].concat();
        // No step that brings the end no nearer: it is often the quickest.
        let missing = drawer.missing(&so_far);
        let all: Vec<DraftStep> = drawer
            .next(&so_far)
            .into_iter()
            .filter(|n| drawer.missing(&longer(n)) < missing)
            .collect();
        for (at, next) in all.iter().enumerate() {
            if !proceed(judge.judged) {
                break;
            }
            let steps = longer(next);
            if let Some(after) = all.get(at + 1) {
                judge.ahead([&steps, &longer(after)]);
            }
            let cost = judge.beginning(&steps).map(|c| c.and(least_rest(judge, &steps, 0)));
            if let Some(key) = cost.map(|c| c.key())
                && least.as_ref().is_none_or(|(k, _)| key < *k)
            {
                least = Some((key, next.clone()));
            }
        }
        so_far.push(least?.1);
    }
    judge.whole(&so_far)
}

/// All sequences that the drawer allows, judged one by one: what the search is held against.
#[cfg(test)]
pub fn exhaustive(judge: &mut PlanJudge<'_, '_, '_>) -> Ranked {
    let mut found = Vec::new();
    let mut open = vec![Vec::new()];
    while let Some(steps) = open.pop() {
        if judge.frame.drawer.is_whole(&steps) {
            found.extend(judge.whole(&steps));
        }
        for next in judge.frame.drawer.next(&steps) {
            let mut longer = steps.clone();
            longer.push(next);
            open.push(longer);
        }
    }
    Ranked { plans: in_order(judge, found), proven: true }
}

/// Enough sequences are found, and nothing left in the queue can be among them or like the first.
fn is_enough(found: &[Arc<TriedPlan>], bound: CostKey) -> bool {
    let Some(first) = found.first() else { return false };
    let worse_than_ties = first.cost.for_the_patient() < [bound[0], bound[1], bound[2]];
    let last = found.get(FINALISTS - 1);
    worse_than_ties && last.is_some_and(|last| last.cost.key() < bound)
}

fn in_order(judge: &PlanJudge<'_, '_, '_>, mut found: Vec<Arc<TriedPlan>>) -> Vec<Arc<TriedPlan>> {
    found.sort_by_cached_key(|plan| rank(judge, plan));
    let ties = found.first().map_or(0, |first| {
        found.iter().filter(|p| p.cost.for_the_patient() == first.cost.for_the_patient()).count()
    });
    found.truncate(FINALISTS.max(ties));
    found
}

/// The least that the last `new` steps cost, which have not been judged, and those that are missing yet: the
/// practice's shortest interval and a visit each.
fn least_rest(judge: &PlanJudge<'_, '_, '_>, steps: &[DraftStep], new: usize) -> PlanCost {
    let steps = (new + judge.frame.drawer.missing(steps)) as f64;
    PlanCost {
        days: steps * judge.frame.shortest_days,
        visits: steps,
        minutes: steps * judge.frame.change_minutes,
        ..PlanCost::default()
    }
}
