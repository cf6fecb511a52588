//! The command line: files, terminal, exit codes. All knowledge of plans is in `springline-lang`.
//!
//! Exit codes: 0 nothing worse than the threshold; 1 findings; 2 could not run.

mod args;
mod ask;
mod by_git;
mod cache;
mod cases;
mod charts;
mod commands;
mod desk;
mod files;
mod find;
mod house_cache;
mod judge;
mod near;
mod output;
mod preview;
mod problem;
mod progress;
mod render;
mod report_cache;
mod secret;
mod today;

use std::process::ExitCode;

use clap::FromArgMatches as _;

use crate::args::{Args, Command};

fn main() -> ExitCode {
    let given = by_git::arguments(std::env::args_os().collect());
    let args = Args::from_arg_matches(&Args::cautioned().get_matches_from(given));
    let args = args.unwrap_or_else(|error| error.exit());
    problem::colour(&args);
    // A broken pipe (`springline check | head`) is no error of ours and no reason to panic.
    match run(&args) {
        Ok(code) => code,
        Err(problem) => {
            problem.show();
            ExitCode::from(2)
        }
    }
}

fn run(args: &Args) -> Result<ExitCode, problem::Problem> {
    match &args.command {
        Command::Check(check) => commands::check::run(check, args),
        Command::Fix(fix) => commands::fix::run(fix, args),
        Command::Fmt(fmt) => commands::fmt::run(fmt),
        Command::Compile(compile) => commands::print::compile(compile, args),
        Command::Forces(forces) => commands::tables::forces(forces),
        Command::Course(course) => commands::tables::course(course),
        Command::Schedule(schedule) => commands::tables::schedule(schedule),
        Command::Print(print) => commands::print::run(print),
        Command::VerifyPrint(verify) => commands::verify::run(verify),
        Command::Draw(draw) => commands::draw::run(draw),
        Command::Measure(measure) => commands::measure::run(measure, args),
        Command::Chart(chart) => commands::chart::run(chart),
        Command::Practice(practice) => commands::practice::run(practice),
        Command::Diff(diff) => commands::diff::run(diff),
        Command::Compare(compare) => commands::compare::run(compare),
        Command::Draft(draft) => commands::draft::run(draft),
        Command::New(new) => commands::new::run(new),
        Command::Seen(seen) => commands::seen::run(seen),
        Command::Learn(learn) => commands::learn::run(learn),
        Command::Explain(explain) => commands::explain::run(explain),
        Command::Preview(preview) => commands::preview::run(preview),
        Command::Desk(desk) => commands::desk::run(desk),
        Command::Pick(pick) => commands::pick::run(pick),
        Command::Lsp => Ok(commands::lsp::run()),
        Command::Completions(which) => commands::shell::completions(which),
        Command::Man(man) => commands::shell::man(man),
    }
}
