//! Many files checked on all cores, the results handed over in the order of the paths.

use jiff::civil::Date;
use rayon::prelude::*;
use springline_lang::fixes::Budget;
use springline_lang::report_cache::Kept;
use springline_lang::{Checker, Options};
use std::cell::RefCell;

use crate::cache::Cache;
use crate::cases;
use crate::charts::Charts;
use crate::files::{self, Input};
use crate::find::Plan;
use crate::problem::Problem;
use crate::shelf::Shelf;

/// Files in hand at once: enough that no core waits for the last one, few enough for memory.
const BATCH: usize = 512;

thread_local! {
    /// One a thread: what it has computed for one file it remembers for the next.
    static CHECKER: RefCell<Checker> = RefCell::new(Checker::new());
}

/// Checks every file, makes something of each on the thread that checked it, and hands that over in
/// the order of the paths.
pub fn each<T: Send>(
    plans: &[Plan],
    today: Date,
    cache: Option<&Cache>,
    make: impl Fn(Kept) -> T + Sync,
    mut take: impl FnMut(Result<T, Problem>),
) {
    let shelf = Shelf::default();
    let charts = Charts::of(plans);
    let progress = cases::progress(plans.len());
    for batch in plans.chunks(BATCH) {
        let results: Vec<Result<T, Problem>> = batch
            .par_iter()
            .map(|plan| {
                let kept = one(&plan.path, today, cache, &shelf, &charts);
                progress.inc(1);
                kept.map(&make)
            })
            .collect();
        progress.suspend(|| results.into_iter().for_each(&mut take));
    }
    progress.finish_and_clear();
    if let Some(cache) = cache {
        cache.sweep();
    }
}

fn one(
    path: &std::path::Path,
    today: Date,
    cache: Option<&Cache>,
    shelf: &Shelf,
    charts: &Charts,
) -> Result<Kept, Problem> {
    let input = files::read(path)?;
    let mut kept = alone(&input, today, cache, shelf);
    // Not put away: it hangs on the other files of this run.
    if let Some(finding) = charts.finding(path, &input.text) {
        kept.add(finding);
    }
    Ok(kept)
}

fn alone(input: &Input, today: Date, cache: Option<&Cache>, shelf: &Shelf) -> Kept {
    let library = shelf.library(input);
    if let Some(kept) = cache.and_then(|c| c.get(input, &library)) {
        return kept;
    }
    let options = Options { today: Some(today) };
    let kept: Kept = CHECKER.with_borrow_mut(|checker| {
        let checked = checker.check(&input.source(), &library, &options);
        // What is offered here has been tried.
        checker.try_fixes(checked, &library, &options, Budget::default()).into()
    });
    if let Some(cache) = cache {
        cache.put(input, &library, &kept);
    }
    kept
}
