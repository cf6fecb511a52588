//! The ensemble behind the default limits: arches of accepted and of heavy practice, drawn by seed, each
//! put under its wires and judged by the figures that the program ships.
//!
//! ```sh
//! cargo run --release -p springline-lang --example limits            # all of it, some minutes
//! cargo run --release -p springline-lang --example limits -- 3       # three draws of each setting
//! cargo run --release -p springline-lang --example limits -- 12 rows # and every pair on a line of its own
//! cargo run --release -p springline-lang --example limits -- 36 bends # what finishing bends do, alone
//! ```
//!
//! The labels are common practice, no source: which wire an orthodontist would put into which arch and
//! which not. What is compared with what is written down in `lang/docs/limits.md`.

mod arches;
mod bends;
mod figures;
mod judge;

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use arches::{Label, Pair, draw};
use judge::{Verdict, judge};

fn main() {
    let draws = std::env::args().nth(1).and_then(|n| n.parse().ok()).unwrap_or(12);
    if std::env::args().nth(2).as_deref() == Some("bends") {
        return bends::table(draws);
    }
    let pairs = draw(draws);
    let judged = judge_all(&pairs);
    let rows: Vec<(&Pair, Verdict)> = pairs.iter().zip(judged).collect();
    println!(
        "Estimates for a licensed clinician's judgement; the labels are common practice, no source.\n"
    );
    table(&rows);
    spoke(&rows);
    figures::lightest_wire(&rows);
    figures::other_limits(&rows);
    if std::env::args().nth(2).as_deref() == Some("rows") {
        figures::every_pair(&rows);
    }
}

/// Which limit spoke how often.
fn spoke(rows: &[(&Pair, Verdict)]) {
    println!("\n| limit | accepted pairs | heavy pairs |\n| --- | --- | --- |");
    for limit in ["sustained", "misfit or turn", "delivered", "peak", "strain", "far tooth"] {
        let of = |label: Label| {
            let own = rows.iter().filter(|(p, _)| p.label == label);
            own.filter(|(_, v)| v.said.contains(&limit)).count()
        };
        println!("| {limit} | {} | {} |", of(Label::Accepted), of(Label::Heavy));
    }
}

/// Every pair on as many threads as there are; the order of the answers is that of the pairs.
fn judge_all(pairs: &[Pair]) -> Vec<Verdict> {
    let next = AtomicUsize::new(0);
    let out = Mutex::new(vec![Verdict::default(); pairs.len()]);
    thread::scope(|scope| {
        for _ in 0..thread::available_parallelism().map_or(2, |n| n.get()) {
            scope.spawn(|| {
                loop {
                    let at = next.fetch_add(1, Ordering::Relaxed);
                    let Some(pair) = pairs.get(at) else { break };
                    let verdict = judge(pair);
                    if let Ok(mut out) = out.lock() {
                        out[at] = verdict;
                    }
                }
            });
        }
    });
    out.into_inner().unwrap_or_default()
}

fn table(rows: &[(&Pair, Verdict)]) {
    println!(
        "| family | label | pairs | error | warned only | none | more than 2 findings | no answer |"
    );
    println!("| --- | --- | --- | --- | --- | --- | --- | --- |");
    let families = ["crowded", "rotated", "high canine", "after alignment", "blocked", "single"];
    for label in [Label::Accepted, Label::Heavy] {
        for family in families {
            line(
                family,
                label,
                rows.iter().filter(|(p, _)| p.family == family && p.label == label),
            );
        }
        line("all", label, rows.iter().filter(|(p, _)| p.label == label));
    }
}

fn line<'r>(family: &str, label: Label, rows: impl Iterator<Item = &'r (&'r Pair, Verdict)>) {
    let rows: Vec<&Verdict> = rows.map(|(_, v)| v).collect();
    let n = rows.len();
    if n == 0 {
        return;
    }
    let share = |is: &dyn Fn(&Verdict) -> bool| {
        let count = rows.iter().filter(|v| is(v)).count();
        format!("{count} ({:.1} %)", 100.0 * count as f64 / n as f64)
    };
    println!(
        "| {family} | {} | {n} | {} | {} | {} | {} | {} |",
        label.word(),
        share(&|v| v.errors > 0),
        share(&|v| v.errors == 0 && v.warnings > 0),
        share(&|v| v.errors + v.warnings == 0 && !v.refused),
        share(&|v| v.errors + v.warnings > 2),
        share(&|v| v.refused)
    );
}
