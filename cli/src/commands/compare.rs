//! `springline compare`: two plans of one case beside each other.

use std::path::Path;
use std::process::ExitCode;

use springline_emit::Plan;
use springline_emit::beside;
use springline_lang::{CheckOptions, Checked, Checker, SourceText};

use crate::args::{CompareArgs, CompareFormat};
use crate::cases;
use crate::files;
use crate::output::print;
use crate::problem::Problem;
use crate::today::today;

pub fn run(args: &CompareArgs) -> Result<ExitCode, Problem> {
    let [first, second] = &args.files[..] else {
        return Err(Problem::usage("Two plans are compared.", "springline compare FIRST SECOND."));
    };
    let today = today()?;
    let mut checker = Checker::new();
    let mut read = |path: &Path| -> Result<Checked, Problem> {
        let input = files::read(path)?;
        let source = SourceText { name: input.name.clone(), text: input.text.clone() };
        Ok(checker.check(&source, &input.library(), &CheckOptions { today: Some(today) }))
    };
    let (a, b) = (read(first)?, read(second)?);
    let stamps = (cases::stamp(&a, today), cases::stamp(&b, today));
    let plans = (
        Plan::of(a.course(), &a.findings, today, &stamps.0),
        Plan::of(b.course(), &b.findings, today, &stamps.1),
    );
    let (Some(one), Some(two)) = plans else {
        return Err(Problem::usage(
            "One of the two cannot be read as a case.",
            "Run `springline check` on both.",
        ));
    };
    if one.case.chart != two.case.chart {
        return Err(Problem::usage(
            "These are plans of two patients.",
            "Two plans are compared if they have the same chart reference.",
        ));
    }
    let name = |path: &Path| path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let both = beside::beside([(&name(first), &one), (&name(second), &two)]);
    print(&match args.format {
        CompareFormat::Human => beside::human(&both),
        CompareFormat::Json => serde_json::to_string(&both).map(|s| s + "\n").unwrap_or_default(),
        CompareFormat::Html => beside::page(&both),
    });
    Ok(ExitCode::SUCCESS)
}
