//! Findings about a file as a whole: its size, its braces, its opening lines.

use super::super::balance::{DEPTH_LIMIT, Unclosed};
use super::super::limits::{EDITION, FINDING_LIMIT, SIZE_LIMIT};
use super::super::tree::{FileKind, Parse, StatementRef};
use springline_finding::{Finding, Fix, FixKind};
use springline_text::{FileId, Place, Span};

pub fn too_large(file: FileId) -> Finding {
    let place = Place { file, span: Span::new(0, 0) };
    // A text that is not read has no known size.
    let limit = SIZE_LIMIT >> 20;
    Finding::error(
        "syntax/too-large",
        place,
        format!("This file is larger than {limit} MB, the most that Springline reads."),
    )
    .why("A two-year case is about ten kilobytes, so this is probably another kind of file.")
}

pub fn too_deep(place: Place) -> Finding {
    Finding::error(
        "syntax/too-deep",
        place,
        format!("Braces are nested deeper than {DEPTH_LIMIT} here."),
    )
    .why("The file was not read: the language needs only four levels, so closing braces are probably missing.")
}

pub fn newer_edition(place: Place, edition: u32) -> Finding {
    Finding::error(
        "syntax/newer-edition",
        place,
        format!("This file is written for edition {edition}; this program knows edition {EDITION}."),
    )
    .why("A newer edition may give the same words another meaning, so the file is not checked, printed or \
        changed.")
    .note("Use a newer Springline.")
}

pub fn too_many(parse: &Parse) -> Finding {
    let end = parse.source.len();
    Finding::error(
        "syntax/too-many",
        parse.place(Span::new(end, end)),
        format!("There are more than {FINDING_LIMIT} such findings; the rest are not listed."),
    )
}

/// The line of an offset, counted from one.
fn line_number(source: &str, offset: u32) -> usize {
    let before = source.get(..offset as usize).unwrap_or(source);
    before.bytes().filter(|b| *b == b'\n').count() + 1
}

/// A statement's first words, for a sentence.
pub fn head(text: &str) -> String {
    let text = text.trim_end_matches('{').trim();
    let short: Vec<&str> = text.split_whitespace().take(2).collect();
    short.join(" ").trim_end_matches(',').to_owned()
}

pub fn unclosed(parse: &Parse, unclosed: &Unclosed, inner: &[&Unclosed]) -> Finding {
    let mut name = head(parse.text(unclosed.head));
    if name.is_empty() {
        name = "{".to_owned();
    }
    let braces = inner.iter().rev().chain([&unclosed]);
    let lines: String =
        braces.map(|u| format!("{}}}\n", " ".repeat(u.indent.min(80) as usize))).collect();
    let (message, at, text) = match unclosed.before {
        Some(next) => {
            let word = parse.text(next);
            let line = line_number(&parse.source, next.start);
            let begin = parse.source[..next.start as usize].rfind('\n').map_or(0, |n| n + 1);
            let blank = parse.source[begin..next.start as usize].chars().all(char::is_whitespace);
            let (at, text) = if blank {
                (begin, lines)
            } else {
                (next.start as usize, "} ".repeat(inner.len() + 1))
            };
            (format!("This `{name}` is not closed before `{word}` (line {line})."), at, text)
        }
        None => {
            let at = parse.source.len();
            let fresh = parse.source.is_empty() || parse.source.ends_with('\n');
            let newline = if fresh { "" } else { "\n" };
            (
                format!("This `{name}` is not closed before the file ends."),
                at,
                format!("{newline}{lines}"),
            )
        }
    };
    let mut finding = Finding::error("syntax/unclosed-brace", parse.place(unclosed.open), message);
    if let Some(next) = unclosed.before {
        finding = finding.related(parse.place(next), "this does not belong inside it");
    }
    finding.fix(Fix::replace(
        format!("close `{name}` with `}}`"),
        FixKind::Clinical,
        parse.place(Span::new(at, at)),
        text,
    ))
}

pub fn extra_brace(parse: &Parse, span: Span) -> Finding {
    Finding::error(
        "syntax/extra-brace",
        parse.place(span),
        "This closing brace closes nothing; it is one too many.",
    )
    .clinical_fix("remove the brace", parse.place(span), "")
}

pub fn hash_comment(parse: &Parse, span: Span) -> Finding {
    let text = parse.text(span);
    let rest = text.trim_start_matches('#');
    let blank = if rest.starts_with([' ', '\t']) || rest.is_empty() { "" } else { " " };
    Finding::error(
        "syntax/hash-comment",
        parse.place(span),
        "A comment starts with `//`; `#` is a tooth number.",
    )
    .safe_fix("write `//`", parse.place(span), format!("//{blank}{rest}"))
}

/// The findings of [`openings`].
pub const OPENINGS: [&str; 4] = [
    "syntax/edition-not-first",
    "syntax/edition-twice",
    "syntax/second-opening",
    "syntax/no-opening",
];

/// A file states its edition once and first, and once whether it is a case or a practice file.
pub fn openings(parse: &Parse) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut opening: Option<StatementRef<'_>> = None;
    let mut edition = false;
    for (i, line) in parse.lines().enumerate() {
        match line.keyword() {
            Some("springline") if line.is_read() => {
                if edition {
                    findings.push(edition_again(line));
                } else if i > 0 {
                    findings.push(late_edition(line));
                }
                edition = true;
            }
            Some("case" | "practice") if line.is_read() => match opening {
                Some(first) => findings.push(second_opening(first, line)),
                None => opening = Some(line),
            },
            _ => {}
        }
    }
    let said = |line: StatementRef<'_>| matches!(line.keyword(), Some("case" | "practice"));
    if parse.kind == FileKind::Unsaid
        && !parse.lines().any(said)
        && let Some(first) = parse.lines().find(|l| l.keyword() != Some("springline"))
    {
        findings.push(no_opening(first));
    }
    findings
}

fn late_edition(line: StatementRef<'_>) -> Finding {
    let text = line.text().to_owned();
    let parse = line.parse;
    let start = Span::new(0, 0);
    let edits = vec![
        springline_text::Edit { place: line.place(), text: String::new() },
        springline_text::Edit { place: parse.place(start), text: format!("{text}\n") },
    ];
    Finding::error(
        "syntax/edition-not-first",
        line.place(),
        "The edition is given in the first line of a file.",
    )
    .fix(Fix {
        title: "move it to the top".to_owned(),
        kind: FixKind::Safe,
        edits,
        outcome: None,
    })
}

fn edition_again(line: StatementRef<'_>) -> Finding {
    Finding::error(
        "syntax/edition-twice",
        line.place(),
        "The edition is given once, in the first line of a file.",
    )
    .clinical_fix("remove this line", line.place(), "")
}

fn second_opening(first: StatementRef<'_>, second: StatementRef<'_>) -> Finding {
    Finding::error(
        "syntax/second-opening",
        second.place(),
        "One file holds one case or one practice; this opens a second.",
    )
    .related(first.place(), "the file was opened here")
    .note("Put it in a file of its own.")
}

fn no_opening(first: StatementRef<'_>) -> Finding {
    Finding::error(
        "syntax/no-opening",
        first.place(),
        "The file does not say what it is: start with `case` and the chart reference, or `practice` and the \
         practice's name.",
    )
    .note("For example: case \"SM-0392\"")
}
