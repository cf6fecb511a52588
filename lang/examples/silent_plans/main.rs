//! Plans of all sorts, drafted and at random, on arches drawn by seed: those on which the checker is silent although an
//! orthodontist would shake the head at them. What she would shake it at is counted here by itself, from the forecast,
//! and knows no rule: each line is a rule that is missing, or a judgement to argue about.
//!
//! ```sh
//! cargo run --release -p springline-lang --example silent_plans                  # a thousand random plans
//! cargo run --release -p springline-lang --example silent_plans -- 10000 drafted # drafts of as many arches
//! cargo run --release -p springline-lang --example silent_plans -- 200 times     # what a draft takes
//! SPRINGLINE_SEED=5000 cargo run --release -p springline-lang --example silent_plans -- 1000 whole # with their texts
//! ```

mod arches;
mod oddities;
mod plans;
mod times;

use std::collections::BTreeMap;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use springline_lang::finding::Severity;
use springline_lang::{CheckOptions, Checker, SourceText};
use springline_test_support::Practices;

use arches::RandomArch;
use oddities::{Oddity, oddities};

const TODAY: jiff::civil::Date = jiff::civil::date(2026, 11, 25);

/// A plan on which the checker is silent.
struct SilentPlan {
    seed: u64,
    text: String,
    odd: Vec<Oddity>,
}

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let number = arguments.first().and_then(|n| n.parse().ok()).unwrap_or(1000);
    let says = |word: &str| arguments.iter().any(|a| a == word);
    let from = std::env::var("SPRINGLINE_SEED").ok().and_then(|s| s.parse().ok()).unwrap_or(0);
    if says("times") {
        return times::times(from..from + number);
    }
    let silent = silent(from..from + number, says("drafted"));
    println!("{number} plans, {} of them silent.", silent.len());
    let mut kinds: BTreeMap<&str, Vec<&SilentPlan>> = BTreeMap::new();
    for plan in &silent {
        plan.odd.iter().for_each(|odd| kinds.entry(odd.kind).or_default().push(plan));
    }
    for (kind, plans) in kinds {
        println!("\n{kind}: {}", plans.len());
        for plan in plans {
            let odd = plan.odd.iter().find(|odd| odd.kind == kind);
            println!("  seed {}: {}", plan.seed, odd.map_or("", |odd| &odd.words));
            if says("whole") {
                println!("{}", plan.text);
            }
        }
    }
}

fn silent(seeds: std::ops::Range<u64>, drafted: bool) -> Vec<SilentPlan> {
    let next = AtomicU64::new(seeds.start);
    let found = Mutex::new(Vec::new());
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                let mut checker = Checker::new();
                loop {
                    let seed = next.fetch_add(1, Ordering::Relaxed);
                    if seed >= seeds.end {
                        break;
                    }
                    if let Some(plan) = tried(&mut checker, seed, drafted)
                        && let Ok(mut found) = found.lock()
                    {
                        found.push(plan);
                    }
                }
            });
        }
    });
    let mut found = found.into_inner().unwrap_or_default();
    found.sort_by_key(|plan: &SilentPlan| plan.seed);
    found
}

/// The plan of a seed; `None` where the checker says anything of it but advice.
fn tried(checker: &mut Checker, seed: u64, drafted: bool) -> Option<SilentPlan> {
    let arch = RandomArch::new(seed);
    let library = Practices::saltmarsh();
    let options = CheckOptions { today: Some(TODAY) };
    let source = |text: String| SourceText { name: format!("{seed}.spring"), text: text.into() };
    let text = match drafted {
        true => {
            let source = source(arch.case("  follow usual\n"));
            let draft = checker.draft(&source, arch.arch, &library, &options, &mut |_| true);
            // As taken on.
            let lines = draft.ok()?.text;
            let taken = lines.lines().filter(|l| !l.trim_start().starts_with("drafted "));
            taken.map(|l| format!("{l}\n")).collect()
        }
        false => arch.case(&plans::at_random(seed, &arch)),
    };
    let checked = checker.check(&source(text.clone()), &library, &options);
    let said = checked.findings.iter().any(|f| f.severity != Severity::Advice);
    let (case, forecast) = (checked.case.as_ref()?, checked.forecast.as_ref()?);
    if said || checked.parse.unread.is_some() {
        return None;
    }
    let odd = oddities(case.arch(arch.arch)?, forecast.arch(arch.arch)?);
    Some(SilentPlan { seed, text, odd })
}
