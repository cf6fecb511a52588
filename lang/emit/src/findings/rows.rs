//! Findings as flat JSON, one object per line, for data tools; schema in
//! `lang/docs/schemas/finding-row.json`. Within a version columns are only added.

use serde::Serialize;

use super::FilePositions;
use crate::caution::CAUTION;
use crate::{masked, own_name};
use springline_finding::Code;
use springline_finding::FindingReport;
use springline_finding::Severity;

pub const SCHEMA: &str = "springline.finding-row/1";

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FlatFindingRow {
    pub schema: &'static str,
    /// The file checked, and the file the finding is in: a case or its house file.
    pub file: String,
    pub chart: Option<String>,
    pub may_print: bool,
    pub code: Code,
    pub family: String,
    pub severity: Severity,
    pub at_file: String,
    pub line: usize,
    pub column: usize,
    pub step: Option<String>,
    pub teeth: Vec<u32>,
    pub figure: Option<f64>,
    pub limit: Option<f64>,
    pub unit: Option<&'static str>,
    pub message: String,
    pub accepted: bool,
    pub accepted_by: Option<String>,
    pub note: &'static str,
}

pub fn rows(checked: &impl FindingReport) -> Vec<FlatFindingRow> {
    let file = checked.files().first().map(|f| own_name(&f.name)).unwrap_or_default();
    let chart = checked.chart().map(masked);
    let may_print = checked.may_print();
    let row = |located: super::Located<'_>| {
        let f = located.finding;
        let figure = f.figure.as_ref().filter(|f| f.value.is_finite() && f.limit.is_finite());
        FlatFindingRow {
            schema: SCHEMA,
            file: file.clone(),
            chart: chart.clone(),
            may_print,
            code: f.code.clone(),
            family: f.code.family().to_owned(),
            severity: f.severity,
            at_file: located.at.file,
            line: located.at.region.start.line,
            column: located.at.region.start.column,
            step: f.step.as_deref().map(str::to_owned),
            teeth: f.teeth.iter().map(|t| t.code()).collect(),
            figure: figure.map(|f| f.value),
            limit: figure.map(|f| f.limit),
            unit: figure.map(|f| f.unit.symbol()),
            message: masked(&f.message),
            accepted: f.accepted.is_some(),
            accepted_by: f.accepted.as_ref().map(|a| masked(&a.by)),
            note: CAUTION,
        }
    };
    FilePositions::of(checked).located().into_iter().map(row).collect()
}

pub fn lines(checked: &impl FindingReport) -> String {
    let line =
        |row: &FlatFindingRow| serde_json::to_string(row).map(|s| s + "\n").unwrap_or_default();
    rows(checked).iter().map(line).collect()
}
