//! `springline practice steps`: every step of every case as one flat table. Formats written row by row
//! are streamed, not held in memory.

use std::process::ExitCode;

use springline_emit::practice::listing;
use springline_emit::practice::listing::Listing;
use springline_emit::practice::steps;
use springline_emit::practice::steps::PracticeStepRow;
use springline_emit::spreadsheet;

use crate::args::{ListFormat, PracticeArgs};
use crate::cache::Cache;
use crate::cases;
use crate::judge;
use crate::output::print;
use crate::problem::Problem;
use crate::today::today;

pub fn run(args: &PracticeArgs) -> Result<ExitCode, Problem> {
    if args.format == ListFormat::Json {
        return Err(Problem::usage(
            "The steps of a practice are a table, not one document.",
            "Use one row per line: `--format jsonl`, or `--format csv`.",
        ));
    }
    let today = today()?;
    let found = cases::listed(&args.paths)?;
    let cache = Cache::for_many(&args.storing, found.plans.len(), today);
    let mut rows: Vec<PracticeStepRow> = Vec::new();
    let mut cases = 0;
    let mut unread = false;
    let mut problems = found.problems;
    if args.format == ListFormat::Csv {
        print(&spreadsheet::head::<PracticeStepRow>());
    }
    judge::each_report(
        &found.plans,
        today,
        cache.as_ref(),
        |kept| kept,
        |result| match result {
            Ok(kept) if kept.is_house => {}
            Ok(kept) => {
                cases += 1;
                if kept.steps.is_empty() {
                    unread = true;
                    let name = kept.files.first().map_or("", |f| f.name.as_str());
                    crate::tell!("{name}: not a readable case; `springline check` says why.");
                }
                match args.format {
                    ListFormat::Jsonl => {
                        print(&kept.steps.iter().map(steps::line).collect::<String>())
                    }
                    ListFormat::Csv => {
                        print(&kept.steps.iter().map(spreadsheet::rows).collect::<String>())
                    }
                    _ => rows.extend(kept.steps),
                }
            }
            Err(problem) => {
                problems += 1;
                problem.show();
            }
        },
    );
    let listing = [listed(&rows)];
    match args.format {
        ListFormat::Human => print(&listing::human(&listing)),
        ListFormat::Html => {
            let foot = format!("{cases} cases \u{b7} {} \u{b7} {today}", cases::TOOL);
            print(&listing::page(&format!("Steps, {today}"), &foot, &listing));
        }
        ListFormat::Jsonl | ListFormat::Csv | ListFormat::Json => {}
    }
    Ok(match (problems > 0, unread) {
        (true, _) => ExitCode::from(2),
        (false, true) => ExitCode::from(1),
        (false, false) => ExitCode::SUCCESS,
    })
}

fn listed(rows: &[PracticeStepRow]) -> Listing {
    let day = |day: Option<jiff::civil::Date>| day.map(|d| d.to_string()).unwrap_or_default();
    let row = |r: &PracticeStepRow| {
        let weeks = match (r.passive_early_weeks, r.passive_median_weeks, r.passive_late_weeks) {
            (Some(early), Some(median), Some(late)) => {
                format!("{median:.0} ({early:.0}-{late:.0})")
            }
            _ => String::new(),
        };
        let peak = match (r.peak_g, r.peak_tooth) {
            (Some(g), Some(tooth)) => format!("{g:.0} g on {tooth}"),
            _ => String::new(),
        };
        vec![
            r.chart.clone(),
            r.arch.clone(),
            r.step.clone(),
            r.wire.clone(),
            day(r.date_in),
            day(r.date_out),
            weeks,
            peak,
        ]
    };
    Listing {
        title: "Steps".to_owned(),
        head: vec![
            "Chart",
            "Arch",
            "Step",
            "Wire",
            "In",
            "Out",
            "Weeks to passive",
            "Highest force",
        ],
        rows: rows.iter().map(row).collect(),
        none: "No case could be read.".to_owned(),
    }
}
