//! What a draft takes: processor time of each arch, by a checker that knows nothing yet, and the memory of all.

use std::time::{Duration, Instant};

use springline_lang::{CheckOptions, Checker, SourceText};
use springline_test_support::Practices;

use crate::TODAY;
use crate::arches::RandomArch;

/// Drafts the arches of these seeds one after the other and prints median and worst.
pub fn times(seeds: std::ops::Range<u64>) {
    let mut all: Vec<(Duration, u64, usize)> = seeds.filter_map(one).collect();
    all.sort();
    let Some(&(worst, seed, judged)) = all.last() else { return };
    let median = all[all.len() / 2].0;
    println!(
        "{} drafts: median {} ms, worst {} ms (seed {seed}, {judged} sequences and beginnings); nine in ten under {} ms.",
        all.len(),
        median.as_millis(),
        worst.as_millis(),
        all[all.len() * 9 / 10].0.as_millis()
    );
    if let Some(most) = proc_line("/proc/self/status", "VmHWM:") {
        println!("Most memory: {most}.");
    }
}

fn one(seed: u64) -> Option<(Duration, u64, usize)> {
    let arch = RandomArch::new(seed);
    let text = arch.case("  follow usual\n");
    let source = SourceText { name: format!("{seed}.spring"), text: text.into() };
    let options = CheckOptions { today: Some(TODAY) };
    let mut checker = Checker::new();
    let (begun, wall) = (processor(), Instant::now());
    let draft =
        checker.draft(&source, arch.arch, &Practices::saltmarsh(), &options, &mut |_| true).ok()?;
    let took = match (begun, processor()) {
        (Some(begun), Some(ended)) => ended.saturating_sub(begun),
        _ => wall.elapsed(),
    };
    eprintln!("seed {seed}: {} ms, {} judged", took.as_millis(), draft.judged);
    Some((took, seed, draft.judged))
}

/// Time that this thread has spent on a processor, where the system tells.
fn processor() -> Option<Duration> {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    told.split(' ').next()?.parse().ok().map(Duration::from_nanos)
}

fn proc_line(file: &str, name: &str) -> Option<String> {
    let told = std::fs::read_to_string(file).ok()?;
    told.lines().find_map(|line| Some(line.strip_prefix(name)?.trim().to_owned()))
}
