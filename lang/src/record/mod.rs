//! Records a visit: what was found and done becomes a `seen` block in the case's text.
//!
//! Existing text is never changed. The block is inserted by date, and the rest of the text stays the same
//! to the byte, unless the file was formatted before and can be formatted again.

mod ask;
mod case_form;
mod learned;
mod lines;
mod measured;
#[cfg(test)]
mod measured_distances;
mod new;
pub mod practice;

pub use ask::{VisitQuestion, questions, questions_at};
pub use case_form::{CaseQuestionKey, case_answers, case_question, file_stem};
pub use learned::{learned_lines, write_learned};
pub use lines::gather;
pub use measured::{ReadingSource, measured_lines, own_lines_first, reading_block, write_measured};
pub use new::{NewCaseAnswers, new_case};

use std::fmt;

use jiff::civil::Date;

use crate::check::LoweredFile;
use crate::settled::settled;
use springline_finding::{Finding, Severity};
use springline_syntax::ast::{MissedLine, SeenLine, StatementKind};
use springline_syntax::token::TokenKind;
use springline_syntax::{FileKind, InsertAt, Parse, StatementRef, TreeEditor, parse};
use springline_text::{Edit, FileId, Span};

/// One visit as the chair reports it: lines in the words of the language.
#[derive(Debug, Clone, PartialEq)]
pub struct VisitEntry {
    pub on: Date,
    pub by: Option<String>,
    /// `review`, `emergency` ...; a wire change need not say so.
    pub kind: Option<String>,
    /// `upper passive, now level with niti-16x22`, `tooth 12 space 4.6 mm` ...
    pub lines: Vec<String>,
}

/// Why a visit was not recorded; the text stays as it was.
#[derive(Debug, Clone, PartialEq)]
pub enum Refused {
    NotACase,
    NotAHouse,
    /// The text itself cannot be read, or its braces do not match.
    Unreadable,
    /// Nothing was entered.
    Empty,
    /// There is a visit of that day already, in this line (from 1).
    SameDay {
        on: Date,
        line: usize,
    },
    /// These lines are not in the words of the language.
    Lines(Vec<Finding>),
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Refused::NotACase => f.write_str("this file is not a case"),
            Refused::NotAHouse => f.write_str("this file is not a practice file"),
            Refused::Unreadable => f.write_str(
                "an error in the file hides where this belongs; correct it first (`springline check`)",
            ),
            Refused::Empty => f.write_str("there is nothing to record"),
            Refused::SameDay { on, line } => {
                write!(f, "a visit on {on} already exists in line {line}; add to it there")
            }
            Refused::Lines(findings) => {
                f.write_str("the visit cannot be read:")?;
                for finding in findings {
                    write!(f, "\n  {}", finding.message)?;
                }
                Ok(())
            }
        }
    }
}

/// The case's text with the visit, and the visit's range.
pub fn add(source: &str, entry: &VisitEntry) -> Result<(String, Span), Refused> {
    let before = parse(FileId(0), source);
    if before.unread.is_some() || before.braces_guessed {
        return Err(Refused::Unreadable);
    }
    if before.kind != FileKind::Case {
        return Err(Refused::NotACase);
    }
    if entry.lines.iter().all(|l| l.trim().is_empty()) {
        return Err(Refused::Empty);
    }
    if let Some(line) = same_day(&before, entry.on) {
        return Err(Refused::SameDay { on: entry.on, line });
    }
    let edit = inserted(&before, entry.on, &block(entry)).ok_or(Refused::Unreadable)?;
    let text = applied(source, &edit);
    let after = parse(FileId(0), &text);
    // The lines must not extend beyond their block, whatever they contain.
    let whole = after.braces_guessed || after.top.len() != before.top.len() + 1;
    let start = edit.place.span.start as usize;
    let written = Span::new(start, start + edit.text.len());
    let bad: Vec<Finding> = after
        .findings
        .iter()
        .filter(|f| f.severity == Severity::Error && overlaps(f.place.span, written))
        .cloned()
        .collect();
    if whole || !bad.is_empty() {
        return Err(Refused::Lines(bad));
    }
    let span = stands(&after, StatementKind::Seen, entry.on).ok_or(Refused::Unreadable)?;
    Ok((text, span))
}

/// A visit as it stands in the text.
#[derive(Debug, Clone, PartialEq)]
pub struct VisitWritten {
    /// The whole text, laid out where it was before.
    pub text: String,
    /// The `seen` block in it.
    pub block: String,
}

/// Writes a visit whose lines mean something: `read` lowers a text, and an error inside the block is a refusal.
pub fn write_visit(
    source: &str,
    entry: &VisitEntry,
    read: &mut dyn FnMut(&str) -> LoweredFile,
) -> Result<VisitWritten, Refused> {
    let (text, span) = add(source, entry)?;
    let lowered = read(&text);
    let inside = |f: &&Finding| {
        let place = f.place;
        f.severity == Severity::Error
            && place.file == FileId(0)
            && place.span.start >= span.start
            && place.span.end <= span.end
    };
    let wrong: Vec<Finding> = lowered.findings.iter().filter(inside).cloned().collect();
    if !wrong.is_empty() {
        return Err(Refused::Lines(wrong));
    }
    let notation = lowered.house.as_ref().map(|house| house.notation.value);
    let text = settled(&parse(FileId(0), source), text, notation);
    let stands = stands(&parse(FileId(0), &text), StatementKind::Seen, entry.on);
    let block = stands.and_then(|span| text.get(span.range())).unwrap_or_default();
    Ok(VisitWritten { block: block.trim_end().to_owned(), text })
}

/// Where the statement of that day stands, with its block and line end. What was put there is read as what
/// it is: a line before it may run on into it.
fn stands(after: &Parse, kind: StatementKind, on: Date) -> Option<Span> {
    let of_day = |l: &StatementRef<'_>| l.is(kind) && day_of(l) == Some(on);
    let line = after.lines().find(|l| l.is_read() && of_day(l))?;
    let end = line.whole_span().end;
    let rest = after.tokens.partition_point(|t| t.span.start < end);
    let newline = after.tokens.get(rest).filter(|t| t.kind == TokenKind::Newline);
    Some(Span { end: newline.map_or(end, |t| t.span.end), ..line.span() })
}

/// The case's text with an appointment that was not kept, in its place by date.
pub fn add_missed(source: &str, on: Date) -> Result<String, Refused> {
    let before = parse(FileId(0), source);
    if before.unread.is_some() || before.braces_guessed {
        return Err(Refused::Unreadable);
    }
    if before.kind != FileKind::Case {
        return Err(Refused::NotACase);
    }
    let known = before.lines().find(|l| l.is(StatementKind::Missed) && day_of(l) == Some(on));
    if let Some(line) = known {
        return Err(Refused::SameDay { on, line: line_number(&before, &line) });
    }
    if let Some(line) = same_day(&before, on) {
        return Err(Refused::SameDay { on, line });
    }
    let edit = inserted(&before, on, &format!("missed {on}")).ok_or(Refused::Unreadable)?;
    let text = applied(source, &edit);
    match stands(&parse(FileId(0), &text), StatementKind::Missed, on) {
        Some(_) => Ok(text),
        None => Err(Refused::Unreadable),
    }
}

/// The block as the formatter would write it, but for the spelling of its lines.
fn block(entry: &VisitEntry) -> String {
    let mut out = format!("seen {}", entry.on);
    if let Some(by) = &entry.by {
        out.push_str(&format!(" by {by}"));
    }
    if let Some(kind) = &entry.kind {
        out.push_str(&format!(" as {kind}"));
    }
    out.push_str(" {\n");
    for line in entry.lines.iter().map(|l| l.trim()).filter(|l| !l.is_empty()) {
        // A line break inside an answer would be a second statement.
        out.push_str(&format!("  {}\n", line.replace(['\n', '\r'], " ")));
    }
    out.push('}');
    out
}

/// A statement put behind the last visit, kept or missed, that is not later; before the first where all are;
/// at the end where there is none.
fn inserted(parse: &Parse, on: Date, statement: &str) -> Option<Edit> {
    let dated = |l: &StatementRef<'_>| {
        matches!(l.kind(), Some(StatementKind::Seen | StatementKind::Missed))
    };
    let visits: Vec<_> = parse.lines().filter(dated).collect();
    let earlier = visits.iter().rfind(|l| day_of(l).is_none_or(|d| d <= on));
    let at = match (earlier, visits.first()) {
        (Some(line), _) => InsertAt::After(line.id),
        (None, Some(first)) => InsertAt::Before(first.id),
        (None, None) => InsertAt::End,
    };
    let mut editor = TreeEditor::new(parse);
    editor.insert(at, statement);
    editor.finish()?.pop()
}

/// The text with what was put in, ended as a text is.
fn applied(source: &str, edit: &Edit) -> String {
    let mut text = source.to_owned();
    text.replace_range(edit.place.span.range(), &edit.text);
    if !text.ends_with('\n') {
        text.push_str(if text.contains("\r\n") { "\r\n" } else { "\n" });
    }
    text
}

fn day_of(line: &StatementRef<'_>) -> Option<Date> {
    let seen = SeenLine::cast(*line).map(|line| line.date);
    let date = seen.or_else(|| MissedLine::cast(*line).map(|line| line.date))?;
    date.date()?.date
}

fn same_day(parse: &Parse, on: Date) -> Option<usize> {
    let line = parse.lines().find(|l| l.is(StatementKind::Seen) && day_of(l) == Some(on))?;
    Some(line_number(parse, &line))
}

fn line_number(parse: &Parse, line: &StatementRef<'_>) -> usize {
    parse.source[..line.span().start as usize].matches('\n').count() + 1
}

fn overlaps(a: Span, b: Span) -> bool {
    a.start < b.end && b.start < a.end.max(a.start + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    const CASE: &str = "springline 1\ncase \"SM-0392\"\nupper {\n}\nseen 2026-10-12 by MT {\n  upper passive, kept\n} // as asked\nnote \"last\"\n";

    /// Found by the fuzzer.
    #[test]
    fn behind_a_line_that_runs_on_nothing_is_written() {
        let text = "case \"a\"\nseen 2026-10-12 {\n  upper passive, kept\n},\nln\n";
        let refused = add(text, &entry("2026-11-02", &["upper passive, kept"]));
        assert_eq!(refused, Err(Refused::Unreadable));
        assert_eq!(add_missed(text, "2026-11-02".parse().unwrap()), Err(Refused::Unreadable));
    }

    fn entry(on: &str, lines: &[&str]) -> VisitEntry {
        VisitEntry {
            on: on.parse().unwrap(),
            by: Some("KM".to_owned()),
            kind: None,
            lines: lines.iter().map(|l| (*l).to_owned()).collect(),
        }
    }

    #[test]
    fn a_visit_goes_behind_the_one_before_it() {
        let (text, span) = add(CASE, &entry("2026-11-16", &["upper binds at 13, kept"])).unwrap();
        insta::assert_snapshot!(text);
        let mut without = text.clone();
        without.replace_range(span.range(), "");
        assert_eq!(without, CASE, "nothing else changed");
    }

    #[test]
    fn an_earlier_visit_goes_before() {
        let (text, _) = add(CASE, &entry("2026-09-21", &["upper active, kept"])).unwrap();
        let first = text.find("2026-09-21").unwrap();
        assert!(first < text.find("2026-10-12").unwrap());
    }

    #[test]
    fn what_cannot_be_recorded_is_refused() {
        let refused = |on, lines: &[&str]| add(CASE, &entry(on, lines)).unwrap_err();
        assert!(matches!(
            refused("2026-10-12", &["upper passive"]),
            Refused::SameDay { line: 5, .. }
        ));
        assert_eq!(refused("2026-11-16", &[" "]), Refused::Empty);
        assert!(matches!(refused("2026-11-16", &["uper passive"]), Refused::Lines(_)));
        assert!(matches!(refused("2026-11-16", &["}", "upper {"]), Refused::Lines(_)));
        assert_eq!(
            add("practice \"Saltmarsh\"\n", &entry("2026-11-16", &["upper passive"])),
            Err(Refused::NotACase)
        );
    }

    #[test]
    fn a_missed_appointment_stands_among_the_visits() {
        let text = add_missed(CASE, "2026-11-10".parse().unwrap()).unwrap();
        assert_eq!(text, CASE.replace("} // as asked\n", "} // as asked\nmissed 2026-11-10\n"));
        let (text, _) = add(&text, &entry("2026-11-16", &["upper active, kept"])).unwrap();
        assert!(text.contains("missed 2026-11-10\nseen 2026-11-16"), "{text}");
        for (on, line) in [("2026-10-12", 5), ("2026-11-10", 8)] {
            let again = add_missed(&text, on.parse().unwrap());
            assert_eq!(again, Err(Refused::SameDay { on: on.parse().unwrap(), line }));
        }
    }

    #[test]
    fn line_ends_stay_as_they_are() {
        let case = CASE.replace('\n', "\r\n");
        let (text, _) = add(&case, &entry("2026-11-16", &["upper passive, kept"])).unwrap();
        assert_eq!(text.matches('\n').count(), text.matches("\r\n").count());
    }
}
