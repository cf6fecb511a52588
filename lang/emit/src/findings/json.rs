//! Findings as JSON; schema in `lang/docs/schemas/findings.json`.

use serde::Serialize;

use super::{FilePositions, Region, fix_id};
use crate::caution::CAUTION;
use crate::{masked, own_name};
use springline_finding::FindingReport;
use springline_finding::{Code, Figure, FixKind, Severity};

pub const SCHEMA: &str = "springline.findings/1";

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Report {
    pub schema: &'static str,
    pub cases: Vec<CaseFindings>,
    pub note: &'static str,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CaseFindings {
    pub file: String,
    /// Chart reference; absent where the file is no case.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chart: Option<String>,
    /// There is no error that the doctor has not accepted.
    pub may_print: bool,
    pub findings: Vec<FindingRow>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FindingRow {
    pub code: Code,
    pub severity: Severity,
    pub message: String,
    pub at: At,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub figure: Option<Figure>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub related: Vec<RelatedRow>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub fixes: Vec<FixRow>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub teeth: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub step: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub accepted: Option<AcceptedRow>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct At {
    pub file: String,
    #[serde(flatten)]
    pub region: Region,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RelatedRow {
    pub at: At,
    pub message: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FixRow {
    /// What `springline fix FILE --apply` takes; good for these texts only.
    pub id: String,
    pub title: String,
    pub kind: FixKind,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outcome: Option<String>,
    pub edits: Vec<EditRow>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EditRow {
    pub at: At,
    pub text: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AcceptedRow {
    pub by: String,
    pub reason: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub up_to: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub until: Option<String>,
}

pub fn report(checked: &[&impl FindingReport]) -> Report {
    Report { schema: SCHEMA, cases: checked.iter().map(|c| case(*c)).collect(), note: CAUTION }
}

/// Pretty-printed, so that two runs can be compared line by line.
pub fn text(checked: &[&impl FindingReport]) -> String {
    serde_json::to_string_pretty(&report(checked)).unwrap_or_default() + "\n"
}

fn case(checked: &impl FindingReport) -> CaseFindings {
    let places = FilePositions::of(checked);
    let at = |place| {
        let spot = places.spot(place);
        At { file: spot.file, region: spot.region }
    };
    let findings = checked
        .findings()
        .iter()
        .map(|f| FindingRow {
            code: f.code.clone(),
            severity: f.severity,
            message: masked(&f.message),
            at: at(f.place),
            figure: f.figure.clone().filter(|f| f.value.is_finite() && f.limit.is_finite()),
            why: f.why.as_deref().map(masked),
            notes: f.notes.iter().map(|n| masked(n)).collect(),
            related: f
                .related
                .iter()
                .map(|r| RelatedRow { at: at(r.place), message: masked(&r.message) })
                .collect(),
            fixes: f
                .fixes
                .iter()
                .map(|x| FixRow {
                    id: fix_id(checked.files(), x),
                    title: masked(&x.title),
                    kind: x.kind,
                    outcome: x.outcome.as_deref().map(masked),
                    edits: x
                        .edits
                        .iter()
                        .map(|e| EditRow { at: at(e.place), text: masked(&e.text) })
                        .collect(),
                })
                .collect(),
            teeth: f.teeth.iter().map(|t| t.to_string()).collect(),
            step: f.step.as_deref().map(str::to_owned),
            accepted: f.accepted.as_ref().map(|a| AcceptedRow {
                by: masked(&a.by),
                reason: masked(&a.reason),
                up_to: a.up_to.clone(),
                until: a.until.clone(),
            }),
        })
        .collect();
    CaseFindings {
        file: checked.files().first().map(|f| own_name(&f.name)).unwrap_or_default(),
        chart: checked.chart().map(masked),
        may_print: checked.may_print(),
        findings,
    }
}
