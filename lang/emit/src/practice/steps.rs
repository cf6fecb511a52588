//! Every step of every case as one flat row, for data tools; schema in `lang/docs/schemas/step-row.json`.
//! Within a version columns are only added.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::caution::CAUTION;
use crate::masked;
use crate::spreadsheet::{Cell, Table};
use springline_course::{EndReason, Forecast, Phase, TimeBand};
use springline_finding::{Finding, Severity};
use springline_model::Case;
use springline_model::case::Growth;
use springline_units::quantity::newtons_to_grams;
use springline_units::tooth::Arch;

pub const SCHEMA: &str = "springline.step-row/1";

/// One step of one arch of one case. Weeks are of the patient faster than nine in ten, the median one,
/// and the one slower than nine in ten; forces are those when the wire goes in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PracticeStepRow {
    pub chart: String,
    pub house: String,
    pub doctor: Option<String>,
    pub growing: Option<bool>,
    pub start: Option<Date>,
    pub visits: u32,
    pub may_print: bool,
    pub errors: u32,
    pub warnings: u32,
    pub arch: String,
    /// From 1, in the order in which the arch goes through them.
    pub number: u32,
    pub step: String,
    pub wire: String,
    /// The wire is in, or has been.
    pub begun: bool,
    pub date_in: Option<Date>,
    pub date_out: Option<Date>,
    /// The end is recorded, not predicted.
    pub recorded: bool,
    pub passive_early_weeks: Option<f64>,
    pub passive_median_weeks: Option<f64>,
    pub passive_late_weeks: Option<f64>,
    pub peak_g: Option<f64>,
    pub peak_tooth: Option<u32>,
    pub sustained_g: Option<f64>,
    pub sustained_tooth: Option<u32>,
    pub irregularity_in_mm: f64,
    pub irregularity_out_mm: f64,
    pub room_missing_mm: f64,
    pub incisors_forward_mm: f64,
}

/// The rows of one case; none where it could not be read as far as a course.
pub fn step_rows(
    course: Option<(&Case, &Forecast)>,
    findings: &[Finding],
    may_print: bool,
) -> Vec<PracticeStepRow> {
    let Some((case, forecast)) = course else { return Vec::new() };
    let arches = forecast.arches.iter();
    arches
        .flat_map(|a| a.phases.iter().enumerate())
        .map(|(i, phase)| row(case, findings, may_print, i + 1, phase))
        .collect()
}

fn row(
    case: &Case,
    findings: &[Finding],
    may_print: bool,
    number: usize,
    phase: &Phase,
) -> PracticeStepRow {
    let open = |severity| {
        let open = findings.iter().filter(|f| f.accepted.is_none() && f.severity == severity);
        small(open.count())
    };
    let weeks = |of: fn(&TimeBand) -> f64| phase.passive.quarter.as_ref().map(|b| of(b) / 7.0);
    let (peak, sustained) = (phase.insertion.worst_peak(), phase.insertion.worst_sustained());
    PracticeStepRow {
        chart: masked(&case.chart),
        house: masked(&case.house.title),
        doctor: case.doctor.as_ref().map(|d| masked(d)),
        growing: match case.growth {
            Growth::Growing => Some(true),
            Growth::Adult => Some(false),
            Growth::Unknown => None,
        },
        start: case.start.map(|(on, _)| on),
        visits: small(case.visits.len()),
        may_print,
        errors: open(Severity::Error),
        warnings: open(Severity::Warning),
        arch: match phase.arch {
            Arch::Upper => "upper".to_owned(),
            Arch::Lower => "lower".to_owned(),
        },
        number: small(number),
        step: phase.name.to_string(),
        wire: phase.wire.names(),
        begun: phase.begun,
        date_in: phase.date_in,
        date_out: phase.end.date,
        recorded: matches!(phase.end.reason, EndReason::Recorded { .. }),
        passive_early_weeks: weeks(|b| b.early_days),
        passive_median_weeks: weeks(|b| b.median_days),
        passive_late_weeks: weeks(|b| b.late_days),
        peak_g: peak.map(|t| newtons_to_grams(t.peak_n)),
        peak_tooth: peak.map(|t| t.tooth.code()),
        sustained_g: sustained.map(|t| newtons_to_grams(t.sustained_n)),
        sustained_tooth: sustained.map(|t| t.tooth.code()),
        irregularity_in_mm: phase.passive.index_in_mm,
        irregularity_out_mm: phase.passive.index_left_mm,
        room_missing_mm: phase.room.missing_out_mm,
        incisors_forward_mm: phase.room.incisors_forward_mm,
    }
}

fn small(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

/// As one line of JSON.
pub fn line(row: &PracticeStepRow) -> String {
    #[derive(Serialize)]
    struct StepJsonLine<'a> {
        schema: &'static str,
        #[serde(flatten)]
        row: &'a PracticeStepRow,
        note: &'static str,
    }
    let line = StepJsonLine { schema: SCHEMA, row, note: CAUTION };
    serde_json::to_string(&line).map(|s| s + "\n").unwrap_or_default()
}

impl Table for PracticeStepRow {
    const HEAD: &'static [&'static str] = &[
        "chart",
        "house",
        "doctor",
        "growing",
        "start",
        "visits",
        "may_print",
        "errors",
        "warnings",
        "arch",
        "number",
        "step",
        "wire",
        "begun",
        "date_in",
        "date_out",
        "recorded",
        "passive_early_weeks",
        "passive_median_weeks",
        "passive_late_weeks",
        "peak_g",
        "peak_tooth",
        "sustained_g",
        "sustained_tooth",
        "irregularity_in_mm",
        "irregularity_out_mm",
        "room_missing_mm",
        "incisors_forward_mm",
    ];

    /// The values in the order of the columns, empty where there is none.
    fn rows(&self) -> Vec<Vec<Cell>> {
        let Ok(serde_json::Value::Object(mut fields)) = serde_json::to_value(self) else {
            return Vec::new();
        };
        let cell = |name: &&str| match fields.remove(*name) {
            Some(serde_json::Value::String(text)) => Cell::Words(text),
            Some(serde_json::Value::Null) | None => Cell::none(),
            Some(value) => Cell::plain(value),
        };
        vec![Self::HEAD.iter().map(cell).collect()]
    }
}
