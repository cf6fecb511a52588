//! Runs operators over bases, on as many threads as the machine has.

use std::collections::BTreeSet;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::thread;

use fastrand::Rng;
use springline_lang::Checker;

use super::bases::{Base, bases, house};
use super::judge::{Outcome, judge, judge_harmless};
use super::operators::all;
use super::sound_case::{SoundCase, check};
use super::{Mutant, Operator, seed};

/// One mutant and what became of it.
pub struct Result {
    pub operator: &'static Operator,
    pub base: String,
    pub mutant: Mutant,
    pub outcome: Outcome,
}

/// How much is drawn.
#[derive(Debug, Clone, Copy)]
pub struct Draw {
    /// Mutants of one operator in one base at most.
    pub each: usize,
    /// Every so many pairs of operator and base, one is run; 1 runs all.
    pub every: usize,
    pub round: u64,
}

impl Draw {
    pub const FULL: Draw = Draw { each: 6, every: 1, round: 1 };
    pub const SAMPLE: Draw = Draw { each: 1, every: 24, round: 1 };
}

/// The operators whose name holds `SPRINGLINE_FAULT`, where that is set.
fn chosen() -> Vec<&'static Operator> {
    let only = std::env::var("SPRINGLINE_FAULT").ok();
    all().into_iter().filter(|o| only.as_deref().is_none_or(|only| o.name.contains(only))).collect()
}

/// Every mutant of this draw, in the order of operators and bases.
pub fn run(draw: Draw) -> Vec<Result> {
    let house = house();
    let bases = bases();
    let operators = chosen();
    let next = AtomicUsize::new(0);
    let out: Mutex<Vec<(usize, Vec<Result>)>> = Mutex::new(Vec::new());
    let threads = thread::available_parallelism().map_or(2, |n| n.get());
    thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                loop {
                    let at = next.fetch_add(1, Ordering::Relaxed);
                    let Some(base) = bases.get(at) else { break };
                    // A base's phases are all in one memory.
                    let results = run_base(base, &house, &operators, draw, at);
                    if let Ok(mut out) = out.lock() {
                        out.push((at, results));
                    }
                }
            });
        }
    });
    let mut out = out.into_inner().unwrap_or_default();
    out.sort_by_key(|(at, _)| *at);
    let mut out: Vec<Result> = out.into_iter().flat_map(|(_, r)| r).collect();
    let rank = |r: &Result| operators.iter().position(|o| o.name == r.operator.name);
    out.sort_by_key(rank);
    out
}

fn run_base(
    base: &Base,
    house: &Arc<str>,
    operators: &[&'static Operator],
    draw: Draw,
    at: usize,
) -> Vec<Result> {
    let drawn = |n: &usize| (n + at * 5).is_multiple_of(draw.every);
    let mine: Vec<_> = operators.iter().enumerate().filter(|(n, _)| drawn(n)).collect();
    if mine.is_empty() {
        return Vec::new();
    }
    let mut checker = Checker::new();
    let sound = SoundCase::new(base.clone(), house.clone(), &mut checker);
    let mut out = Vec::new();
    for (_, operator) in mine {
        for mutant in mutants(operator, &sound, draw) {
            let house = mutant.house.as_deref().map_or(house.clone(), Into::into);
            let after = check(&mut checker, &base.name, &mutant.text, &house, base.today);
            let outcome = match operator.is_harmless() {
                true => judge_harmless(&sound.checked, &after),
                false => judge(operator, &mutant, &sound.checked, &after),
            };
            out.push(Result { operator, base: base.name.clone(), mutant, outcome });
        }
    }
    out
}

/// The mutants of one operator in one base: no text twice, so many at most, drawn by seed.
pub fn mutants(operator: &Operator, sound: &SoundCase, draw: Draw) -> Vec<Mutant> {
    let mut rng = Rng::with_seed(seed(&[operator.name, &sound.base.name], draw.round));
    let mut made = (operator.make)(sound, &mut rng);
    rng.shuffle(&mut made);
    let mut seen = BTreeSet::new();
    made.retain(|m| m.text != sound.text() || m.house.is_some());
    made.retain(|m| seen.insert((m.text.clone(), m.house.clone())));
    made.truncate(draw.each);
    made
}
