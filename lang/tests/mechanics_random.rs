//! Random arches: every one ends in a converged result or a reasoned refusal.

#[path = "mechanics_support/random.rs"]
mod random;

use random::{Random, arch, wires};
use springline_lang::mechanics::*;
use std::collections::BTreeMap;

fn kind(refusal: &Refusal) -> &'static str {
    match refusal {
        Refusal::Strain { .. } => "refused: strain",
        Refusal::Turn { .. } => "refused: turn",
        Refusal::TooFewTeeth { .. } => "refused: too few teeth",
        Refusal::DoesNotFit { .. } => "refused: does not fit",
        Refusal::Overlap { .. } => "refused: overlap",
        Refusal::NotConverged { .. } => "refused: not converged",
        Refusal::Input { .. } => "refused: input",
        _ => "refused: other",
    }
}

/// Counts by outcome; panics on a figure that is no figure.
fn run(count: u64) -> BTreeMap<&'static str, usize> {
    let wires = wires();
    let mut counts = BTreeMap::new();
    let mut iterations = Vec::new();
    for seed in 0..count {
        let mut random = Random(seed.wrapping_mul(0x2545_f491_4f6c_dd1d) + 1);
        let irregularity = random.between(0.0, 12.0);
        let (name, wire) = wires[seed as usize % wires.len()].clone();
        let setup = arch(&mut random, irregularity, wire);
        let outcome = match solve(&setup, Start::Cold) {
            Ok(solution) => {
                assert!(solution.residual_n <= setup.settings.force_tolerance_n);
                for t in &solution.teeth {
                    assert!(t.resultant_n.is_finite() && t.strain.is_finite(), "seed {seed}");
                }
                iterations.push(solution.iterations);
                "converged"
            }
            Err(refusal) => {
                assert!(!refusal.to_string().is_empty());
                if std::env::var_os("SHOW").is_some() {
                    println!("{seed} {name} {irregularity:.1} mm: {refusal}");
                }
                kind(&refusal)
            }
        };
        *counts.entry(outcome).or_default() += 1;
    }
    iterations.sort_unstable();
    let at = |share: f64| iterations[((iterations.len() - 1) as f64 * share) as usize];
    println!("{count} arches: {counts:?}");
    println!(
        "Newton steps: median {}, 95 % {}, 99 % {}, most {}",
        at(0.5),
        at(0.95),
        at(0.99),
        at(1.0)
    );
    counts
}

#[test]
fn three_hundred_random_arches() {
    let counts = run(300);
    let lost = counts.get("refused: not converged").copied().unwrap_or(0);
    assert!(lost <= 3, "{counts:?}");
}

/// `cargo test --release -p springline-lang --test mechanics_random -- --ignored --nocapture`
#[test]
#[ignore = "a minute in release"]
fn ten_thousand_random_arches() {
    let counts = run(10_000);
    let lost = counts.get("refused: not converged").copied().unwrap_or(0);
    assert!(lost <= 100, "{counts:?}");
}
