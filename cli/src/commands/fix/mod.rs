//! `springline fix`: shows the offered fixes as diffs and applies chosen ones.

mod apply;
mod ask;
mod session;
mod sheet;
mod show;

use std::process::ExitCode;

use springline_emit::caution::CAUTION;
use springline_emit::findings;
use springline_lang::Checker;

use crate::args::{Args, FixArgs, FixFormat};
use crate::cases;
use crate::commands::check::colour;
use crate::files;
use crate::problem::Problem;
use crate::today::today;

use sheet::FixSheet;

pub fn run(fix: &FixArgs, args: &Args) -> Result<ExitCode, Problem> {
    let today = today()?;
    let found = cases::listed(&fix.paths)?;
    let one = match found.plans.as_slice() {
        [one] => Some(one.path.clone()),
        _ => None,
    };
    let writes = fix.ask || fix.all_safe || !fix.apply.is_empty();
    if writes && found.plans.iter().any(|p| p.path.as_os_str() == "-") {
        return Err(Problem::usage(
            "Standard input cannot be written to.",
            "Name the file; without --apply, --all-safe and --ask its fixes are only shown.",
        ));
    }
    let mut session = session::FixSession { checker: Checker::new(), today, colour: colour(args) };
    if fix.ask || !fix.apply.is_empty() {
        let Some(path) = one else {
            return Err(Problem::usage(
                "Fixes are chosen in one file at a time.",
                "Name one file, or leave --apply and --ask out to see the fixes of all.",
            ));
        };
        return match fix.ask {
            true => ask::run(&mut session, &path),
            false => apply::chosen(&mut session, &path, &fix.apply, fix.format),
        };
    }
    let (mut refused, mut problems, mut sheets) = (false, found.problems, Vec::new());
    for plan in &found.plans {
        let done = match fix.all_safe {
            true => {
                apply::all_safe(&mut session, &plan.path, fix.format).map(|all| refused |= !all)
            }
            false => {
                files::read(&plan.path).map(|input| sheets.push(FixSheet::of(&mut session, input)))
            }
        };
        if let Err(problem) = done {
            problems += 1;
            problem.show();
        }
    }
    if !fix.all_safe {
        list(&sheets, fix.format, session.colour);
    }
    Ok(match (problems > 0, refused) {
        (true, _) => ExitCode::from(2),
        (false, true) => ExitCode::from(1),
        (false, false) => ExitCode::SUCCESS,
    })
}

fn list(sheets: &[FixSheet], format: FixFormat, colour: bool) {
    if format == FixFormat::Json {
        let offered: Vec<_> = sheets.iter().map(FixSheet::only_offered).collect();
        crate::output::print(&findings::json::text(&offered.iter().collect::<Vec<_>>()));
        return;
    }
    let with_fixes: Vec<&FixSheet> = sheets.iter().filter(|s| s.fixes() > 0).collect();
    for sheet in &with_fixes {
        crate::output::print_as_is(&show::sheet(sheet, colour));
    }
    let count: usize = with_fixes.iter().map(|s| s.fixes()).sum();
    match (count, sheets) {
        (0, [one]) => crate::say!("{}: no fix is offered.", one.input.name),
        (0, _) => crate::say!("{} files: no fix is offered.", sheets.len()),
        _ => crate::say!("{HOW}"),
    }
    crate::say!("{CAUTION}");
}

const HOW: &str = "Nothing was written. Apply one or several with --apply ID,ID, those that change only how the text \
                   is written with --all-safe, or choose one by one with --ask.";
