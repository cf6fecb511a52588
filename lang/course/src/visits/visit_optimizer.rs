//! Visit optimiser: the visits of both arches together, as an optimisation problem solved exactly.
//!
//! **Given**, per arch, its phases in order, each with the days after insertion before which its wire
//! must not be changed (`ready`) and the longest time between two inspections while it is in (`look`);
//! the days on which the clinic sees patients; the shortest interval.
//!
//! **Choose** the days of the visits. At a visit every wire that is ready is changed, no other is.
//!
//! **Subject to**: no two visits are closer than the shortest interval nor farther apart than any wire in
//! the mouth allows; none is before today nor before a range that the plan states for a wire still in;
//! every visit is on a clinic day; every phase comes to its end. A wire that only holds sets no visit while another
//! arch is worked on.
//!
//! **Minimise** the days that wires wait beyond `ready`, summed over both arches, plus [`VISIT_COST`]
//! days for every visit: one visit is worth that much waiting. The last wires of all arches come out
//! together, without cost for the one that was ready first, because it retains. A visit at which nothing
//! can be changed costs a hundredth of a day for every day it comes before its latest day, so inspections
//! are late.
//!
//! Solved by best-first search over (day, phase of each arch, day it went in) with a lower bound on the
//! visits still needed; `lang/tests/course_merge.rs` checks it against exhaustive search.

use std::collections::{BinaryHeap, HashMap};
use std::hash::{Hash, Hasher};
use std::rc::Rc;

/// Waiting days that a visit is worth.
pub const VISIT_COST: i64 = 21;
/// Costs are counted in hundredths of a day.
const UNIT: i64 = 100;
/// Where no day is allowed a late visit is taken, at this penalty per day, so that there is always a
/// plan.
const LATE_COST: i64 = 1000;

/// One wire of one arch, in whole days.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PhaseDemand {
    /// Not changed before so many days after it went in.
    pub ready: i64,
    /// Longest time between two visits while it is in, and before the first look at it.
    pub look: i64,
    pub first_look: i64,
    /// The patient is not to be called for this wire before so many days after it went in: the
    /// earlier end of a range that the plan states.
    pub earliest: i64,
    /// From so many days after it went in it only holds: it is passive, and nothing on it has to be looked at.
    pub rests: Option<i64>,
    /// The plan names the day of the first visit after it went in.
    pub fixed: Option<i64>,
}

/// What is to be scheduled. Days are counted from any origin.
#[derive(Clone)]
pub struct VisitProblem<'a> {
    /// Phases still to come to their end, the first of each arch already in.
    pub arches: Vec<Vec<PhaseDemand>>,
    /// The day on which the first phase of each arch went in.
    pub inserted: Vec<i64>,
    /// The day of the last visit.
    pub last_visit: i64,
    /// No visit is before this day: the day of the plan.
    pub not_before: i64,
    /// The first visit is by this day, whatever the shortest interval: something is broken.
    pub repair_by: Option<i64>,
    pub shortest: i64,
    pub longest: i64,
    /// Whether patients are seen on that day.
    pub open: &'a dyn Fn(i64) -> bool,
}

/// One visit of the solution.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scheduled {
    pub day: i64,
    /// Latest day that would have been allowed.
    pub latest: i64,
    /// Per arch, whether its wire is changed.
    pub changed: Vec<bool>,
}

/// The days of the visits, and what they cost in hundredths of a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VisitSolution {
    pub visits: Vec<Scheduled>,
    pub cost: i64,
    /// The search was cut short (a plan of hundreds of steps): good, but not proven the best.
    pub cut_short: bool,
}

/// State of the search: the last visit, and per arch the current phase and since when.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct SearchState {
    day: i64,
    arches: Vec<(usize, i64)>,
}

/// A state with its cost; ordered so that the heap yields the cheapest first, ties by state.
#[derive(Debug, PartialEq, Eq)]
struct Reached {
    bound: i64,
    cost: i64,
    place: Rc<SearchState>,
}

/// The cheapest way found to each state: its cost, and the state before.
type Cheapest = HashMap<Rc<SearchState>, (i64, Option<Rc<SearchState>>)>;

impl Hash for SearchState {
    /// Of one number: a state is looked up for every day that a visit may be on.
    fn hash<H: Hasher>(&self, hasher: &mut H) {
        let mix = |all: i64, part: i64| all.wrapping_mul(1_000_003).wrapping_add(part);
        let one = self
            .arches
            .iter()
            .fold(self.day, |all, &(phase, since)| mix(mix(all, since), phase as i64));
        hasher.write_i64(one);
    }
}

/// On which days patients are seen, asked once for each day.
struct OpenDays<'a> {
    open: &'a dyn Fn(i64) -> bool,
    /// From this day on.
    from: i64,
    known: Vec<Option<bool>>,
}

impl OpenDays<'_> {
    fn has(&mut self, day: i64) -> bool {
        let Ok(at) = usize::try_from(day - self.from) else { return (self.open)(day) };
        if at >= MOST_DAYS {
            return (self.open)(day);
        }
        if at >= self.known.len() {
            self.known.resize(at + 1, None);
        }
        *self.known[at].get_or_insert_with(|| (self.open)(day))
    }
}

/// Days that are remembered: more than any treatment has.
const MOST_DAYS: usize = 10_000;

impl Ord for Reached {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        (other.bound, other.cost, &other.place).cmp(&(self.bound, self.cost, &self.place))
    }
}

impl PartialOrd for Reached {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

/// Bound on expanded states.
const MOST_PLACES: usize = 300_000;

impl VisitProblem<'_> {
    fn need(&self, arch: usize, place: &SearchState) -> Option<&PhaseDemand> {
        self.arches[arch].get(place.arches[arch].0)
    }

    fn done(&self, place: &SearchState) -> bool {
        (0..self.arches.len()).all(|a| self.need(a, place).is_none())
    }

    /// In its last wire, or done.
    fn is_last(&self, arch: usize, place: &SearchState) -> bool {
        place.arches[arch].0 + 1 >= self.arches[arch].len()
    }

    /// The wire of an arch only holds, while that of another still works: neither its interval nor its range counts.
    fn only_holds(&self, arch: usize, place: &SearchState) -> bool {
        let rests = |a: usize| {
            let since = place.arches[a].1;
            self.need(a, place)
                .is_none_or(|n| n.rests.is_some_and(|days| since + days <= place.day))
        };
        rests(arch) && !(0..self.arches.len()).all(rests)
    }

    /// The latest day for the next visit.
    fn latest(&self, place: &SearchState) -> i64 {
        (0..self.arches.len())
            .filter(|a| !self.only_holds(*a, place))
            .filter_map(|a| {
                let need = self.need(a, place)?;
                let fresh = place.arches[a].1 == place.day;
                // A last wire that has done its work only holds.
                if self.is_last(a, place) && place.arches[a].1 + need.ready <= place.day {
                    return None;
                }
                Some(place.day + if fresh { need.first_look.min(need.look) } else { need.look })
            })
            .min()
            .unwrap_or(i64::MAX)
            .min(place.day.saturating_add(self.longest))
            .min(self.repair_after(place).unwrap_or(i64::MAX))
    }

    /// The day by which the next visit has to mend something.
    fn repair_after(&self, place: &SearchState) -> Option<i64> {
        self.repair_by.filter(|by| place.day == self.last_visit && *by > place.day)
    }

    /// The first day for the next visit. A stated range yields to a wire that must be looked at.
    fn first(&self, place: &SearchState, latest: i64) -> i64 {
        let stated = (0..self.arches.len())
            .filter(|a| !self.only_holds(*a, place))
            .filter_map(|a| Some(place.arches[a].1 + self.need(a, place)?.earliest))
            .max()
            .unwrap_or(i64::MIN);
        let rests = if self.repair_after(place).is_some() { 1 } else { self.shortest };
        (place.day + rests).max(stated.min(latest)).max(self.not_before)
    }

    /// The days on which the next visit may be; where there is none, the first possible one after.
    fn days(&self, place: &SearchState, latest: i64, open: &mut OpenDays<'_>) -> Vec<i64> {
        if let Some(fixed) = self.fixed(place) {
            return vec![fixed];
        }
        let from = self.first(place, latest);
        let days: Vec<i64> = (from..=latest).filter(|d| open.has(*d)).collect();
        if days.is_empty() {
            let late = from.max(latest + 1);
            return vec![(late..late + 400).find(|d| open.has(*d)).unwrap_or(late)];
        }
        days
    }

    fn fixed(&self, place: &SearchState) -> Option<i64> {
        (0..self.arches.len())
            .filter_map(|a| self.need(a, place)?.fixed)
            .filter(|f| *f > place.day && *f >= self.not_before)
            .min()
    }

    /// The place after a visit on a day, and what it costs. A wire is changed where its arch goes on to another phase.
    fn visit(&self, place: &SearchState, day: i64, latest: i64) -> (SearchState, i64) {
        let mut cost = VISIT_COST * UNIT;
        let mut next = SearchState { day, arches: place.arches.clone() };
        let waited = |a: usize| Some(day - (place.arches[a].1 + self.need(a, place)?.ready));
        let mut everyone = 0..self.arches.len();
        let all_out = everyone
            .clone()
            .all(|a| self.is_last(a, place) && waited(a).is_none_or(|waited| waited >= 0));
        if all_out {
            // All together, for the one that was ready last.
            cost += everyone.clone().filter_map(waited).min().unwrap_or(0) * UNIT;
            for a in everyone.clone() {
                next.arches[a] = (self.arches[a].len(), day);
            }
        } else {
            for a in everyone.clone().filter(|a| !self.is_last(*a, place)) {
                if let Some(waited) = waited(a).filter(|w| *w >= 0) {
                    cost += waited * UNIT;
                    next.arches[a] = (place.arches[a].0 + 1, day);
                }
            }
        }
        if everyone.all(|a| !changed(place, &next, a)) {
            cost += (latest - day).max(0);
        }
        cost += (day - latest).max(0) * LATE_COST * UNIT;
        (next, cost)
    }

    /// No fewer visits than phases left in either arch can follow.
    fn bound(&self, place: &SearchState) -> i64 {
        let left = (0..self.arches.len())
            .map(|a| self.arches[a].len().saturating_sub(place.arches[a].0))
            .max()
            .unwrap_or(0);
        left as i64 * VISIT_COST * UNIT
    }

    /// The best days.
    pub fn solve(&self) -> VisitSolution {
        let start = Rc::new(SearchState {
            day: self.last_visit,
            arches: self.inserted.iter().map(|d| (0, *d)).collect(),
        });
        let mut best = Cheapest::new();
        best.insert(start.clone(), (0, None));
        let mut days = OpenDays { open: self.open, from: self.last_visit, known: Vec::new() };
        let mut open = BinaryHeap::new();
        open.push(Reached { bound: self.bound(&start), cost: 0, place: start });
        let mut cut_short = false;
        while let Some(Reached { cost, place, .. }) = open.pop() {
            if best.get(&place).is_some_and(|(c, _)| *c < cost) {
                continue;
            }
            if self.done(&place) || best.len() > MOST_PLACES {
                cut_short |= !self.done(&place);
                return VisitSolution { visits: self.trace(&best, place), cost, cut_short };
            }
            let latest = self.latest(&place);
            for day in self.days(&place, latest, &mut days) {
                let (next, step) = self.visit(&place, day, latest);
                let total = cost + step;
                if best.get(&next).is_none_or(|(c, _)| total < *c) {
                    let next = Rc::new(next);
                    let bound = total + self.bound(&next);
                    best.insert(next.clone(), (total, Some(place.clone())));
                    open.push(Reached { bound, cost: total, place: next });
                }
            }
        }
        VisitSolution { visits: Vec::new(), cost: 0, cut_short }
    }

    /// The visits that led to a state.
    fn trace(&self, best: &Cheapest, mut place: Rc<SearchState>) -> Vec<Scheduled> {
        let mut visits = Vec::new();
        while let Some((_, Some(before))) = best.get(&place) {
            let changed = (0..self.arches.len()).map(|a| changed(before, &place, a)).collect();
            visits.push(Scheduled { day: place.day, latest: self.latest(before), changed });
            place = before.clone();
        }
        visits.reverse();
        visits
    }
}

/// Whether the wire of an arch is changed between two states.
fn changed(before: &SearchState, after: &SearchState, arch: usize) -> bool {
    before.arches[arch].0 < after.arches[arch].0
}
