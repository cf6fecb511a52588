//! Points that are picked on a page: the table as the page wants it, and what is measured from it so far.

use std::path::Path;
use std::sync::Arc;

use serde::{Deserialize, Serialize};
use springline_emit::tables::measured::{MeasuredTable, measured};
use springline_lang::finding::{Finding, Severity};
use springline_lang::model::{Case, House};
use springline_lang::stand_edit::StandPlace;
use springline_lang::text::FileId;
use springline_lang::units::tooth::{Arch, Notation, Tooth};
use springline_measure::{MeasuredTeeth, read_csv};

use super::point_rows::{PointRows, point_rows};
use crate::cases::fingerprint;
use crate::commands::measure::{self, MeasuredInto, PRINT_DIGITS, ReadingSources};
use crate::files::{self, Input};
use crate::problem::Problem;
use crate::today::today;

/// Standard deviation of a point picked on a page, mm: measured pairs of crowns repeat to 0.1 to 0.19 mm a point and
/// axis (own estimate from widths of pairs, true asymmetry included).
const ERROR_MM: f64 = 0.2;

/// `desk/points`: the table as it is on the page, to be kept and measured; without `text` only measured as it is kept.
#[derive(Debug, Deserialize)]
pub struct PointsParams {
    pub doc: String,
    pub text: String,
    pub base: Option<String>,
    /// The plan whose arch forms are laid through the teeth.
    #[serde(default)]
    pub case: Option<String>,
}

/// `desk/measured`: what was measured is written into a plan.
#[derive(Debug, Deserialize)]
pub struct MeasuredParams {
    pub doc: String,
    pub case: String,
}

/// The line of an arch form where it was laid, in the unit of the table.
#[derive(Debug, Serialize)]
pub struct DrawnLine {
    pub arch: Arch,
    pub points: Vec<[f64; 3]>,
}

/// A finding about points.
#[derive(Debug, Serialize)]
pub struct PointDoubt {
    pub code: String,
    pub severity: Severity,
    pub teeth: Vec<Tooth>,
    pub message: String,
    pub why: Option<String>,
    pub notes: Vec<String>,
}

/// A tooth, and how the practice writes it.
#[derive(Debug, Serialize)]
pub struct ShownTooth {
    pub tooth: Tooth,
    pub shown: String,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct PointsReading {
    /// What the text holds; nothing where it is no table of points.
    pub rows: Option<PointRows>,
    /// Why it is none.
    pub refused: Option<String>,
    pub teeth: Vec<ShownTooth>,
    pub measured: Option<MeasuredTable>,
    pub lines: Vec<DrawnLine>,
    pub doubts: Vec<PointDoubt>,
    /// As lines of a plan; of a named plan, those that it does not say yet.
    pub plan: String,
    /// Nothing stands against writing them.
    pub may_write: bool,
}

/// A table of points measured.
struct MeasuredText {
    read: MeasuredTeeth,
    findings: Vec<Finding>,
    prints: Vec<(String, String)>,
    from: ReadingSources,
}

/// The plan that points belong to.
pub struct PickedFor {
    pub input: Input,
    pub case: Arc<Case>,
    pub house: Option<Arc<House>>,
}

impl PickedFor {
    pub fn read(path: &Path) -> Result<PickedFor, Problem> {
        let (input, case, house) = measure::case_at(path)?;
        Ok(PickedFor { input, case, house })
    }
}

fn measure_text(text: &str, name: &str, plan: Option<&PickedFor>) -> Result<MeasuredText, Problem> {
    let (table, mut findings) = read_csv(FileId(0), text);
    let print = fingerprint(text)[..PRINT_DIGITS].to_owned();
    let prints = vec![(name.to_owned(), print)];
    let mut read = MeasuredTeeth::default();
    if let Some(table) = table {
        let form = |arch| {
            let (case, house) = (plan.map(|p| &*p.case), plan.and_then(|p| p.house.as_deref()));
            measure::named_line(None, arch, case, house)
        };
        let house = plan.and_then(|p| p.house.as_deref());
        let options = measure::options(&form(Arch::Upper)?, &form(Arch::Lower)?, house, ERROR_MM);
        let (measured, more) = springline_measure::measure_points(&table, &options);
        read = measured;
        findings.extend(more);
    }
    let on = today()?;
    let source = |a: &springline_measure::MeasuredArch| {
        let file = (prints[0].0.as_str(), prints[0].1.as_str());
        (a.arch, measure::reading_source(a, file, on, None, ERROR_MM))
    };
    let from = read.arches.iter().map(source).collect();
    Ok(MeasuredText { read, findings, prints, from })
}

/// What is known from the points so far.
pub fn reading(text: &str, name: &str, plan: Option<&PickedFor>) -> Result<PointsReading, Problem> {
    let notation =
        plan.and_then(|p| p.house.as_ref()).map_or(Notation::default(), |h| h.notation.value);
    let (rows, refused) = match point_rows(text) {
        Ok(rows) => (Some(rows), None),
        Err(why) => (None, Some(why)),
    };
    let MeasuredText { read, findings, prints, from } = measure_text(text, name, plan)?;
    let has_error = findings.iter().any(|f| f.severity == Severity::Error);
    let form = |arch: &springline_measure::MeasuredArch| {
        let own = plan.and_then(|p| p.case.arch(arch.arch));
        measure::form_name(own.map_or("", |a| &*a.form.value.name), arch)
    };
    let table =
        (!read.arches.is_empty()).then(|| measured(&read, &prints, ERROR_MM, &findings, form));
    let into = match plan {
        Some(plan) if !has_error && !read.arches.is_empty() => {
            Some(measure::written(&plan.input, &read, &from, StandPlace::Plan)?)
        }
        _ => None,
    };
    let own = match (&into, plan) {
        (Some(into), _) => into.lines.join("\n"),
        (None, Some(_)) => String::new(),
        (None, None) => measure::plan_lines(&read, &from, notation),
    };
    let unit = rows.as_ref().map_or(1.0, |r| r.units_per_mm());
    let line = |a: &springline_measure::MeasuredArch| DrawnLine {
        arch: a.arch,
        points: a.line_points.iter().map(|p| p.map(|x| x * unit)).collect(),
    };
    Ok(PointsReading {
        rows,
        refused,
        teeth: all_teeth().map(|t| ShownTooth { tooth: t, shown: t.write(notation) }).collect(),
        measured: table,
        lines: read.arches.iter().map(line).collect(),
        doubts: findings.into_iter().map(doubt).collect(),
        may_write: into.is_some_and(|i| plan.is_some_and(|p| i.text != *p.input.text)),
        plan: own,
    })
}

/// Writes what was measured into a plan, and says what it wrote.
pub fn write_into(text: &str, name: &str, path: &Path) -> Result<String, Problem> {
    let plan = PickedFor::read(path)?;
    let MeasuredText { read, findings, from, .. } = measure_text(text, name, Some(&plan))?;
    if let Some(error) = findings.iter().find(|f| f.severity == Severity::Error) {
        return Err(Problem::usage(
            format!("Nothing was written: {}", error.message),
            "Mend the point, then write.",
        ));
    }
    let MeasuredInto { text, lines, told } =
        measure::written(&plan.input, &read, &from, StandPlace::Plan)?;
    let is_new = text != *plan.input.text;
    if is_new {
        files::replace(path, &plan.input, text.as_bytes())?;
    }
    let count = match lines.len() {
        _ if !is_new => "Nothing is new for the plan.".to_owned(),
        1 => "1 line was written into the plan.".to_owned(),
        n => format!("{n} lines were written into the plan."),
    };
    Ok([vec![count], told].concat().join(" "))
}

/// Permanent and deciduous.
fn all_teeth() -> impl Iterator<Item = Tooth> {
    (1..=8).flat_map(|quadrant| (1..=8).filter_map(move |place| Tooth::iso(quadrant * 10 + place)))
}

fn doubt(finding: Finding) -> PointDoubt {
    PointDoubt {
        code: finding.code.as_str().to_owned(),
        severity: finding.severity,
        teeth: finding.teeth,
        message: finding.message,
        why: finding.why,
        notes: finding.notes,
    }
}
