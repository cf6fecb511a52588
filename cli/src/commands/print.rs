//! `springline print` and `springline compile`: documents on disk.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use springline_lang::emit::tables::{calendar, schedule};
use springline_lang::emit::{self, Plan};

use crate::args::{Args, Compile, Print};
use crate::cases::{self, CheckedCase};
use crate::commands::check::{colour, print as show};
use crate::commands::tables::not_read;
use crate::files;
use crate::problem::Problem;
use crate::render::human::{self, Style};

/// One HTML file a case: cards, patient's sheet, repair card; only the hold card while an error
/// stands.
pub fn run(args: &Print) -> Result<ExitCode, Problem> {
    let cases = cases::load(&args.paths)?;
    folder(&args.to)?;
    let mut held = false;
    for case in &cases {
        let Some(plan) = case.plan() else {
            not_read(case);
            held = true;
            continue;
        };
        let path = write_pages(case, &plan, &args.to)?;
        let blocked = !plan.blocking().is_empty();
        held |= blocked;
        let what = if blocked { "HOLD card only: an error stands" } else { "cards" };
        println!("{}: {what} in {}", case.name(), path.display());
    }
    Ok(if held { ExitCode::from(1) } else { ExitCode::SUCCESS })
}

/// Checks, schedules and prints in one go.
pub fn compile(args: &Compile, all: &Args) -> Result<ExitCode, Problem> {
    let cases = cases::load(&args.paths)?;
    folder(&args.to)?;
    let mut unread = 0;
    let mut held = 0;
    let mut index = Vec::new();
    for case in &cases {
        let style = Style { colour: colour(all), all: false };
        show(&human::findings(&case.checked, style));
        let Some(plan) = case.plan() else {
            not_read(case);
            unread += 1;
            continue;
        };
        let page = write_pages(case, &plan, &args.to)?;
        let table = schedule::schedule(&plan);
        let stem = stem(case);
        write(&args.to.join(format!("{stem}.txt")), &schedule::human(&table))?;
        write(&args.to.join(format!("{stem}.ics")), &calendar::calendar(&table, plan.today))?;
        let blocked = !plan.blocking().is_empty();
        held += usize::from(blocked);
        index.push(line(&plan, &page, blocked));
    }
    show("\n");
    show(&index.concat());
    show(&format!(
        "\n{} cases: {} printed, {held} on hold, {unread} not read. Cards (.html), visits (.txt) and calendar \
         (.ics) are in {}.\nEstimates from textbook mechanics: the treating clinician's judgement and \
         local rules come first.\n",
        cases.len(),
        cases.len() - held - unread,
        args.to.display()
    ));
    Ok(if held + unread == 0 { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

/// One case in one line.
fn line(plan: &Plan<'_>, page: &Path, blocked: bool) -> String {
    let next = match plan.forecast.next_visit() {
        _ if blocked => "on hold: an error stands".to_owned(),
        Some(visit) => format!("next visit {}", visit.date),
        None => "no visit to come".to_owned(),
    };
    format!("{:<10} {next:<28} {}\n", plan.case.chart, page.display())
}

fn write_pages(case: &CheckedCase, plan: &Plan<'_>, to: &Path) -> Result<PathBuf, Problem> {
    let path = to.join(format!("{}.html", stem(case)));
    write(&path, &emit::html::case_document(plan))?;
    Ok(path)
}

/// The case file's own name: charts may hold signs that file systems do not take.
fn stem(case: &CheckedCase) -> String {
    case.path.file_stem().map_or_else(|| "case".to_owned(), |s| s.to_string_lossy().into_owned())
}

fn folder(path: &Path) -> Result<(), Problem> {
    fs::create_dir_all(path).map_err(|e| Problem::unwritable(path, &e))
}

fn write(path: &Path, text: &str) -> Result<(), Problem> {
    files::write(path, text.as_bytes())
}
