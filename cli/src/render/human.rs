//! Findings in the text they are about, through ariadne; with a plain form that cannot fail.

use ariadne::{CharSet, Config, IndexType, Label, Report, ReportKind, Source};
use springline_lang::emit::findings::{Position, starts_at};
use springline_lang::finding::{FileId, Finding, FixKind, Severity};
use springline_lang::kept::Reported;

/// How much is shown.
#[derive(Debug, Clone, Copy)]
pub struct Style {
    pub colour: bool,
    /// Advice one by one; otherwise it folds into one line.
    pub all: bool,
}

/// Everything found in one case, worst first.
pub fn findings(checked: &impl Reported, style: Style) -> String {
    let mut out = String::new();
    let folded = |f: &Finding| f.severity == Severity::Advice && f.accepted.is_none() && !style.all;
    for finding in checked.findings().iter().filter(|f| !folded(f) && f.accepted.is_none()) {
        out.push_str(&one(checked, finding, style));
        out.push('\n');
    }
    for finding in checked.findings().iter().filter(|f| f.accepted.is_some()) {
        out.push_str(&accepted(finding));
    }
    let notes = checked.findings().iter().filter(|f| folded(f)).count();
    if notes > 0 {
        let name = checked.files().first().map_or("", |f| f.name.as_str());
        let what = if notes == 1 { "1 note" } else { &format!("{notes} notes") };
        out.push_str(&format!("{name}: and {what} (shown with --all)\n"));
    }
    out
}

fn accepted(finding: &Finding) -> String {
    let Some(acceptance) = &finding.accepted else { return String::new() };
    let up_to = acceptance.up_to.as_ref().map(|f| format!(", up to {f}")).unwrap_or_default();
    let until = acceptance.until.as_ref().map(|u| format!(", until {u}")).unwrap_or_default();
    format!(
        "accepted by {}{up_to}{until}: {} [{}]\n  because {}\n",
        acceptance.by, finding.message, finding.code, acceptance.reason
    )
}

/// One finding.
pub fn one(checked: &impl Reported, finding: &Finding, style: Style) -> String {
    // A span outside its text must never bring the tool down.
    if !fits(checked, finding) {
        return plain(checked, finding);
    }
    let name = |id: FileId| checked.file(id).map_or("", |f| f.name.as_str()).to_owned();
    let kind = match finding.severity {
        Severity::Error => ReportKind::Error,
        Severity::Warning => ReportKind::Warning,
        Severity::Advice => ReportKind::Advice,
    };
    let config = Config::default()
        .with_index_type(IndexType::Byte)
        .with_color(style.colour)
        .with_char_set(CharSet::Unicode);
    let at = (name(finding.place.file), finding.place.span.range());
    let mut label = Label::new(at.clone()).with_message(short(finding));
    if style.colour {
        label = label.with_color(match finding.severity {
            Severity::Error => ariadne::Color::Red,
            Severity::Warning => ariadne::Color::Yellow,
            Severity::Advice => ariadne::Color::Blue,
        });
    }
    let mut report = Report::build(kind, at)
        .with_config(config)
        .with_code(finding.code)
        .with_message(&finding.message)
        .with_label(label);
    for related in &finding.related {
        report = report.with_label(
            Label::new((name(related.place.file), related.place.span.range()))
                .with_message(&related.message)
                .with_order(1),
        );
    }
    if let Some(why) = &finding.why {
        report = report.with_note(why);
    }
    for note in &finding.notes {
        report = report.with_note(note);
    }
    for fix in &finding.fixes {
        report = report.with_help(fix_text(fix));
    }
    let sources: Vec<(String, String)> =
        checked.files().iter().map(|f| (f.name.clone(), f.text.to_string())).collect();
    let mut bytes = Vec::new();
    let cache = ariadne::FnCache::new(|id: &String| -> Result<String, String> {
        sources.iter().find(|(n, _)| n == id).map(|(_, t)| t.clone()).ok_or_else(|| id.clone())
    })
    .with_sources(
        checked
            .files()
            .iter()
            .map(|f| (f.name.clone(), Source::from(f.text.to_string())))
            .collect(),
    );
    match report.finish().write(cache, &mut bytes) {
        Ok(()) => String::from_utf8(bytes).unwrap_or_else(|_| plain(checked, finding)),
        Err(_) => plain(checked, finding),
    }
}

fn fix_text(fix: &springline_lang::finding::Fix) -> String {
    let outcome = fix.outcome.as_deref().map(|o| format!(" - {o}")).unwrap_or_default();
    match fix.kind {
        FixKind::Safe => format!("{}{outcome}", fix.title),
        FixKind::Clinical => format!("{}{outcome} (for the doctor to choose)", fix.title),
    }
}

/// What stands under the marked text: the figure against its limit, or the step.
fn short(finding: &Finding) -> String {
    match (&finding.figure, &finding.step) {
        (Some(figure), _) => figure.against_limit(),
        (None, Some(step)) => format!("in `{step}`"),
        (None, None) => "here".to_owned(),
    }
}

fn fits(checked: &impl Reported, finding: &Finding) -> bool {
    let inside = |place: &springline_lang::finding::Place| {
        checked.file(place.file).is_some_and(|f| {
            let range = place.span.range();
            f.text.get(range).is_some()
        })
    };
    inside(&finding.place) && finding.related.iter().all(|r| inside(&r.place))
}

/// One line: file, line, column, severity, message, name.
pub fn plain(checked: &impl Reported, finding: &Finding) -> String {
    let (name, Position { line, column }) = starts_at(checked, finding);
    format!("{name}:{line}:{column}: {}: {} [{}]", finding.severity, finding.message, finding.code)
}
