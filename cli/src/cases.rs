//! Checked cases for the commands that make documents of them.

use std::path::PathBuf;

use indicatif::{ProgressBar, ProgressStyle};
use jiff::civil::Date;
use springline_lang::emit::{Plan, Stamp};
use springline_lang::finding::FileId;
use springline_lang::fixes::Budget;
use springline_lang::{Checked, Checker, Options};

use crate::files;
use crate::problem::Problem;
use crate::today::today;

/// One case, checked, with what ties a page to it.
pub struct CheckedCase {
    pub path: PathBuf,
    pub checked: Checked,
    pub stamp: Stamp,
    pub today: Date,
}

impl CheckedCase {
    /// As the documents take it; `None` where the text could not be read as a case.
    pub fn plan(&self) -> Option<Plan<'_>> {
        Plan::of(&self.checked, self.today, &self.stamp)
    }

    /// The chart reference, or the file's name where it has none.
    pub fn name(&self) -> String {
        match &self.checked.case {
            Some(case) => case.chart.clone(),
            None => {
                self.path.file_stem().map_or_else(String::new, |s| s.to_string_lossy().into_owned())
            }
        }
    }
}

/// Name and version on every page.
pub const TOOL: &str = concat!("springline ", env!("CARGO_PKG_VERSION"));

/// All cases among the paths, checked; house files are left out, they are no documents.
pub fn load(paths: &[PathBuf]) -> Result<Vec<CheckedCase>, Problem> {
    use rayon::prelude::*;
    let today = today()?;
    let found = files::find(paths)?;
    if found.is_empty() {
        return Err(Problem::usage(
            "There are no .spring files here.",
            "Name a case, or a folder that holds some.",
        ));
    }
    let progress = progress(found.len());
    let results: Vec<Result<CheckedCase, Problem>> = found
        .par_iter()
        .map_init(Checker::new, |checker, path| {
            let input = files::read(path)?;
            let options = Options { today: Some(today) };
            let library = input.library();
            let checked = checker.check(&input.source(), &library, &options);
            let checked = checker.try_fixes(checked, &library, &options, Budget::default());
            let stamp = stamp(&checked, today);
            progress.inc(1);
            Ok(CheckedCase { path: path.clone(), checked, stamp, today })
        })
        .collect();
    progress.finish_and_clear();
    let mut out = Vec::new();
    for result in results {
        let case = result?;
        if case.checked.parse.kind != springline_lang::syntax::FileKind::House {
            out.push(case);
        }
    }
    Ok(out)
}

/// Cases from which on a bar is shown and results are put away.
pub const LONG_WORK: usize = 8;

/// On standard error, and only where that is a terminal.
pub fn progress(cases: usize) -> ProgressBar {
    if cases < LONG_WORK {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(cases as u64);
    if let Ok(style) = ProgressStyle::with_template("{bar:30} {pos} of {len} cases, {eta} to go") {
        bar.set_style(style);
    }
    bar
}

/// Of a text's content: any change in it is another plan.
pub fn fingerprint(text: &str) -> String {
    blake3::hash(text.as_bytes()).to_hex().to_string()
}

/// What ties a page to its plan.
pub fn stamp(checked: &Checked, today: Date) -> Stamp {
    let case = checked.file(FileId(0)).map_or_else(String::new, |f| fingerprint(&f.text));
    // All house files in their order: a change in any of them is a change of the plan.
    let mut houses = blake3::Hasher::new();
    for file in checked.files.iter().skip(1) {
        houses.update(file.text.as_bytes());
    }
    let house = houses.finalize().to_hex().to_string();
    Stamp { case, house, tool: TOOL.to_owned(), printed: today }
}
