//! `springline check`: judge cases.

use std::path::PathBuf;
use std::process::ExitCode;

use rayon::prelude::*;
use springline_lang::emit::findings;
use springline_lang::finding::Severity;
use springline_lang::fixes::Budget;
use springline_lang::{Checked, Checker, Options};

use crate::args::{Args, Check, Colour, FindingFormat, Threshold};
use crate::cases;
use crate::files;
use crate::problem::Problem;
use crate::render::human::{self, Style};
use crate::today::today;

pub fn run(check: &Check, args: &Args) -> Result<ExitCode, Problem> {
    let paths = files::find(&check.paths)?;
    if paths.is_empty() {
        return Err(Problem::usage(
            "There are no .spring files here.",
            "Name a case, or a folder that holds some.",
        ));
    }
    let mut problems = 0usize;
    let mut checked: Vec<Checked> = Vec::new();
    for result in check_all(&paths)? {
        match result {
            Ok(one) => checked.push(one),
            Err(problem) => {
                problems += 1;
                problem.show();
            }
        }
    }
    let checked: Vec<&Checked> = checked.iter().collect();
    print(&match check.format {
        FindingFormat::Human => {
            let style = Style { colour: colour(args), all: check.all };
            let each: String = checked.iter().map(|c| human::findings(c, style)).collect();
            each + &summary(&checked)
        }
        FindingFormat::Json => findings::json::text(&checked),
        FindingFormat::Sarif => findings::sarif::text(&checked, env!("CARGO_PKG_VERSION")),
        FindingFormat::Junit => findings::junit::text(&checked),
        FindingFormat::OneLine => findings::line::lines(&checked),
    });
    Ok(exit(&checked, problems, check.fail_on))
}

/// Every file checked, in the order of the paths; cases that share a house share its reading.
pub fn check_all(paths: &[PathBuf]) -> Result<Vec<Result<Checked, Problem>>, Problem> {
    let options = Options { today: Some(today()?) };
    let progress = cases::progress(paths.len());
    let out = paths
        .par_iter()
        .map_init(Checker::new, |checker, path| {
            let input = files::read(path)?;
            let library = input.library();
            let checked = checker.check(&input.source(), &library, &options);
            // What is offered here has been tried.
            let checked = checker.try_fixes(checked, &library, &options, Budget::default());
            progress.inc(1);
            Ok(checked)
        })
        .collect();
    progress.finish_and_clear();
    Ok(out)
}

fn summary(checked: &[&Checked]) -> String {
    let count = |severity| {
        checked
            .iter()
            .flat_map(|c| &c.findings)
            .filter(|f| f.severity == severity && f.accepted.is_none())
            .count()
    };
    let accepted =
        checked.iter().flat_map(|c| &c.findings).filter(|f| f.accepted.is_some()).count();
    let files = match checked.len() {
        1 => "1 file".to_owned(),
        n => format!("{n} files"),
    };
    let mut out = format!(
        "{files}: {}, {}",
        plural(count(Severity::Error), "error"),
        plural(count(Severity::Warning), "warning")
    );
    if accepted > 0 {
        out.push_str(&format!(", {accepted} accepted"));
    }
    out.push_str(
        ". Estimates from textbook mechanics: the treating clinician's judgement and local rules come first.\n",
    );
    out
}

fn plural(count: usize, noun: &str) -> String {
    match count {
        0 => format!("no {noun}s"),
        1 => format!("1 {noun}"),
        n => format!("{n} {noun}s"),
    }
}

fn exit(checked: &[&Checked], problems: usize, threshold: Threshold) -> ExitCode {
    if problems > 0 {
        return ExitCode::from(2);
    }
    let limit = match threshold {
        Threshold::Error => Severity::Error,
        Threshold::Warning => Severity::Warning,
        Threshold::Advice => Severity::Advice,
    };
    let fails = checked.iter().any(|c| c.worst().is_some_and(|w| w <= limit));
    if fails { ExitCode::from(1) } else { ExitCode::SUCCESS }
}

/// Colour only on a terminal, and as NO_COLOR and `--color` say.
pub fn colour(args: &Args) -> bool {
    match args.color {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => {
            anstream::AutoStream::choice(&std::io::stdout()) != anstream::ColorChoice::Never
        }
    }
}

/// To standard output; a reader who has seen enough is no error.
pub fn print(text: &str) {
    use std::io::Write as _;
    let mut out = std::io::stdout().lock();
    let _ = out.write_all(text.as_bytes());
    let _ = out.flush();
}
