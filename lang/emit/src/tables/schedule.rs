//! The schedule: dated visits, both arches merged.

use jiff::civil::Date;
use serde::Serialize;

use crate::spreadsheet::{Cell, Table};
use crate::{Plan, VisitToday, masked};
use springline_course::{ArchVisit, PlannedVisit, VisitReason};
use springline_model::Case;
use springline_model::house::Task;
use springline_model::step::Term;
use springline_units::tooth::Arch;

pub const SCHEMA: &str = "springline.schedule/1";

/// One arch at one visit, in words.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ArchRow {
    pub arch: Arch,
    pub step: Option<String>,
    /// Step that begins when the wire is passive.
    pub then: Option<String>,
    pub test: Vec<String>,
    pub words: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VisitRow {
    pub number: usize,
    pub date: Date,
    pub earliest: Date,
    pub latest: Date,
    pub recorded: bool,
    pub was_planned_for: Option<Date>,
    pub kind: Task,
    pub minutes: f64,
    pub arches: Vec<ArchRow>,
    pub reason: String,
    /// Share of patients whose wire is passive by then, where that dates the visit.
    pub quantile: Option<f64>,
    pub key: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Schedule {
    pub schema: &'static str,
    pub chart: String,
    pub visits: Vec<VisitRow>,
    pub booked: String,
    pub note: &'static str,
}

const NOTE: &str = concat!(
    "Dates are planned from the forecast and the practice's intervals; the clinician decides at the visit. ",
    crate::caution::caution!()
);

pub fn schedule(plan: &Plan<'_>) -> Schedule {
    let visits = plan
        .forecast
        .visits
        .iter()
        .enumerate()
        .map(|(i, v)| row(plan.number_of(i), v, plan))
        .collect();
    let booking = &plan.forecast.booking;
    let share = (booking.at * 100.0).round();
    Schedule {
        schema: SCHEMA,
        chart: crate::masked(&plan.case.chart),
        visits,
        booked: format!("booked for the day by which {share:.0} in 100 wires are passive"),
        note: NOTE,
    }
}

fn row(number: usize, visit: &PlannedVisit, plan: &Plan<'_>) -> VisitRow {
    VisitRow {
        number,
        date: visit.date,
        earliest: visit.window.0,
        latest: visit.window.1,
        recorded: visit.recorded.is_some(),
        was_planned_for: visit.was_planned_for,
        kind: visit.kind,
        minutes: visit.minutes,
        arches: visit.arches.iter().map(|a| arch_row(a, visit, plan)).collect(),
        reason: reason(number, &visit.reason, plan),
        quantile: visit.quantile,
        key: visit.key.clone(),
    }
}

fn arch_row(seen: &ArchVisit, visit: &PlannedVisit, plan: &Plan<'_>) -> ArchRow {
    let step = seen.name.as_ref().map(ToString::to_string);
    let then = seen.next_name.as_ref().map(ToString::to_string);
    let words = match (&step, &then) {
        _ if visit.recorded.is_some() => match &then {
            Some(then) => format!("changed to {then}"),
            None => step.clone().map_or_else(|| "seen".to_owned(), |s| format!("{s} kept")),
        },
        (None, Some(then)) => format!("place {then}"),
        (Some(step), Some(then)) if seen.change_expected => {
            format!("{}: {then}", when_done(seen.arch, step, plan.case))
        }
        (Some(step), Some(then)) => {
            format!("check {step}; {then} only {}", when_done(seen.arch, step, plan.case))
        }
        (Some(step), None) => format!("keep {step}"),
        (None, None) => "nothing planned".to_owned(),
    };
    ArchRow {
        arch: seen.arch,
        step,
        then,
        test: seen.test.iter().map(|t| t.write(plan.notation())).collect(),
        words,
    }
}

/// What has to be so before the next step goes in: as the plan has it, and as the card asks.
fn when_done(arch: Arch, step: &str, case: &Case) -> String {
    let planned = case.arch(arch).and_then(|a| a.steps.iter().find(|s| *s.name == *step));
    let Some(until) = planned.map(|s| &s.until.value) else {
        return format!("if {step} is passive");
    };
    let all = |is: fn(&Term) -> bool| until.terms.iter().all(is);
    let text = until.text.trim_start_matches("until ");
    if all(|t| matches!(t, Term::Passive)) {
        format!("if {step} is passive")
    } else if all(|t| matches!(t, Term::Decided)) {
        format!("if the doctor ends {step}")
    } else if all(|t| matches!(t, Term::Time { .. } | Term::Settled)) {
        format!("after the time of {step} ({text})")
    } else {
        format!("if {step} has reached {text}")
    }
}

fn reason(number: usize, reason: &VisitReason, plan: &Plan<'_>) -> String {
    match reason {
        VisitReason::Start => "start".to_owned(),
        VisitReason::Passive { arch } => format!("{arch} wire passive"),
        VisitReason::Due { arch } => format!("due in the {arch} arch"),
        VisitReason::LongestInterval => "longest interval".to_owned(),
        VisitReason::Supervision { what } if what == "elastics" => {
            elastics(number, plan).to_owned()
        }
        VisitReason::Supervision { what } => format!("to check the {what}"),
        VisitReason::Debond => {
            let because = plan.case.debond.as_ref().and_then(|d| d.because.as_deref());
            because.map_or("debond".to_owned(), |why| format!("debond: {}", masked(why)))
        }
        VisitReason::NotForeseen { arch } => {
            let who = plan.case.doctor.as_deref().unwrap_or("the doctor");
            format!("{who} decides: what the {arch} arch waits for is not foreseen")
        }
        VisitReason::Recorded => "recorded".to_owned(),
    }
}

/// Why a visit is that elastics set the day of: they are worn when the patient comes, or begin then, or one arch is
/// ready for them and waits for the other.
fn elastics(number: usize, plan: &Plan<'_>) -> &'static str {
    match VisitToday::of(plan, number) {
        Some(today) if today.was_worn() => "to check the elastics",
        Some(today) if !today.moment.elastics_after.is_empty() => "elastics begin",
        _ => "to look at the wires",
    }
}

pub fn human(schedule: &Schedule, plan: &Plan<'_>) -> String {
    let mut out = format!("{}: visits\n{}\n", schedule.chart, plan.left_out());
    if schedule.visits.is_empty() {
        out.push_str(&format!("  none: {}\n", plan.why_no_visit()));
    }
    for visit in &schedule.visits {
        let window = if visit.recorded {
            match visit.was_planned_for {
                Some(day) if day != visit.date => format!("recorded; was planned for {day}"),
                _ => "recorded".to_owned(),
            }
        } else {
            format!(
                "{} to {}, {:.0} min, {}",
                visit.earliest, visit.latest, visit.minutes, visit.reason
            )
        };
        out.push_str(&format!(
            "  {:>2}  {}  {}  ({window})\n",
            visit.number,
            visit.date,
            visit.kind.word()
        ));
        for arch in &visit.arches {
            let test = if arch.test.is_empty() || visit.recorded {
                String::new()
            } else {
                format!("  [test {}]", arch.test.join(", "))
            };
            out.push_str(&format!(
                "        {:<6} {}{test}\n",
                format!("{}:", arch.arch),
                arch.words
            ));
        }
    }
    out.push_str(&format!("\n{}. {}\n", springline_text::capital(&schedule.booked), schedule.note));
    out
}

impl Table for Schedule {
    const HEAD: &'static [&'static str] = &[
        "chart", "number", "date", "earliest", "latest", "recorded", "kind", "minutes", "upper",
        "lower", "reason",
    ];

    fn rows(&self) -> Vec<Vec<Cell>> {
        let row = |v: &VisitRow| {
            let of = |arch: Arch| {
                let seen = v.arches.iter().find(|a| a.arch == arch);
                Cell::words(seen.map_or("", |a| a.words.as_str()))
            };
            vec![
                Cell::words(&self.chart),
                Cell::plain(v.number),
                Cell::plain(v.date),
                Cell::plain(v.earliest),
                Cell::plain(v.latest),
                Cell::plain(v.recorded),
                Cell::words(v.kind.word()),
                Cell::figure(v.minutes, 0),
                of(Arch::Upper),
                of(Arch::Lower),
                Cell::words(&v.reason),
            ]
        };
        self.visits.iter().map(row).collect()
    }
}
