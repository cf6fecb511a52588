//! Findings as protocol diagnostics. The wording is that of the finding, as in the terminal.

use springline_lang::finding::{Finding, Severity};
use springline_lang::syntax::ast::StatementKind;
use springline_lang::syntax::tree::Parse;
use springline_lang::text::{FileId, Place, Span};
use tower_lsp::ls_types::{
    CodeDescription, Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, DiagnosticTag,
    Location, NumberOrString,
};

use crate::analysis::CheckStage;
use crate::features::while_typing::{self, CurrentFindings, LastPublished};
use crate::position::Positions;
use crate::snapshot::{Reading, Snapshot};

/// The source of the diagnostics.
pub const SOURCE: &str = "springline";

/// What a stage of the check found in a document.
pub fn of(snapshot: &Snapshot, stage: CheckStage) -> Vec<Diagnostic> {
    let reading = snapshot.reading();
    let checked = match stage {
        CheckStage::Language => None,
        CheckStage::Whole | CheckStage::Idle => snapshot.judged(),
    };
    let findings = checked.as_ref().map_or(&reading.read.findings, |c| &c.findings);
    let now = CurrentFindings { parse: &reading.read.parse, findings, is_whole: checked.is_some() };
    let (uri, published) = (&snapshot.document.uri, &snapshot.session.published);
    let last = published.last(uri);
    let before =
        last.as_ref().map(|last| LastPublished { checked: &last.checked, gone: &last.gone });
    let telling = while_typing::publication(now, snapshot.typing(), before);
    match (telling.holds_back, &checked, &last) {
        (false, Some(checked), _) if snapshot.is_current() => published.set(uri, checked.clone()),
        (_, _, Some(last)) => published.strike(uri, &last.checked, &telling.gone),
        _ => {}
    }
    if telling.holds_back {
        snapshot.hold_back();
    }
    let positions = snapshot.positions();
    let mut out = Vec::with_capacity(telling.shown.len());
    let mut not_judged: Vec<&Finding> = Vec::new();
    for shown in &telling.shown {
        let finding = &*shown.finding;
        if finding.code.as_str() == NOT_JUDGED {
            not_judged.push(finding);
            continue;
        }
        let mut one = diagnostic(finding, snapshot, &reading, &positions);
        if shown.is_past {
            one.message.push_str(PAST);
            one.data = Some(serde_json::json!({"asOf": "before"}));
        }
        out.push(one);
    }
    for finding in not_judged {
        add_not_judged(finding, snapshot, &reading, &positions, &mut out);
    }
    out.sort_by_key(|d| (d.range.start, d.range.end));
    out
}

const NOT_JUDGED: &str = "syntax/not-judged";

/// Note on a finding that comes from an earlier text.
const PAST: &str = "\nfrom before the line that is being written";

/// That a step or an arch is not judged is noted at the error that causes it: one mistake, one
/// diagnostic.
fn add_not_judged(
    finding: &Finding,
    snapshot: &Snapshot,
    reading: &Reading,
    positions: &Positions<'_>,
    out: &mut Vec<Diagnostic>,
) {
    let own = diagnostic(finding, snapshot, reading, positions);
    let inside = |d: &&mut Diagnostic| {
        d.severity == Some(DiagnosticSeverity::ERROR)
            && d.range.start <= own.range.end
            && own.range.start <= d.range.end
    };
    let Some(reason) = out.iter_mut().filter(inside).min_by_key(|d| d.range.start) else {
        out.push(own);
        return;
    };
    if snapshot.session.client_features().related {
        let location = Location { uri: snapshot.document.uri.clone(), range: own.range };
        let related = DiagnosticRelatedInformation { location, message: own.message };
        reason.related_information.get_or_insert_default().push(related);
    } else {
        reason.message.push('\n');
        reason.message.push_str(&own.message);
    }
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
        tags: tags(finding, snapshot),
        ..Diagnostic::default()
    }
}

/// What could be taken out without a difference is shown faded.
fn tags(finding: &Finding, snapshot: &Snapshot) -> Option<Vec<DiagnosticTag>> {
    const IDLE: [&str; 2] = ["name/change-without-effect", "record/stale-accept"];
    let idle = IDLE.contains(&finding.code.as_str()) && finding.accepted.is_none();
    let wanted = idle && snapshot.session.client_features().unnecessary;
    wanted.then(|| vec![DiagnosticTag::UNNECESSARY])
}

/// The documentation page of this finding's code.
fn page(finding: &Finding, snapshot: &Snapshot) -> Option<CodeDescription> {
    let session = &snapshot.session;
    let href =
        session.client_features().pages.then(|| session.pages.of(finding.code.as_str()))??;
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

/// The range of a finding in its document. A place in the practice file is shown at the nearest reference
/// to it in the case.
pub fn anchor(finding: &Finding, parse: &Parse) -> Span {
    let here = |place: &Place| place.file == parse.file;
    if here(&finding.place) {
        return finding.place.span;
    }
    if let Some(related) = finding.related.iter().map(|r| &r.place).find(|p| here(p)) {
        return related.span;
    }
    let arch = finding.teeth.first().map(|t| t.arch().word());
    let mut follows = parse.all_lines().filter(|l| l.is(StatementKind::Follow));
    let follow = follows.find(|l| arch.is_none() || l.parent().and_then(|p| p.keyword()) == arch);
    let used = || parse.lines().find(|l| l.is(StatementKind::Use));
    follow.or_else(used).map_or(Span::default(), |line| line.span())
}

fn related(
    finding: &Finding,
    snapshot: &Snapshot,
    reading: &Reading,
) -> Option<Vec<DiagnosticRelatedInformation>> {
    if !snapshot.session.client_features().related {
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
