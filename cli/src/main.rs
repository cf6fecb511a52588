//! The command line: files, terminal, exit codes. What a plan means is asked of `springline-lang`.
//!
//! Exit codes: 0 nothing worse than the threshold; 1 findings; 2 could not run.

mod args;
mod commands;
mod files;
mod problem;
mod render;
mod today;

use std::process::ExitCode;

use clap::Parser as _;

use crate::args::{Args, Command};

fn main() -> ExitCode {
    let args = Args::parse();
    // A broken pipe (`springline check | head`) is no error of ours and no reason to panic.
    match run(&args) {
        Ok(code) => code,
        Err(problem) => {
            eprintln!("{:?}", miette::Report::new(problem));
            ExitCode::from(2)
        }
    }
}

fn run(args: &Args) -> Result<ExitCode, problem::Problem> {
    match &args.command {
        Command::Check(check) => commands::check::run(check, args),
        Command::Explain(explain) => commands::explain::run(explain),
    }
}
