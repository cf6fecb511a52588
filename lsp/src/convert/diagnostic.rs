//! Findings as diagnostics. The words are those of the finding, as in the terminal.

use springline_lang::finding::{FileId, Finding, Place, Severity, Span};
use springline_lang::syntax::tree::Parse;
use tower_lsp::ls_types::{
    CodeDescription, Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, Location,
    NumberOrString,
};

use crate::analysis::Stage;
use crate::position::Positions;
use crate::snapshot::{Reading, Snapshot};

/// Who says so.
pub const SOURCE: &str = "springline";

/// What a stage of the check found in a document.
pub fn of(snapshot: &Snapshot, stage: Stage) -> Vec<Diagnostic> {
    let reading = snapshot.reading();
    let checked = match stage {
        Stage::Language => None,
        Stage::Whole => snapshot.judged(),
    };
    let findings = checked.as_ref().map_or(&reading.read.findings, |c| &c.findings);
    let positions = snapshot.positions();
    let mut out: Vec<Diagnostic> =
        findings.iter().map(|f| diagnostic(f, snapshot, &reading, &positions)).collect();
    out.sort_by_key(|d| (d.range.start, d.range.end));
    out
}

/// One finding.
pub fn diagnostic(
    finding: &Finding,
    snapshot: &Snapshot,
    reading: &Reading,
    positions: &Positions<'_>,
) -> Diagnostic {
    let span = anchor(finding, &reading.read.parse);
    Diagnostic {
        range: positions.range(span),
        severity: Some(severity(finding)),
        code: Some(NumberOrString::String(finding.code.to_string())),
        code_description: page(finding, snapshot),
        source: Some(SOURCE.to_owned()),
        message: message(finding),
        related_information: related(finding, snapshot, reading),
        ..Diagnostic::default()
    }
}

/// The page that says what this kind of finding is.
fn page(finding: &Finding, snapshot: &Snapshot) -> Option<CodeDescription> {
    let session = &snapshot.session;
    let href = session.abilities().pages.then(|| session.pages.of(finding.code.0))??;
    Some(CodeDescription { href })
}

fn severity(finding: &Finding) -> DiagnosticSeverity {
    match (&finding.accepted, finding.severity) {
        (Some(_), _) => DiagnosticSeverity::HINT,
        (None, Severity::Error) => DiagnosticSeverity::ERROR,
        (None, Severity::Warning) => DiagnosticSeverity::WARNING,
        (None, Severity::Advice) => DiagnosticSeverity::INFORMATION,
    }
}

/// What is wrong, why it matters, and what else there is to know, each on a line.
pub fn message(finding: &Finding) -> String {
    if let Some(acceptance) = &finding.accepted {
        let by = &acceptance.by;
        return format!("accepted by {by}: {}\nbecause {}", finding.message, acceptance.reason);
    }
    let mut out = finding.message.clone();
    for line in finding.why.iter().chain(&finding.notes) {
        out.push('\n');
        out.push_str(line);
    }
    out
}

/// Where a finding is shown in the document it was found for. What lies in the house is shown at
/// the nearest thing in the case that leads there.
pub fn anchor(finding: &Finding, parse: &Parse) -> Span {
    let here = |place: &Place| place.file == parse.file;
    if here(&finding.place) {
        return finding.place.span;
    }
    if let Some(related) = finding.related.iter().map(|r| &r.place).find(|p| here(p)) {
        return related.span;
    }
    let arch = finding.teeth.first().map(|t| t.arch().word());
    let mut follows = parse.all_lines().filter(|l| l.keyword() == Some("follow"));
    let follow = follows.find(|l| arch.is_none() || l.parent().and_then(|p| p.keyword()) == arch);
    let used = || parse.lines().find(|l| l.keyword() == Some("use"));
    follow.or_else(used).map_or(Span::default(), |line| line.span())
}

fn related(
    finding: &Finding,
    snapshot: &Snapshot,
    reading: &Reading,
) -> Option<Vec<DiagnosticRelatedInformation>> {
    if !snapshot.session.abilities().related {
        return None;
    }
    let mut out = Vec::new();
    if finding.place.file != FileId(0)
        && let Some(location) = location(finding.place, snapshot, reading)
    {
        out.push(DiagnosticRelatedInformation { location, message: "written here".to_owned() });
    }
    for related in &finding.related {
        if let Some(location) = location(related.place, snapshot, reading) {
            out.push(DiagnosticRelatedInformation { location, message: related.message.clone() });
        }
    }
    (!out.is_empty()).then_some(out)
}

/// A place in any of the files of a case.
pub fn location(place: Place, snapshot: &Snapshot, reading: &Reading) -> Option<Location> {
    let file = reading.file(place.file)?;
    let uri = file.uri.clone()?;
    let positions = Positions::new(&file.text, &file.index, snapshot.session.encoding());
    Some(Location { uri, range: positions.range(place.span) })
}
