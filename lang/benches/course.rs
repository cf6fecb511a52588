//! How long the course of a case takes, and how that grows.

use springline_lang::course::{PhaseCache, forecast, forecast_with};
use springline_lang::model::Case;
use springline_test_support::Practices;

fn main() {
    divan::main();
}

/// A case with crowding in both arches, 6 to 6 or shorter, following so many steps of `firm`.
fn case(last_tooth: u32, steps: usize, arches: &[&str]) -> Case {
    const NAMES: [&str; 5] = ["align", "level", "level-2", "work", "finish"];
    let skipped = NAMES[steps.min(5)..].join(", ");
    let mut text = "springline 1\ncase \"SM-0001\"\nuse saltmarsh\nstart 2026-09-14\n".to_owned();
    for arch in arches {
        let (right, left) = if *arch == "upper" { (1, 2) } else { (4, 3) };
        text += &format!("{arch} {{\n  bonded {right}{last_tooth}..{left}{last_tooth} with twin\n");
        text += &format!("  tooth {right}2 lingual 1.2 mm, rotated 15 deg mesial-in\n");
        text += &format!("  tooth {right}1 labial 0.6 mm\n  tooth {left}1 lingual 0.8 mm\n");
        text += &format!("  tooth {left}2 labial 0.7 mm, rotated 10 deg mesial-out\n");
        text += "  follow firm\n";
        if !skipped.is_empty() {
            text += &format!("  skip {skipped}\n");
        }
        text += "}\n";
    }
    Practices::saltmarsh().case(&text)
}

/// The target: two arches, four steps, under 50 ms on one core.
#[divan::bench(sample_count = 20)]
fn two_arches_four_steps(bencher: divan::Bencher<'_, '_>) {
    let case = case(6, 4, &["upper", "lower"]);
    bencher.bench_local(|| forecast(divan::black_box(&case), None));
}

/// The same with every phase remembered: what an edit of words or dates costs.
#[divan::bench]
fn two_arches_four_steps_remembered(bencher: divan::Bencher<'_, '_>) {
    let case = case(6, 4, &["upper", "lower"]);
    let mut memory = PhaseCache::default();
    forecast_with(&case, None, &mut memory);
    bencher.bench_local(|| forecast_with(divan::black_box(&case), None, &mut memory));
}

#[divan::bench(args = [1, 2, 3, 4, 5], sample_count = 10)]
fn one_arch_by_steps(bencher: divan::Bencher<'_, '_>, steps: usize) {
    let case = case(6, steps, &["lower"]);
    bencher.bench_local(|| forecast(divan::black_box(&case), None));
}

#[divan::bench(args = [3, 4, 5, 6, 7], sample_count = 10)]
fn one_arch_two_steps_by_last_tooth(bencher: divan::Bencher<'_, '_>, last_tooth: u32) {
    let case = case(last_tooth, 2, &["lower"]);
    bencher.bench_local(|| forecast(divan::black_box(&case), None));
}
