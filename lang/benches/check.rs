//! How fast a whole case is judged, mechanics and course included: `cargo bench -p springline-lang --bench check`.

use divan::{Bencher, counter::ItemsCount};
use springline_lang::{CheckOptions, Checker, SourceText};
use springline_test_support::Practices;

fn main() {
    divan::main();
}

const CASES: [(&str, &str); 3] = [
    ("mild", include_str!("../../examples/cases/sm-0392-mild-crowding.spring")),
    ("both arches", include_str!("../../examples/cases/sm-0410-both-arches.spring")),
    ("premolars out", include_str!("../../examples/cases/sm-0451-premolars-out.spring")),
];

fn source(name: &str) -> SourceText {
    let text = CASES.iter().find(|(n, _)| *n == name).map_or("", |(_, t)| t);
    SourceText { name: "case.spring".to_owned(), text: text.into() }
}

fn options() -> CheckOptions {
    CheckOptions { today: Some(jiff::civil::date(2026, 11, 24)) }
}

/// The language alone: what an editor shows first.
#[divan::bench(args = CASES.map(|(n, _)| n))]
fn language(bencher: Bencher, name: &str) {
    let source = source(name);
    let mut checker = Checker::new();
    bencher.bench_local(|| checker.read(&source, &Practices::saltmarsh()));
}

/// Everything, nothing remembered: what a build server does with each case.
#[divan::bench(args = CASES.map(|(n, _)| n), sample_count = 10)]
fn whole(bencher: Bencher, name: &str) {
    let source = source(name);
    bencher
        .counter(ItemsCount::new(1usize))
        .with_inputs(Checker::new)
        .bench_values(|mut checker| checker.check(&source, &Practices::saltmarsh(), &options()));
}

/// Everything again after an edit that changes no wire: what an editor does after most keys.
#[divan::bench(args = CASES.map(|(n, _)| n), sample_count = 20)]
fn again(bencher: Bencher, name: &str) {
    let source = source(name);
    let mut checker = Checker::new();
    checker.check(&source, &Practices::saltmarsh(), &options());
    bencher.bench_local(|| checker.check(&source, &Practices::saltmarsh(), &options()));
}
