//! `forces`, `course` and `schedule`: tables of figures, for people and programs.

use std::path::PathBuf;
use std::process::ExitCode;

use springline_emit::spreadsheet;
use springline_emit::spreadsheet::Table;
use springline_emit::tables::{DocumentList, calendar, course, fhir, forces, schedule};
use springline_emit::{Plan, draw};
use springline_lang::course::on_demand;

use crate::args::{
    CourseArgs, CourseFormat, ForcesArgs, ScheduleArgs, ScheduleFormat, TableFormat,
};
use crate::cases::{self, CheckedCase, LoadedCases};
use crate::output::print;
use crate::problem::Problem;

pub fn forces(args: &ForcesArgs) -> Result<ExitCode, Problem> {
    let table = |plan: &Plan<'_>| {
        forces::forces(plan, |phase| on_demand::phase_figures(phase, !args.no_bands))
    };
    let paths = &args.table.paths;
    match args.table.format {
        TableFormat::Human => each(paths, |plan| forces::human(&table(plan), plan)),
        TableFormat::Json => together(paths, |plans| json_of(paths, tables(plans, table))),
        TableFormat::Jsonl => each(paths, |plan| json(&table(plan))),
        TableFormat::Csv => sheet(paths, table),
    }
}

pub fn course(args: &CourseArgs) -> Result<ExitCode, Problem> {
    let paths = &args.paths;
    match args.format {
        CourseFormat::Human => each(paths, |plan| course::human(&course::course(plan), plan)),
        CourseFormat::Json => {
            together(paths, |plans| json_of(paths, tables(plans, course::course)))
        }
        CourseFormat::Jsonl => each(paths, |plan| json(&course::course(plan))),
        CourseFormat::Csv => sheet(paths, course::course),
        CourseFormat::Svg => picture(paths),
    }
}

fn picture(paths: &[PathBuf]) -> Result<ExitCode, Problem> {
    let loaded = cases::load(paths)?;
    if loaded.cases.len() != 1 {
        return Err(Problem::usage(
            format!("A picture shows one case; there are {} here.", loaded.cases.len()),
            "Name one case file.",
        ));
    }
    each_of(&loaded, |plan| {
        let forces: Vec<_> = plan.forecast.arches.iter().map(on_demand::force_history).collect();
        draw::timeline_with_forces(plan, &forces).map(|d| draw::svg::file(&d)).unwrap_or_default()
    })
}

pub fn schedule(args: &ScheduleArgs) -> Result<ExitCode, Problem> {
    let table = schedule::schedule;
    let paths = &args.paths;
    match args.format {
        ScheduleFormat::Human => each(paths, |plan| schedule::human(&table(plan), plan)),
        ScheduleFormat::Json => together(paths, |plans| json_of(paths, tables(plans, table))),
        ScheduleFormat::Jsonl => each(paths, |plan| json(&table(plan))),
        ScheduleFormat::Csv => sheet(paths, table),
        ScheduleFormat::Ics => together(paths, |plans| {
            let today = plans.iter().map(|plan| plan.today).max().unwrap_or_default();
            calendar::calendar(&tables(plans, table), today)
        }),
        ScheduleFormat::Fhir => together(paths, |plans| {
            let with: Vec<_> = plans.iter().map(|plan| (table(plan), plan)).collect();
            fhir::text(&with)
        }),
    }
}

fn tables<T>(plans: &[Plan<'_>], table: impl Fn(&Plan<'_>) -> T) -> Vec<T> {
    plans.iter().map(table).collect()
}

/// One JSON document on one line.
pub fn json<T: serde::Serialize>(value: &T) -> String {
    serde_json::to_string(value).map(|s| s + "\n").unwrap_or_default()
}

/// The document of the one file that was named; of a folder, or of several files, one document that
/// holds all of theirs, however many there are.
fn json_of<T: serde::Serialize>(paths: &[PathBuf], documents: Vec<T>) -> String {
    match (paths, &documents[..]) {
        ([path], [one]) if !path.is_dir() => json(one),
        _ => json(&DocumentList::of(documents)),
    }
}

/// One table over all cases, under one heading.
fn sheet<T: Table>(paths: &[PathBuf], table: impl Fn(&Plan<'_>) -> T) -> Result<ExitCode, Problem> {
    let loaded = cases::load(paths)?;
    print(&spreadsheet::head::<T>());
    each_of(&loaded, |plan| spreadsheet::rows(&table(plan)))
}

/// Renders every case that could be read; one that could not is an error of its own.
fn each(paths: &[PathBuf], render: impl Fn(&Plan<'_>) -> String) -> Result<ExitCode, Problem> {
    each_of(&cases::load(paths)?, render)
}

fn each_of(
    loaded: &LoadedCases,
    render: impl Fn(&Plan<'_>) -> String,
) -> Result<ExitCode, Problem> {
    let mut unread = false;
    for case in &loaded.cases {
        if let Some(plan) = readable(case, &mut unread) {
            print(&render(&plan));
        }
    }
    Ok(loaded.exit(unread))
}

/// One document over all cases that could be read.
fn together(
    paths: &[PathBuf],
    render: impl Fn(&[Plan<'_>]) -> String,
) -> Result<ExitCode, Problem> {
    let loaded = cases::load(paths)?;
    let mut unread = false;
    let plans: Vec<Plan<'_>> =
        loaded.cases.iter().filter_map(|case| readable(case, &mut unread)).collect();
    print(&render(&plans));
    Ok(loaded.exit(unread))
}

/// The plan, after reporting what is left out of it; or an error where there is none.
fn readable<'a>(case: &'a CheckedCase, unread: &mut bool) -> Option<Plan<'a>> {
    let Some(plan) = case.plan() else {
        *unread = true;
        not_read(case);
        return None;
    };
    for line in plan.left_out().lines() {
        *unread = true;
        crate::tell!("{}: {line}", case.path.display());
    }
    Some(plan)
}

pub fn not_read(case: &CheckedCase) {
    crate::tell!("{}: not a readable case; `springline check` says why.", case.path.display());
}
