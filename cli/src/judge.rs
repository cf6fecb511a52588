//! Batch runner: checks many files on all cores and returns the results in path order.

use crate::report_cache::FileReport;
use jiff::civil::Date;
use rayon::prelude::*;
use serde::Serialize;
use serde::de::DeserializeOwned;
use springline_lang::fixes::Budget;
use springline_lang::{CheckOptions, Checked, Checker};
use std::cell::RefCell;
use std::ops::ControlFlow;

use crate::cache::Cache;
use crate::charts::Charts;
use crate::files::{self, Input};
use crate::find::PlanFile;
use crate::house_cache::{CaseLibrary, HouseCache};
use crate::problem::Problem;
use crate::progress::progress;

/// Files per batch: enough that no core idles, few enough for memory.
const BATCH: usize = 512;

thread_local! {
    /// One a thread: what it has computed for one file it remembers for the next.
    static CHECKER: RefCell<Checker> = RefCell::new(Checker::new());
}

/// What the files of one run share.
pub struct Run {
    today: Date,
    shelf: HouseCache,
    charts: Charts,
}

/// Does some work on every file, on all cores, and hands the results over in the order of the paths.
pub fn each<T: Send>(
    plans: &[PlanFile],
    today: Date,
    work: impl Fn(&Run, &PlanFile) -> Result<T, Problem> + Sync,
    mut take: impl FnMut(Result<T, Problem>),
) {
    let run = Run { today, shelf: HouseCache::default(), charts: Charts::of(plans) };
    let bar = progress(plans.len());
    for batch in plans.chunks(BATCH) {
        let one = |plan: &PlanFile| {
            let result = work(&run, plan);
            bar.inc(1);
            result
        };
        let results: Vec<Result<T, Problem>> = batch.par_iter().map(one).collect();
        bar.suspend(|| results.into_iter().for_each(&mut take));
    }
    bar.finish_and_clear();
}

/// The same without a bar, a few files at a time, until the taker wants no more.
pub fn quietly<T: Send>(
    plans: &[PlanFile],
    today: Date,
    together: usize,
    work: impl Fn(&Run, &PlanFile) -> Result<T, Problem> + Sync,
    mut take: impl FnMut(&[PlanFile], Vec<Result<T, Problem>>) -> ControlFlow<()>,
) {
    let run = Run { today, shelf: HouseCache::default(), charts: Charts::default() };
    for batch in plans.chunks(together) {
        let results = batch.par_iter().map(|plan| work(&run, plan)).collect();
        if take(batch, results).is_break() {
            return;
        }
    }
}

/// Checks every file, or takes over what the cache has of it, and makes something of each on the thread
/// that checked it.
pub fn each_report<T: Send>(
    plans: &[PlanFile],
    today: Date,
    cache: Option<&Cache>,
    make: impl Fn(FileReport) -> T + Sync,
    take: impl FnMut(Result<T, Problem>),
) {
    each(plans, today, |run, plan| run.report(plan, cache).map(&make), take);
    if let Some(cache) = cache {
        cache.sweep();
    }
}

impl Run {
    /// The whole check of one file; the fixes that it offers have been tried.
    pub fn check(&self, plan: &PlanFile) -> Result<Checked, Problem> {
        let input = files::read(&plan.path)?;
        let mut checked = self.checked(&input, &self.shelf.library(&input));
        if let Some(finding) = self.charts.finding(&plan.path, &input.text) {
            checked.add(finding);
        }
        Ok(checked)
    }

    /// Something made of the check of one file alone, or taken from where it was stored.
    pub fn made<T: Serialize + DeserializeOwned>(
        &self,
        plan: &PlanFile,
        cache: Option<&Cache>,
        make: impl FnOnce(&Checked) -> T,
    ) -> Result<T, Problem> {
        let input = files::read(&plan.path)?;
        let library = self.shelf.library(&input);
        if let Some((known, _)) = cache.and_then(|cache| cache.take(&input, &library)) {
            return Ok(known);
        }
        let options = CheckOptions { today: Some(self.today) };
        let made = make(&CHECKER.with_borrow_mut(|c| c.check(&input.source(), &library, &options)));
        if let Some(cache) = cache {
            cache.put_away(&input, &library, &made);
        }
        Ok(made)
    }

    fn checked(&self, input: &Input, library: &CaseLibrary<'_>) -> Checked {
        let options = CheckOptions { today: Some(self.today) };
        CHECKER.with_borrow_mut(|checker| {
            let checked = checker.check(&input.source(), library, &options);
            checker.try_fixes(checked, library, &options, Budget::default())
        })
    }

    fn report(&self, plan: &PlanFile, cache: Option<&Cache>) -> Result<FileReport, Problem> {
        let input = files::read(&plan.path)?;
        let library = self.shelf.library(&input);
        let known = cache.and_then(|cache| cache.get(&input, &library));
        let mut kept = known.unwrap_or_else(|| {
            let kept: FileReport = self.checked(&input, &library).into();
            if let Some(cache) = cache {
                cache.store(&input, &library, &kept);
            }
            kept
        });
        // Not cached, because it depends on the other files of this run.
        if let Some(finding) = self.charts.finding(&plan.path, &input.text) {
            kept.add(finding);
        }
        Ok(kept)
    }
}
