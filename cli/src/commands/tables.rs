//! `forces`, `course` and `schedule`: figures of cases, for a person or for a program.

use std::process::ExitCode;

use springline_lang::emit::tables::{calendar, course, fhir, forces, schedule};
use springline_lang::emit::{Plan, draw};

use crate::args::{CourseFormat, CourseTable, Forces, ScheduleFormat, TableFormat, VisitTable};
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

pub fn course(args: &CourseTable) -> Result<ExitCode, Problem> {
    let cases = cases::load(&args.paths)?;
    if args.format == CourseFormat::Svg && cases.len() != 1 {
        return Err(Problem::usage(
            format!("A picture shows one case, and there are {} here.", cases.len()),
            "Name one case file.",
        ));
    }
    each_of(&cases, |plan| match args.format {
        CourseFormat::Human => course::human(&course::course(plan), plan),
        CourseFormat::Json => json(&course::course(plan)),
        CourseFormat::Csv => course::csv(&course::course(plan)),
        CourseFormat::Svg => {
            draw::timeline_with_forces(plan).map(|d| draw::svg::file(&d)).unwrap_or_default()
        }
    })
}

pub fn schedule(args: &VisitTable) -> Result<ExitCode, Problem> {
    each(&args.paths, |plan| {
        let table = schedule::schedule(plan);
        match args.format {
            ScheduleFormat::Human => schedule::human(&table, plan),
            ScheduleFormat::Json => json(&table),
            ScheduleFormat::Csv => schedule::csv(&table),
            ScheduleFormat::Ics => calendar::calendar(&table, plan.today),
            ScheduleFormat::Fhir => fhir::text(&table, plan),
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
    each_of(&cases::load(paths)?, render)
}

fn each_of(
    cases: &[CheckedCase],
    render: impl Fn(&Plan<'_>) -> String,
) -> Result<ExitCode, Problem> {
    let mut unread = false;
    for case in cases {
        match case.plan() {
            Some(plan) => {
                print(&render(&plan));
                for line in plan.left_out().lines() {
                    unread = true;
                    crate::tell!("{}: {line}", case.path.display());
                }
            }
            None => {
                unread = true;
                not_read(case);
            }
        }
    }
    Ok(if unread { ExitCode::from(1) } else { ExitCode::SUCCESS })
}

pub fn not_read(case: &CheckedCase) {
    crate::tell!("{}: cannot be read as a case; `springline check` says why.", case.path.display());
}
