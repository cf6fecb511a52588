//! Seeded faults: every sound example with one thing made wrong, and whether the checker says so.
//!
//! An [`Operator`] is a generator. It reads the syntax tree and the resolved plan of a sound case and
//! draws places where its fault can be put. What makes its mutants unsafe is a written fact, stated
//! beside it before anything is run (`criterion`), and so are the lines at which a finding counts as in
//! the right place (`place`). Harmless operators change the text and not the plan; after them no finding
//! may be new.
//!
//! `known` explains misses that are understood. A miss without an explanation fails the full run.

pub mod bases;
pub mod edit;
pub mod judge;
pub mod operators;
pub mod report;
pub mod run;
pub mod sound_case;
pub mod texts;

use std::collections::BTreeSet;

use fastrand::Rng;

use sound_case::SoundCase;

/// A sound text with one thing changed.
#[derive(Debug, Clone)]
pub struct Mutant {
    /// What was done to it, in a few words.
    pub what: String,
    /// The file itself, and its house.
    pub text: String,
    pub house: Option<String>,
    /// Lines of `text`, from 1, at which a finding counts as in the right place.
    pub lines: BTreeSet<usize>,
    /// The line that was changed, or the one next to what went.
    pub line: usize,
}

/// Puts one kind of fault into a sound text.
pub struct Operator {
    pub name: &'static str,
    /// Families of rules that are the right ones for it; empty for a harmless one.
    pub families: &'static [&'static str],
    /// The written fact that makes each mutant unsafe, or why it is harmless.
    pub criterion: &'static str,
    /// Which lines count beside the changed one, and why its meaning changes.
    pub place: &'static str,
    pub make: fn(&SoundCase, &mut Rng) -> Vec<Mutant>,
    /// Why some of its mutants are not found, where that is understood.
    pub known: &'static str,
}

impl Operator {
    pub fn is_harmless(&self) -> bool {
        self.families.is_empty()
    }
}

/// A seed of its own for every operator, base and round, the same on every machine.
pub fn seed(parts: &[&str], round: u64) -> u64 {
    // FNV-1a, 64 bit: offset basis and prime as published.
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    let bytes = parts.iter().flat_map(|p| p.bytes().chain([0]));
    for byte in bytes.chain(round.to_le_bytes()) {
        hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    }
    hash
}
