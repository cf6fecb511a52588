//! Accepting a finding: the `accept` line, and where to insert it.

use springline_lang::finding::Finding;
use springline_lang::syntax::{InsertAt, TreeEditor};
use springline_lang::units::quantity::plain;

use super::edits::TextEdit;
use super::text;
use crate::analysed_file::{AnalysedFile, arch_of};

/// Whether the doctor may take responsibility for it at all.
pub fn may_be_accepted(finding: &Finding) -> bool {
    finding.accepted.is_none()
        && !finding.code.is_language()
        && springline_lang::rules::rule(finding.code.as_str())
            .is_some_and(|rule| !rule.page().is_never_accepted())
}

/// How the reason is left open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reason {
    /// Two places to fill in, as snippets have them.
    ToFill,
    /// Empty quotes: a finding asks for the reason until it is written.
    Empty,
}

/// `accept force/sustained on 12 up to 70 g because "" by KL`.
pub fn line(finding: &Finding, analysed: AnalysedFile<'_>, reason: Reason) -> String {
    let mut out = format!("accept {}", finding.code);
    if !finding.teeth.is_empty() {
        out.push_str(&format!(" on {}", text::teeth(&finding.teeth, analysed.notation())));
    }
    if let Some(figure) = &finding.figure {
        out.push_str(&format!(" up to {} {}", rounded_up(figure.value), figure.unit));
    }
    let by = analysed.case().and_then(|c| c.doctor.clone()).unwrap_or_else(|| "XX".into());
    out.push_str(&match reason {
        Reason::ToFill => format!(" because \"${{1:why}}\" by ${{2:{by}}}"),
        Reason::Empty => format!(" because \"\" by {by}"),
    });
    out
}

/// The figure rounded up to two digits, so that the acceptance covers it.
fn rounded_up(value: f64) -> String {
    if value <= 0.0 || !value.is_finite() {
        return plain(value);
    }
    let scale = 10f64.powi(1 - value.log10().floor() as i32);
    plain((value * scale - 1e-9).ceil() / scale)
}

/// Inserts a line into the block of the step that the finding is about, else of the arch, else into the
/// case itself, because an acceptance applies to the block it is in.
pub fn insertion(finding: &Finding, analysed: AnalysedFile<'_>, line: &str) -> Option<TextEdit> {
    let parse = analysed.parse();
    let arch = finding.teeth.first().map(|t| t.arch());
    let around =
        || analysed.around(finding.place.span.start as usize).find(|l| arch_of(*l).is_some());
    let here = finding.place.file == parse.file;
    let arch_line = arch
        .and_then(|arch| parse.lines().find(|l| arch_of(*l) == Some(arch)))
        .or_else(|| here.then(around).flatten());
    let step_line = finding.step.as_ref().and_then(|name| {
        arch_line?.children().find(|line| line.step_name().is_some_and(|h| h.text() == &**name))
    });
    let block = step_line.or(arch_line.filter(|l| l.block().is_some()));
    let mut editor = TreeEditor::new(parse);
    editor.insert(block.map_or(InsertAt::End, |line| InsertAt::LastIn(line.id)), line);
    let edit = editor.finish()?.pop()?;
    Some(TextEdit { span: edit.place.span, text: edit.text })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::{Sample, unsafe_examples};

    #[test]
    fn an_acceptance_always_reaches_what_it_is_for() {
        for (value, text) in [(62.3, "63"), (110.0, "110"), (111.0, "120"), (0.412, "0.42")] {
            assert_eq!(rounded_up(value), text);
        }
    }

    /// Written as the editor writes it and given a reason, it answers the finding it was made for.
    #[test]
    fn an_acceptance_answers_its_finding() {
        let mut answered = 0;
        for (name, text) in unsafe_examples() {
            let sample = Sample::new(&text);
            let analysed = sample.analysed();
            for finding in analysed.findings().iter().filter(|f| may_be_accepted(f)) {
                let line = line(finding, analysed, Reason::Empty).replace("\"\"", "\"agreed\"");
                let edit = insertion(finding, analysed, &line).unwrap();
                let mut text = analysed.text().to_owned();
                text.replace_range(edit.span.range(), &edit.text);
                let after = Sample::new(&text);
                let same = |f: &&Finding| f.code == finding.code && f.teeth == finding.teeth;
                let found: Vec<&Finding> =
                    after.analysed().findings().iter().filter(same).collect();
                assert!(
                    found.iter().any(|f| f.accepted.is_some()),
                    "{name}: {line}\n{}\n{found:#?}\n{text}",
                    finding.message
                );
                answered += 1;
            }
        }
        assert!(answered > 20, "{answered}");
    }
}
