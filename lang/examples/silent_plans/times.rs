//! What a draft takes: the time of each arch by a checker that knows nothing yet, and the memory of all.

use std::time::{Duration, Instant};

use springline_lang::{CheckOptions, Checker, SourceText};
use springline_test_support::Practices;

use crate::TODAY;
use crate::arches::RandomArch;

/// One arch: how long it took, and on both processors together.
struct Took {
    seed: u64,
    wall: Duration,
    processor: Option<Duration>,
    judged: usize,
    /// All that the drawer allows was weighed.
    proven: bool,
}

/// Drafts the arches of these seeds one after the other and prints median and worst.
pub fn times(seeds: std::ops::Range<u64>) {
    let mut all: Vec<Took> = seeds.filter_map(one).collect();
    all.sort_by_key(|took| took.wall);
    let Some(worst) = all.last() else { return };
    let ms = |share: usize| all[(all.len() * share / 10).min(all.len() - 1)].wall.as_millis();
    println!(
        "{} drafts: median {} ms, nine in ten under {} ms, worst {} ms (seed {}, {} sequences and beginnings); {} proven.",
        all.len(),
        ms(5),
        ms(9),
        worst.wall.as_millis(),
        worst.seed,
        worst.judged,
        all.iter().filter(|took| took.proven).count()
    );
    let mut processor: Vec<Duration> = all.iter().filter_map(|took| took.processor).collect();
    processor.sort();
    if let Some(median) = processor.get(processor.len() / 2) {
        println!("Of processors together: median {} ms.", median.as_millis());
    }
    if let Some(most) = proc_line("/proc/self/status", "VmHWM:") {
        println!("Most memory: {most}.");
    }
}

fn one(seed: u64) -> Option<Took> {
    let arch = RandomArch::new(seed);
    let text = arch.case("  follow usual\n");
    let source = SourceText { name: format!("{seed}.spring"), text: text.into() };
    let options = CheckOptions { today: Some(TODAY) };
    let mut checker = Checker::new();
    let (begun, at) = (processor(), Instant::now());
    let draft =
        checker.draft(&source, arch.arch, &Practices::saltmarsh(), &options, &mut |_| true).ok()?;
    let wall = at.elapsed();
    let processor = begun.zip(processor()).map(|(begun, ended)| ended.saturating_sub(begun));
    eprintln!("seed {seed}: {} ms, {} judged", wall.as_millis(), draft.judged);
    Some(Took { seed, wall, processor, judged: draft.judged, proven: draft.proven })
}

/// Time that the threads of this process have spent on processors, where the system tells: in ticks of 10 ms.
fn processor() -> Option<Duration> {
    let told = std::fs::read_to_string("/proc/self/stat").ok()?;
    let fields: Vec<&str> = told.rsplit_once(')')?.1.split_whitespace().collect();
    let ticks = |at: usize| fields.get(at)?.parse::<u64>().ok();
    Some(Duration::from_millis(10 * (ticks(11)? + ticks(12)?)))
}

fn proc_line(file: &str, name: &str) -> Option<String> {
    let told = std::fs::read_to_string(file).ok()?;
    told.lines().find_map(|line| Some(line.strip_prefix(name)?.trim().to_owned()))
}
