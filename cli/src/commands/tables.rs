//! `forces`, `course` and `schedule`: figures of cases, for a person or for a program.

use std::process::ExitCode;

use springline_lang::emit::Plan;
use springline_lang::emit::tables::{calendar, course, forces, schedule};

use crate::args::{Forces, ScheduleFormat, Table, TableFormat, VisitTable};
use crate::cases::{self, CheckedCase};
use crate::commands::check::print;
use crate::problem::Problem;

pub fn forces(args: &Forces) -> Result<ExitCode, Problem> {
    each(&args.table.paths, |plan| {
        let table = forces::forces(plan, !args.no_bands);
        match args.table.format {
            TableFormat::Human => forces::human(&table, plan),
            TableFormat::Json => json(&table),
            TableFormat::Csv => forces::csv(&table),
        }
    })
}

pub fn course(args: &Table) -> Result<ExitCode, Problem> {
    each(&args.paths, |plan| {
        let table = course::course(plan);
        match args.format {
            TableFormat::Human => course::human(&table, plan),
            TableFormat::Json => json(&table),
            TableFormat::Csv => course::csv(&table),
        }
    })
}

pub fn schedule(args: &VisitTable) -> Result<ExitCode, Problem> {
    each(&args.paths, |plan| {
        let table = schedule::schedule(plan);
        match args.format {
            ScheduleFormat::Human => schedule::human(&table),
            ScheduleFormat::Json => json(&table),
            ScheduleFormat::Csv => schedule::csv(&table),
            ScheduleFormat::Ics => calendar::calendar(&table, plan.today),
        }
    })
}

/// One JSON document a line and case.
fn json<T: serde::Serialize>(value: &T) -> String {
    serde_json::to_string(value).map(|s| s + "\n").unwrap_or_default()
}

/// Renders every case that could be read; one that could not is an error of its own.
fn each(
    paths: &[std::path::PathBuf],
    render: impl Fn(&Plan<'_>) -> String,
) -> Result<ExitCode, Problem> {
    let mut unread = false;
    for case in &cases::load(paths)? {
        match case.plan() {
            Some(plan) => print(&render(&plan)),
            None => {
                unread = true;
                not_read(case);
            }
        }
    }
    Ok(if unread { ExitCode::from(1) } else { ExitCode::SUCCESS })
}

pub fn not_read(case: &CheckedCase) {
    eprintln!("{}: cannot be read as a case; `springline check` says why.", case.path.display());
}
