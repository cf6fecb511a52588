//! `springline check`: checks cases and reports findings.

use std::process::ExitCode;

use springline_emit::caution::CAUTION;
use springline_emit::findings;
use springline_lang::check::rule_text;
use springline_lang::finding::FindingReport as _;
use springline_lang::finding::Severity;

use crate::report_cache::FileReport;
use springline_lang::text::visible;

use crate::args::{Args, CheckArgs, Colour, FindingFormat, Threshold};
use crate::cache::Cache;
use crate::cases;
use crate::find::PlanFile;
use crate::judge;
use crate::output::{print, print_as_is};
use crate::problem::Problem;
use crate::render::human::{self, Style};
use crate::today::today;

pub fn run(check: &CheckArgs, args: &Args) -> Result<ExitCode, Problem> {
    let found = cases::listed(&check.paths)?;
    let today = today()?;
    let cache = Cache::for_many(&check.storing, found.plans.len(), today);
    let style = Style { colour: colour(args), all: check.all };
    let mut tally =
        CheckTally { problems: found.problems, passed: found.passed, ..CheckTally::default() };
    // What is written file by file is not held in memory until the last one is done.
    let by_file = |kept: &FileReport| match check.format {
        FindingFormat::Human => Some(human::findings(kept, style)),
        FindingFormat::OneLine => Some(findings::line::lines(&[kept])),
        FindingFormat::Jsonl => Some(findings::rows::lines(kept)),
        _ => None,
    };
    let mut whole: Vec<FileReport> = Vec::new();
    let make = |kept: FileReport| {
        let text = by_file(&kept);
        let counts = CheckTally::of(&kept);
        (text, counts, if text_is_whole(check.format) { Some(kept) } else { None })
    };
    judge::each_report(&found.plans, today, cache.as_ref(), make, |result| match result {
        Ok((text, counts, kept)) => {
            tally.add(counts);
            whole.extend(kept);
            match text {
                // In colour, and what it quotes was made visible before.
                Some(text) if check.format == FindingFormat::Human => print_as_is(&text),
                Some(text) => print(&text),
                None => {}
            }
        }
        Err(problem) => {
            tally.problems += 1;
            problem.show();
        }
    });
    let whole: Vec<&FileReport> = whole.iter().collect();
    print(&match check.format {
        FindingFormat::Human => tally.summary() + &tally.offered(&found.plans),
        FindingFormat::Json => findings::json::text(&whole),
        FindingFormat::Sarif => findings::sarif::text(&whole, env!("CARGO_PKG_VERSION"), rule_text),
        FindingFormat::Junit => findings::junit::text(&whole),
        // One line per finding is read by an editor, so notes go to standard error.
        FindingFormat::OneLine => {
            crate::tell!("{CAUTION}");
            String::new()
        }
        FindingFormat::Jsonl => String::new(),
    });
    Ok(tally.exit(check.fail_on))
}

/// One document over all files.
fn text_is_whole(format: FindingFormat) -> bool {
    matches!(format, FindingFormat::Json | FindingFormat::Sarif | FindingFormat::Junit)
}

/// What was found, counted.
#[derive(Debug, Clone, Copy, Default)]
struct CheckTally {
    files: usize,
    errors: usize,
    warnings: usize,
    accepted: usize,
    worst: Option<Severity>,
    problems: usize,
    passed: usize,
    /// Fixes that `springline fix` shows.
    fixes: usize,
}

impl CheckTally {
    fn of(kept: &FileReport) -> CheckTally {
        let count = |severity| {
            let open = kept.findings.iter().filter(|f| f.accepted.is_none());
            open.filter(|f| f.severity == severity).count()
        };
        CheckTally {
            files: 1,
            errors: count(Severity::Error),
            warnings: count(Severity::Warning),
            accepted: kept.findings.iter().filter(|f| f.accepted.is_some()).count(),
            worst: kept.worst(),
            problems: 0,
            passed: 0,
            fixes: kept
                .findings
                .iter()
                .filter(|f| f.accepted.is_none())
                .map(|f| f.fixes.len())
                .sum(),
        }
    }

    fn add(&mut self, other: CheckTally) {
        self.files += other.files;
        self.errors += other.errors;
        self.warnings += other.warnings;
        self.accepted += other.accepted;
        self.fixes += other.fixes;
        self.worst = self.worst.into_iter().chain(other.worst).min();
    }

    fn summary(self) -> String {
        let files = match self.files {
            1 => "1 file".to_owned(),
            n => format!("{n} files"),
        };
        let mut out = format!(
            "{files}: {}, {}",
            plural(self.errors, "error"),
            plural(self.warnings, "warning")
        );
        if self.accepted > 0 {
            out.push_str(&format!(", {} accepted", self.accepted));
        }
        match self.problems + self.passed {
            0 => {}
            n => out.push_str(&format!("; {n} not checked")),
        }
        out.push_str(&format!(". {CAUTION}\n"));
        out
    }

    /// Names the command that shows the fixes, where there are any.
    fn offered(self, plans: &[PlanFile]) -> String {
        let file = match plans {
            [one] => visible::line(&one.path.display().to_string()).into_owned(),
            _ => "FILE".to_owned(),
        };
        match self.fixes {
            0 => String::new(),
            1 => format!("`springline fix {file}` shows 1 fix as a diff.\n"),
            n => format!("`springline fix {file}` shows {n} fixes as a diff.\n"),
        }
    }

    fn exit(self, threshold: Threshold) -> ExitCode {
        if self.problems > 0 {
            return ExitCode::from(2);
        }
        let limit = match threshold {
            Threshold::Error => Severity::Error,
            Threshold::Warning => Severity::Warning,
            Threshold::Advice => Severity::Advice,
        };
        if self.worst.is_some_and(|w| w <= limit) { ExitCode::from(1) } else { ExitCode::SUCCESS }
    }
}

fn plural(count: usize, noun: &str) -> String {
    match count {
        0 => format!("no {noun}s"),
        1 => format!("1 {noun}"),
        n => format!("{n} {noun}s"),
    }
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
