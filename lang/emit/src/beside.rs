//! Two plans of one case beside each other: what each asks of the patient, and where each ends.

use maud::html;
use serde::Serialize;

use crate::caution::CAUTION;
use crate::document::document;
use crate::plan::Plan;
use crate::tables::two_digits;
use crate::{dates, masked, own_name, treatment_time, wording};
use springline_course::{BiteFigure, EndReason};
use springline_finding::Severity;
use springline_model::case::{ToothState, say_overjet};
use springline_units::quantity::{newtons_to_grams, plain, tenth};
use springline_units::tooth::{Arch, Side};

pub const SCHEMA: &str = "springline.compare/1";

/// Two plans of one case.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlansBeside {
    pub schema: &'static str,
    pub chart: String,
    /// What the two are called: their files.
    pub plans: [String; 2],
    pub rows: Vec<BesideRow>,
    pub note: &'static str,
}

/// One thing, as either plan has it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BesideRow {
    /// "Course", "Wires", "Forces", "Findings", "End".
    pub part: &'static str,
    pub what: String,
    pub values: [String; 2],
}

/// What a plan that has no such thing is said to have.
const NOTHING: &str = "-";

pub fn beside(plans: [(&str, &Plan<'_>); 2]) -> PlansBeside {
    let of = plans.map(|(_, plan)| lines(plan));
    let mut rows: Vec<BesideRow> = Vec::new();
    for (part, what, _) in of.iter().flatten() {
        if rows.iter().any(|row| row.part == *part && row.what == *what) {
            continue;
        }
        let value = |lines: &[BesideLine]| {
            let here = lines.iter().find(|(p, w, _)| p == part && w == what);
            here.map_or_else(|| NOTHING.to_owned(), |(_, _, value)| value.clone())
        };
        let values = [value(&of[0]), value(&of[1])];
        rows.push(BesideRow { part, what: what.clone(), values });
    }
    rows.sort_by_key(|row| PARTS.iter().position(|part| *part == row.part));
    PlansBeside {
        schema: SCHEMA,
        chart: masked(&plans[0].1.case.chart),
        plans: plans.map(|(name, _)| own_name(name)),
        rows,
        note: CAUTION,
    }
}

const PARTS: [&str; 5] = ["Course", "Wires", "Forces", "End", "Findings"];

/// A part, what it is, and its value.
type BesideLine = (&'static str, String, String);

fn lines(plan: &Plan<'_>) -> Vec<BesideLine> {
    let mut out = course(plan);
    out.extend(wires(plan));
    out.extend(forces(plan));
    out.extend(end(plan));
    out.extend(findings(plan));
    out
}

fn course(plan: &Plan<'_>) -> Vec<BesideLine> {
    let visits = &plan.forecast.visits;
    let minutes: f64 = visits.iter().map(|v| v.minutes).sum();
    let mut out = vec![
        ("Course", "Visits".to_owned(), plan.visits_in_all().to_string()),
        ("Course", "Chair time".to_owned(), format!("{} min", plain(minutes.round()))),
    ];
    if let (Some(first), Some(last)) = (visits.first(), visits.last()) {
        let weeks = (dates::days_between(first.date, last.date) / 7.0).round();
        out.push(("Course", "First to last visit".to_owned(), format!("{} wk", plain(weeks))));
        out.push(("Course", "Last visit".to_owned(), dates::long(last.date)));
    }
    let months = treatment_time::months(plan).map_or_else(
        || "not foreseen".to_owned(),
        |(low, high)| {
            if low == high { format!("{low} months") } else { format!("{low} to {high} months") }
        },
    );
    out.push(("Course", "Start to debond".to_owned(), months));
    for arch in &plan.forecast.arches {
        let stuck = arch.phases.iter().find_map(|p| match &p.end.reason {
            EndReason::Never { why } => Some(format!("{}: {why}", p.name)),
            _ => None,
        });
        let what = format!("{}, nothing brings", wording::arch(arch.arch));
        out.extend(stuck.map(|why| ("Course", what, why)));
    }
    out
}

fn wires(plan: &Plan<'_>) -> Vec<BesideLine> {
    let mut out = Vec::new();
    let n = plan.notation();
    for arch in &plan.forecast.arches {
        let names: Vec<String> =
            arch.phases.iter().filter(|p| !p.wire.kept).map(|p| p.wire.names()).collect();
        out.push(("Wires", wording::arch(arch.arch).to_owned(), names.join(", ")));
    }
    let taken: Vec<_> = plan.case.arches.iter().flat_map(|a| &a.states).collect();
    let taken = taken.into_iter().filter(|(_, (s, _))| {
        matches!(s, ToothState::Extracted { .. } | ToothState::Extract { .. })
    });
    let teeth: Vec<_> = taken.map(|(tooth, _)| *tooth).collect();
    let said = if teeth.is_empty() { "none".to_owned() } else { wording::list(&teeth, n) };
    out.push(("Wires", "Extractions".to_owned(), said));
    let kinds: Vec<&str> = plan.case.elastics.iter().map(|e| e.kind.word()).collect();
    let said = if kinds.is_empty() { "none".to_owned() } else { kinds.join(", ") };
    out.push(("Wires", "Elastics".to_owned(), said));
    out
}

/// The greatest force of each arch after 0.2 mm of movement, and where.
fn forces(plan: &Plan<'_>) -> Vec<BesideLine> {
    let n = plan.notation();
    let mut out = Vec::new();
    for arch in &plan.forecast.arches {
        let loads = arch.phases.iter().flat_map(|p| p.insertion.teeth.iter().map(move |t| (p, t)));
        let most = loads.max_by(|a, b| a.1.delivered_n.total_cmp(&b.1.delivered_n));
        let Some((phase, load)) = most else { continue };
        let grams = two_digits(newtons_to_grams(load.delivered_n));
        let said = format!("{grams} g on {} in {}", load.tooth.write(n), phase.name);
        out.push(("Forces", format!("{}, greatest after 0.2 mm", wording::arch(arch.arch)), said));
    }
    out
}

/// Where the bite ends, each figure with the goal.
fn end(plan: &Plan<'_>) -> Vec<BesideLine> {
    let Some(last) = plan.forecast.timeline.visits().last() else { return Vec::new() };
    let goal = plan.case.goal.as_ref().map(|g| &g.bite);
    let mut out = Vec::new();
    for figure in BiteFigure::ALL {
        let forecast = last.bite.forecast.iter().find(|f| f.figure == figure);
        let Some(value) = forecast.map(|f| f.value_mm) else { continue };
        let (what, value, aim) = match figure {
            BiteFigure::Overjet => (
                "Overjet".to_owned(),
                say_overjet(tenth(value)),
                goal.and_then(|g| g.overjet).map(|(jet, _)| say_overjet(jet.mm())),
            ),
            BiteFigure::Overbite => (
                "Overbite".to_owned(),
                if value < 0.0 { format!("open {}", mm(-value)) } else { mm(value) },
                goal.and_then(|g| g.overbite).map(|(l, _)| mm(springline_units::quantity::mm(l))),
            ),
            BiteFigure::Molars(side) => (format!("Molars {}", side.word()), class(value), None),
            BiteFigure::Canines(side) => (format!("Canines {}", side.word()), class(value), None),
            BiteFigure::Midline(arch) => (
                format!("{} midline", wording::arch(arch)),
                match value {
                    v if v.abs() < 0.05 => "on".to_owned(),
                    v => format!(
                        "{} to the {}",
                        mm(v.abs()),
                        if v > 0.0 { Side::Left } else { Side::Right }.word()
                    ),
                },
                None,
            ),
        };
        let aim = aim.map(|aim| format!(" (goal {aim})")).unwrap_or_default();
        out.push(("End", what, format!("{value}{aim}")));
    }
    for arch in Arch::BOTH {
        let Some(forecast) = plan.forecast.arch(arch) else { continue };
        let forward: f64 = forecast.phases.iter().map(|p| p.room.incisors_forward_mm).sum();
        let what = format!("{} incisors forward", wording::arch(arch));
        if forward >= 0.05 {
            out.push(("End", what, mm(forward)));
        }
    }
    out
}

fn mm(value: f64) -> String {
    format!("{} mm", plain(tenth(value)))
}

fn class(value: f64) -> String {
    match tenth(value) {
        v if v > 0.0 => format!("Class II {}", mm(v)),
        v if v < 0.0 => format!("Class III {}", mm(-v)),
        _ => "Class I".to_owned(),
    }
}

/// Every finding that is not accepted, by its name, with how often.
fn findings(plan: &Plan<'_>) -> Vec<BesideLine> {
    let mut out = Vec::new();
    for (severity, what) in [(Severity::Error, "Errors"), (Severity::Warning, "Warnings")] {
        let here: Vec<String> = plan
            .findings
            .iter()
            .filter(|f| f.severity == severity && f.accepted.is_none())
            .map(|f| f.code.to_string())
            .collect();
        let mut codes = here.clone();
        codes.sort();
        codes.dedup();
        let said = match here.len() {
            0 => "none".to_owned(),
            n => format!("{n}: {}", codes.join(", ")),
        };
        out.push(("Findings", what.to_owned(), said));
    }
    out.push(("Findings", "Accepted".to_owned(), plan.accepted().count().to_string()));
    out
}

/// For a terminal: one line a row, both values under their plans.
pub fn human(both: &PlansBeside) -> String {
    let mut out = format!("{}\n", both.chart);
    let widths = [
        both.rows.iter().map(|r| r.what.chars().count()).max().unwrap_or(0),
        both.rows
            .iter()
            .map(|r| r.values[0].chars().count())
            .chain([both.plans[0].chars().count()])
            .max()
            .unwrap_or(0)
            .min(48),
    ];
    let row = |what: &str, a: &str, b: &str| {
        let line = format!("  {what:<w$}  {a:<v$}  {b}", w = widths[0], v = widths[1]);
        format!("{}\n", line.trim_end())
    };
    out.push_str(&row("", &both.plans[0], &both.plans[1]));
    let mut part = "";
    for line in &both.rows {
        if line.part != part {
            part = line.part;
            out.push_str(&format!("{part}\n"));
        }
        out.push_str(&row(&line.what, &line.values[0], &line.values[1]));
    }
    out.push_str(&format!("{}\n", both.note));
    out
}

/// A page on its own.
pub fn page(both: &PlansBeside) -> String {
    let body = html! {
        section.page.plain {
            header.head-top {
                h2 { (both.chart) }
                span.kind { "Two plans" }
            }
            table.band-table {
                tr {
                    th scope="col" { "" }
                    @for name in &both.plans { th scope="col" { (name) } }
                }
                @for part in PARTS {
                    tr { th scope="colgroup" colspan="3" { (part) } }
                    @for row in both.rows.iter().filter(|row| row.part == part) {
                        tr {
                            th scope="row" { (row.what) }
                            @for value in &row.values { td { (value) } }
                        }
                    }
                }
            }
            p.note { (both.note) }
        }
    };
    document(&format!("{}: two plans", both.chart), "en", &[(both.chart.clone(), body)])
}
