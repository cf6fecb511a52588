//! Loads checked cases for the commands that produce documents.

use std::path::PathBuf;
use std::process::ExitCode;

use jiff::civil::Date;
use springline_emit::{Plan, PrintStamp};
use springline_lang::Checked;
use springline_lang::text::FileId;

use crate::find::{self, PlanFile as File};
use crate::judge::{self, Run};
use crate::problem::Problem;
use crate::today::today;

/// One case, checked, with what ties a page to it.
pub struct CheckedCase {
    pub path: PathBuf,
    /// Its path relative to the folder it was found below.
    pub within: PathBuf,
    pub checked: Checked,
    pub stamp: PrintStamp,
    pub today: Date,
}

impl CheckedCase {
    /// As the documents take it; `None` where the text could not be read as a case.
    pub fn plan(&self) -> Option<Plan<'_>> {
        Plan::of(self.checked.course(), &self.checked.findings, self.today, &self.stamp)
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

/// The cases that could be read, and how many files could not be looked at.
pub struct LoadedCases {
    pub cases: Vec<CheckedCase>,
    /// Files and folders that could not be read; each was reported.
    pub problems: usize,
    /// Files skipped on purpose; their number was reported.
    passed: usize,
}

impl LoadedCases {
    /// Files that were not checked: statements about all cases exclude them.
    pub fn not_looked_at(&self) -> usize {
        self.problems + self.passed
    }

    /// 2 where something could not be read, 1 where something was found.
    pub fn exit(&self, found: bool) -> ExitCode {
        match (self.problems > 0, found) {
            (true, _) => ExitCode::from(2),
            (false, true) => ExitCode::from(1),
            (false, false) => ExitCode::SUCCESS,
        }
    }
}

/// All cases among the paths, checked; house files are left out, they are no documents. A file that
/// cannot be read is reported, and the others are judged without it.
pub fn load(paths: &[PathBuf]) -> Result<LoadedCases, Problem> {
    let today = today()?;
    let found = listed(paths)?;
    let mut out = LoadedCases { cases: Vec::new(), problems: found.problems, passed: found.passed };
    let case = |run: &Run, file: &File| {
        let checked = run.check(file)?;
        let stamp = stamp(&checked, today);
        Ok(CheckedCase {
            path: file.path.clone(),
            within: file.within.clone(),
            checked,
            stamp,
            today,
        })
    };
    judge::each(&found.plans, today, case, |result| match result {
        Ok(case) if case.checked.parse.kind == springline_lang::syntax::FileKind::House => {}
        Ok(case) => out.cases.push(case),
        Err(problem) => {
            out.problems += 1;
            problem.show();
        }
    });
    Ok(out)
}

/// Files to check, after everything skipped was reported.
pub struct Listed {
    pub plans: Vec<File>,
    pub problems: usize,
    pub passed: usize,
}

/// At least one file; where there is none that is the answer.
pub fn listed(paths: &[PathBuf]) -> Result<Listed, Problem> {
    let mut found = find::find(paths);
    if found.plans.is_empty() {
        // One name that leads nowhere is the whole answer.
        if let Some(problem) = found.problems.pop() {
            found.tell_problems();
            return Err(problem);
        }
        return Err(Problem::usage(
            "There are no .spring files here.",
            found
                .left_out()
                .unwrap_or_else(|| "Name a case, or a folder that holds some.".to_owned()),
        ));
    }
    let problems = found.tell_problems();
    if let Some(left_out) = found.left_out() {
        crate::tell!("{left_out}");
    }
    Ok(Listed { problems, passed: found.passed_over(), plans: found.plans })
}

/// Of a text's content: any change in it is another plan.
pub use springline_lsp::fingerprint::fingerprint;

/// What ties a page to its plan.
pub fn stamp(checked: &Checked, today: Date) -> PrintStamp {
    let case = checked.file(FileId(0)).map_or_else(String::new, |f| fingerprint(&f.text));
    // All practice files in order: a change in any of them is a change of the plan.
    let mut houses = blake3::Hasher::new();
    for file in checked.files.iter().skip(1) {
        houses.update(file.text.as_bytes());
    }
    let house = houses.finalize().to_hex().to_string();
    PrintStamp { case, house, tool: TOOL.to_owned(), printed: today }
}
