//! Phases already computed, so that editing a late step computes no earlier one again.

use std::collections::BTreeMap;
use std::sync::Arc;

/// What was asked of a [`Memory`] since it was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Counters {
    /// Phases simulated.
    pub computed: u64,
    /// Phases found as they were.
    pub reused: u64,
    /// Phases dropped to keep the bound.
    pub dropped: u64,
    /// Equilibria of wires solved for the phases computed.
    pub solves: u64,
}

/// Everything a phase depends on, written out: every number to its last bit. Kept whole, so two
/// phases are never taken for one.
pub(crate) type Key = Arc<str>;

/// A bounded store of simulated phases, owned by the caller: one for each open document, say.
///
/// A phase is found by everything its simulation depends on - stands at entry, brackets, wire, ends,
/// loads - and by nothing else, so dates, growth and what a house has learned cost no new simulation.
#[derive(Debug, Clone)]
pub struct Memory {
    kept: BTreeMap<Key, (u64, Arc<super::run::Run>)>,
    capacity: usize,
    clock: u64,
    counters: Counters,
}

impl Memory {
    /// Keeps at most so many phases; the one longest unused goes first.
    pub fn new(capacity: usize) -> Memory {
        Memory { kept: BTreeMap::new(), capacity, clock: 0, counters: Counters::default() }
    }

    pub fn counters(&self) -> Counters {
        self.counters
    }

    pub fn len(&self) -> usize {
        self.kept.len()
    }

    pub fn is_empty(&self) -> bool {
        self.kept.is_empty()
    }

    /// The phase of that key, computed only when it is not there yet.
    pub(crate) fn run(
        &mut self,
        key: Key,
        compute: impl FnOnce() -> super::run::Run,
    ) -> Arc<super::run::Run> {
        self.clock += 1;
        if let Some((used, run)) = self.kept.get_mut(&key) {
            *used = self.clock;
            self.counters.reused += 1;
            return run.clone();
        }
        let run = Arc::new(compute());
        self.counters.computed += 1;
        self.counters.solves += run.solves as u64;
        if self.capacity > 0 {
            if self.kept.len() >= self.capacity {
                let oldest = self.kept.iter().min_by_key(|(_, (used, _))| *used);
                if let Some(oldest) = oldest.map(|(k, _)| k.clone()) {
                    self.kept.remove(&oldest);
                    self.counters.dropped += 1;
                }
            }
            self.kept.insert(key, (self.clock, run.clone()));
        }
        run
    }
}

impl Default for Memory {
    /// Room for some twenty cases.
    fn default() -> Memory {
        Memory::new(256)
    }
}
