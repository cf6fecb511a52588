//! `springline practice`: lists over all cases of a folder.

use std::process::ExitCode;

use jiff::ToSpan as _;
use jiff::civil::Date;
use springline_emit::Plan;
use springline_emit::practice::{Ask, Overview, OverviewDays, listing, overview};
use springline_lang::finding::Severity;

use crate::args::{ListFormat, PracticeArgs, PracticeList};
use crate::cases;
use crate::commands::tables::not_read;
use crate::output::print;
use crate::problem::Problem;
use crate::today::today;

pub fn run(args: &PracticeArgs) -> Result<ExitCode, Problem> {
    if args.list == PracticeList::Steps {
        return super::steps::run(args);
    }
    if args.format == ListFormat::Jsonl {
        return Err(Problem::usage(
            "Only `steps` gives one row per line: it is one table with one kind of row.",
            "Use `springline practice steps --format jsonl`; the lists have `--format json`.",
        ));
    }
    let asked = asked(args.list);
    if args.format == ListFormat::Csv && asked.len() > 1 {
        return Err(Problem::usage(
            "A CSV file holds one list, and each list has columns of its own.",
            "Choose one: `springline practice day --format csv`.",
        ));
    }
    let days = days(args)?;
    let loaded = cases::load(&args.paths)?;
    let mut plans: Vec<Plan<'_>> = Vec::new();
    let mut unread = 0;
    for case in &loaded.cases {
        match case.plan() {
            Some(plan) => plans.push(plan),
            None => {
                unread += 1;
                not_read(case);
            }
        }
    }
    let mut found = overview(&plans, days, &asked);
    found.not_looked_at = unread + loaded.not_looked_at();
    print(&render(&found, args));
    let errors = found.findings.iter().flatten().any(|f| f.severity == Severity::Error);
    Ok(loaded.exit(unread > 0 || errors))
}

fn render(found: &Overview, args: &PracticeArgs) -> String {
    let listings = found.listings();
    match args.format {
        ListFormat::Human => listing::human(&listings),
        ListFormat::Json | ListFormat::Jsonl => {
            serde_json::to_string(found).map(|s| s + "\n").unwrap_or_default()
        }
        ListFormat::Csv => listings.first().map(listing::csv).unwrap_or_default(),
        ListFormat::Html => {
            let title = format!("Practice, {}", found.today);
            let foot =
                format!("{} cases \u{b7} {} \u{b7} {}", found.cases, cases::TOOL, found.today);
            listing::page(&title, &foot, &listings)
        }
    }
}

fn asked(list: PracticeList) -> Vec<Ask> {
    match list {
        PracticeList::All | PracticeList::Steps => Ask::ALL.to_vec(),
        PracticeList::Findings => vec![Ask::Findings],
        PracticeList::Day => vec![Ask::Day],
        PracticeList::Pull => vec![Ask::Pull],
        PracticeList::Stock => vec![Ask::Stock],
        PracticeList::Overdue => vec![Ask::Overdue],
        PracticeList::Departures => vec![Ask::Departures],
        PracticeList::Drawer => vec![Ask::Drawer],
    }
}

fn days(args: &PracticeArgs) -> Result<OverviewDays, Problem> {
    let today = today()?;
    let day: Date = match &args.date {
        None => today,
        Some(text) => text.parse().map_err(|_| {
            Problem::usage(
                format!("`{text}` is not a date."),
                "Write it as year-month-day, such as 2026-11-16.",
            )
        })?,
    };
    let weeks = i64::from(args.weeks.clamp(1, 104));
    let until = today.checked_add(weeks.weeks()).unwrap_or(today);
    Ok(OverviewDays { today, day, until })
}
