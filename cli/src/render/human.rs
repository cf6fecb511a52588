//! Renders findings in their source text with ariadne, with a plain fallback that cannot fail. Names and
//! texts are of foreign origin: invisible characters are replaced before any colour is added.

use ariadne::{CharSet, Config, IndexType, Label, Report, ReportKind, Source};
use springline_emit::findings::{Position, starts_at};
use springline_lang::finding::FindingReport;
use springline_lang::finding::{Finding, FixKind, Severity};
use springline_lang::text::SourceFile;
use springline_lang::text::visible;
use springline_lang::text::visible::VisibleText;
use springline_lang::text::{FileId, Place};

/// How much is shown.
#[derive(Debug, Clone, Copy)]
pub struct Style {
    pub colour: bool,
    /// Advice one by one; otherwise it folds into one line.
    pub all: bool,
}

/// Everything found in one case, worst first.
pub fn findings(checked: &impl FindingReport, style: Style) -> String {
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
        let name = checked.files().first().map_or("".into(), |f| visible::line(&f.name));
        let what = if notes == 1 { "1 piece" } else { &format!("{notes} pieces") };
        out.push_str(&format!("{name}: {what} of advice not shown (list with --all)\n"));
    }
    out
}

fn accepted(finding: &Finding) -> String {
    let Some(acceptance) = &finding.accepted else { return String::new() };
    let up_to = acceptance.up_to.as_ref().map(|f| format!(", up to {f}")).unwrap_or_default();
    let until = acceptance.until.as_ref().map(|u| format!(", until {u}")).unwrap_or_default();
    format!(
        "accepted by {}{up_to}{until}: {} [{}]\n  because {}\n",
        visible::line(&acceptance.by),
        visible::text(&finding.message),
        finding.code,
        visible::line(&acceptance.reason)
    )
}

/// One finding.
pub fn one(checked: &impl FindingReport, finding: &Finding, style: Style) -> String {
    // A span outside its text must never bring the tool down.
    if !fits(checked, finding) {
        return plain(checked, finding);
    }
    let texts: Vec<ShownText<'_>> = checked.files().iter().map(ShownText::of).collect();
    let at = |place: &Place| {
        let text = texts.iter().find(|t| t.id == place.file);
        let range = place.span.range();
        text.map_or((String::new(), range.clone()), |t| {
            (t.name.clone(), t.shown.place(range.start)..t.shown.place(range.end))
        })
    };
    let kind = match finding.severity {
        Severity::Error => ReportKind::Error,
        Severity::Warning => ReportKind::Warning,
        Severity::Advice => ReportKind::Advice,
    };
    let config = Config::default()
        .with_index_type(IndexType::Byte)
        .with_color(style.colour)
        .with_char_set(CharSet::Unicode);
    let here = at(&finding.place);
    let mut label = Label::new(here.clone()).with_message(short(finding));
    if style.colour {
        label = label.with_color(match finding.severity {
            Severity::Error => ariadne::Color::Red,
            Severity::Warning => ariadne::Color::Yellow,
            Severity::Advice => ariadne::Color::Blue,
        });
    }
    let mut report = Report::build(kind, here)
        .with_config(config)
        .with_code(&finding.code)
        .with_message(visible::text(&finding.message))
        .with_label(label);
    for related in &finding.related {
        report = report.with_label(
            Label::new(at(&related.place))
                .with_message(visible::text(&related.message))
                .with_order(1),
        );
    }
    if let Some(why) = &finding.why {
        report = report.with_note(visible::text(why));
    }
    for note in &finding.notes {
        report = report.with_note(visible::text(note));
    }
    for fix in &finding.fixes {
        report = report.with_help(visible::text(&fix_text(fix)));
    }
    let sources: Vec<(String, Source<String>)> =
        texts.iter().map(|t| (t.name.clone(), Source::from(t.shown.text.to_string()))).collect();
    let mut bytes = Vec::new();
    let missing = |id: &String| -> Result<String, String> { Err(id.clone()) };
    let cache = ariadne::FnCache::new(missing).with_sources(sources.into_iter().collect());
    match report.finish().write(cache, &mut bytes) {
        Ok(()) => String::from_utf8(bytes).unwrap_or_else(|_| plain(checked, finding)),
        Err(_) => plain(checked, finding),
    }
}

/// A text of the case as it is shown, by the name it is shown under.
struct ShownText<'a> {
    id: FileId,
    name: String,
    shown: VisibleText<'a>,
}

impl<'a> ShownText<'a> {
    fn of(file: &'a SourceFile) -> ShownText<'a> {
        let name = visible::line(&file.name).into_owned();
        ShownText { id: file.id, name, shown: VisibleText::of(&file.text) }
    }
}

fn fix_text(fix: &springline_lang::finding::Fix) -> String {
    let outcome = fix.outcome.as_deref().map(|o| format!(" - {o}")).unwrap_or_default();
    match fix.kind {
        FixKind::Safe => format!("{}{outcome}", fix.title),
        FixKind::Clinical => format!("{}{outcome} (needs doctor's approval)", fix.title),
    }
}

/// The label under the marked text: the figure against its limit, or the step.
fn short(finding: &Finding) -> String {
    match (&finding.figure, &finding.step) {
        (Some(figure), _) => figure.against_limit(),
        (None, Some(step)) => format!("in `{step}`"),
        (None, None) => "here".to_owned(),
    }
}

fn fits(checked: &impl FindingReport, finding: &Finding) -> bool {
    let inside = |place: &springline_lang::text::Place| {
        checked.file(place.file).is_some_and(|f| {
            let range = place.span.range();
            f.text.get(range).is_some()
        })
    };
    inside(&finding.place) && finding.related.iter().all(|r| inside(&r.place))
}

/// One line: file, line, column, severity, message, name.
pub fn plain(checked: &impl FindingReport, finding: &Finding) -> String {
    let (name, Position { line, column }) = starts_at(checked, finding);
    let (name, message) = (visible::line(&name), visible::line(&finding.message));
    format!("{name}:{line}:{column}: {}: {message} [{}]", finding.severity, finding.code)
}
