//! Random arches: every one ends in a converged result or a reasoned refusal.

use crate::support::random::{Random, arch, wires};
use springline_mechanics::*;
use std::collections::BTreeMap;
use std::fmt::Write;

fn kind(refusal: &Refusal) -> &'static str {
    match refusal {
        Refusal::Strain { .. } => "strain",
        Refusal::Turn { .. } => "turn",
        Refusal::SnapThrough { .. } => "lets go",
        Refusal::TooFewTeeth { .. } => "too few teeth",
        Refusal::DoesNotFit { .. } => "does not fit",
        Refusal::Overlap { .. } => "overlap",
        Refusal::NotConverged { .. } => "not converged",
        Refusal::Input { .. } => "input",
        _ => "other",
    }
}

const CONVERGED: &str = "converged";

/// What became of the arches of each wire, and the Newton steps of those that converged.
struct Outcomes {
    of: BTreeMap<&'static str, BTreeMap<&'static str, usize>>,
    steps: Vec<usize>,
}

impl Outcomes {
    fn total(&self, kind: &str) -> usize {
        self.of.values().filter_map(|o| o.get(kind)).sum()
    }

    fn step(&self, share: f64) -> usize {
        self.steps[((self.steps.len() - 1) as f64 * share) as usize]
    }
}

/// Panics on a figure that is no figure.
fn run(count: u64) -> Outcomes {
    let wires = wires();
    let mut out = Outcomes { of: BTreeMap::new(), steps: Vec::new() };
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
                out.steps.push(solution.iterations);
                CONVERGED
            }
            Err(refusal) => {
                assert!(!refusal.to_string().is_empty());
                if std::env::var_os("SHOW").is_some() {
                    println!("{seed} {name} {irregularity:.1} mm: {refusal}");
                }
                kind(&refusal)
            }
        };
        *out.of.entry(name).or_default().entry(outcome).or_default() += 1;
    }
    out.steps.sort_unstable();
    out
}

fn table(out: &Outcomes) -> String {
    let kinds: Vec<&str> =
        [CONVERGED, "turn", "lets go", "strain", "overlap", "does not fit", "not converged"]
            .into_iter()
            .filter(|k| *k == CONVERGED || *k == "not converged" || out.total(k) > 0)
            .collect();
    let head: Vec<String> = kinds
        .iter()
        .map(|k| if *k == CONVERGED { (*k).to_string() } else { format!("refused: {k}") })
        .collect();
    let mut text =
        format!("| wire | {} |\n| --- |{}\n", head.join(" | "), " --- |".repeat(kinds.len()));
    let mut row = |name: &str, of: &dyn Fn(&str) -> usize| {
        let cells: Vec<String> = kinds.iter().map(|k| of(k).to_string()).collect();
        writeln!(text, "| {name} | {} |", cells.join(" | ")).unwrap();
    };
    for (name, _) in wires() {
        row(name, &|k| out.of.get(name).and_then(|o| o.get(k)).copied().unwrap_or(0));
    }
    row("all", &|k| out.total(k));
    writeln!(
        text,
        "\nNewton steps: median {}, 95 % under {}, 99 % under {}, most {}.",
        out.step(0.5),
        out.step(0.95),
        out.step(0.99),
        out.step(1.0)
    )
    .unwrap();
    text
}

#[test]
fn three_hundred_random_arches() {
    let out = run(300);
    println!("{}", table(&out));
    assert_eq!(out.of.values().flat_map(BTreeMap::values).sum::<usize>(), 300);
    assert!(out.total("not converged") <= 3);
}

/// `cargo test --release -p springline-mechanics --test physics -- --ignored --nocapture random::`, with
/// `UPDATE_DOCS=1` to write its table into the page for engineers.
#[test]
#[ignore = "half a minute in release"]
fn ten_thousand_random_arches() {
    const BEGIN: &str = "<!-- begin: made by the run of 10,000 arches -->";
    const END: &str = "<!-- end of the run -->";
    let out = run(10_000);
    let text = table(&out);
    println!("{text}");
    assert!(out.total("not converged") <= 100);
    if std::env::var_os("UPDATE_DOCS").is_some() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../docs/mechanics.md");
        let page = std::fs::read_to_string(path).unwrap();
        let (head, rest) = page.split_once(BEGIN).expect("the page has its begin mark");
        let (_, tail) = rest.split_once(END).expect("the page has its end mark");
        std::fs::write(path, format!("{head}{BEGIN}\n{text}{END}{tail}")).unwrap();
    }
}
