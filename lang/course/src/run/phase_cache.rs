//! Cache of simulated phases, so that editing a late step does not simulate earlier ones again.

use std::collections::HashMap;
use std::collections::hash_map::DefaultHasher;
use std::hash::Hasher as _;
use std::sync::Arc;

use crate::run::stop_signal::StopSignal;
use crate::run::trace::{PhaseTrace, RunQuery};
use springline_mechanics::Setup;

/// Counters of a [`PhaseCache`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Counters {
    /// Phases simulated.
    pub computed: u64,
    /// Phases found in the cache.
    pub reused: u64,
    /// Phases dropped to keep the bound.
    pub dropped: u64,
    /// Equilibria of wires solved for the phases computed.
    pub solves: u64,
}

/// A phase with its whole key, so that two phases are never confused.
#[derive(Debug, Clone)]
struct CachedRun {
    used: u64,
    question: RunQuery,
    run: Arc<PhaseTrace>,
}

/// A bounded store of simulated phases, owned by the caller: one for each open document, say.
///
/// A phase is found by everything its simulation depends on - stands at entry, brackets, wire, ends,
/// loads - and by nothing else, so dates, growth and what a house has learned cost no new simulation.
#[derive(Debug, Clone)]
pub struct PhaseCache {
    /// By the hash of the query; entries with the same hash are compared by the whole query.
    kept: HashMap<u64, Vec<CachedRun>>,
    count: usize,
    capacity: usize,
    clock: u64,
    counters: Counters,
    stop: StopSignal,
}

impl PhaseCache {
    /// Bound on the number of phases; the least recently used is dropped first.
    pub fn new(capacity: usize) -> PhaseCache {
        PhaseCache {
            kept: HashMap::new(),
            count: 0,
            capacity,
            clock: 0,
            counters: Counters::default(),
            stop: StopSignal::default(),
        }
    }

    /// From now on simulations end where this says so; their forecasts are worth nothing then.
    pub fn stop_on(&mut self, stop: StopSignal) {
        self.stop = stop;
    }

    pub fn stop_signal(&self) -> &StopSignal {
        &self.stop
    }

    pub fn counters(&self) -> Counters {
        self.counters
    }

    pub fn len(&self) -> usize {
        self.count
    }

    pub fn is_empty(&self) -> bool {
        self.count == 0
    }

    /// The phase of a query, computed only if it is not cached.
    pub(crate) fn run(
        &mut self,
        question: &RunQuery,
        compute: impl FnOnce(&StopSignal) -> PhaseTrace,
    ) -> Arc<PhaseTrace> {
        self.clock += 1;
        let mark = cache_key(question);
        let alike = self.kept.get_mut(&mark).map(Vec::as_mut_slice).unwrap_or_default();
        if let Some(known) = alike.iter_mut().find(|k| k.question == *question) {
            known.used = self.clock;
            self.counters.reused += 1;
            return known.run.clone();
        }
        let run = Arc::new(compute(&self.stop));
        if self.stop.is_set() {
            return run;
        }
        self.counters.computed += 1;
        self.counters.solves += run.solves as u64;
        if self.capacity > 0 {
            if self.count >= self.capacity {
                self.drop_oldest();
            }
            let kept = CachedRun { used: self.clock, question: question.clone(), run: run.clone() };
            self.kept.entry(mark).or_default().push(kept);
            self.count += 1;
        }
        run
    }

    fn drop_oldest(&mut self) {
        let all = self.kept.iter().flat_map(|(mark, list)| list.iter().map(|k| (k.used, *mark)));
        let Some((used, mark)) = all.min() else { return };
        if let Some(list) = self.kept.get_mut(&mark) {
            list.retain(|k| k.used != used);
            if list.is_empty() {
                self.kept.remove(&mark);
            }
        }
        self.count -= 1;
        self.counters.dropped += 1;
    }
}

/// Hash of a query, over the figures that change most, to their last bit. Cheap, because it is computed
/// at every keystroke.
fn cache_key(question: &RunQuery) -> u64 {
    let mut hasher = DefaultHasher::new();
    let mut put = |value: f64| hasher.write_u64(value.to_bits());
    let setups = [Some(&question.setup.base), question.setup.overlay.as_ref()];
    for Setup { slots, loads, .. } in setups.into_iter().flatten() {
        for slot in slots {
            let stand = slot.stand;
            put(f64::from(slot.id));
            put(slot.station_mm);
            put(stand.lingual_mm);
            put(stand.gingival_mm);
            put(stand.along_mm);
            put(stand.rotated_rad);
            put(stand.tipped_rad);
            put(stand.torque_rad);
        }
        put(loads.len() as f64);
    }
    question.at_insertion.iter().flatten().flatten().for_each(|value| put(*value));
    question.movers.iter().for_each(|m| put(m.k));
    hasher.finish()
}

impl Default for PhaseCache {
    /// Capacity for some twenty cases.
    fn default() -> PhaseCache {
        PhaseCache::new(256)
    }
}
