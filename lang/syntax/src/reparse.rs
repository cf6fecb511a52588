//! Incremental reparse: after an edit only the statements around it are parsed; the others are taken from
//! the previous tree. The result is byte for byte the tree of a full parse, which a property test checks.
//!
//! Outside all braces every statement starts on a line of its own, so a range from the start of one such
//! line to the start of another can be parsed alone. Where that is not certain (recovered braces, a
//! change to the opening lines, a line that continues beyond the range) the whole text is parsed.

use super::limits::{FINDING_LIMIT, SIZE_LIMIT};
use super::read::{self};
use super::shift::Shift;
use super::token::{Token, TokenKind};
use super::tree::{FileKind, Id, Parse};
use springline_finding::Finding;
use springline_text::Span;

/// Parses a text, given the tree of an earlier version, or of any other text.
pub fn reparse(before: &Parse, source: &str) -> Parse {
    patched(before, source).unwrap_or_else(|| read::parse(before.file, source))
}

/// The range of whole lines to parse, in the old text and in the new one, and the top-level statements of
/// the old tree in it.
#[derive(Debug, Clone, Copy)]
struct ReparseRange {
    old: Span,
    new: Span,
    first: usize,
    end: usize,
}

fn patched(before: &Parse, source: &str) -> Option<Parse> {
    let read = before.unread.is_none() && !before.braces_guessed && before.kind != FileKind::Unsaid;
    if !read || source.len() > SIZE_LIMIT || before.findings.len() > FINDING_LIMIT / 4 {
        return None;
    }
    let stretch = stretch(before, source)?;
    let piece = read::piece(before, source, stretch.new)?;
    if piece.findings.len() > FINDING_LIMIT / 4 {
        return None;
    }
    Some(joined(before, piece, stretch))
}

/// The lines around all that differs between the two texts, with a statement to spare on either side.
fn stretch(before: &Parse, source: &str) -> Option<ReparseRange> {
    let (old, new) = (before.source.as_bytes(), source.as_bytes());
    let same = old.iter().zip(new).take_while(|(a, b)| a == b).count();
    let rest = old.len().min(new.len()) - same;
    let tails = old.iter().rev().zip(new.iter().rev()).take(rest);
    let tail = tails.take_while(|(a, b)| a == b).count();
    // Indices into `top`: the first statement to parse, and the first after the range.
    let ends_before =
        |id: &Id| before.line(*id).is_some_and(|l| (l.whole_span().end as usize) < same);
    let mut first = before.top.partition_point(ends_before).checked_sub(1)?;
    let start = loop {
        match line_start(before, first) {
            Some(start) => break start,
            None => first = first.checked_sub(1)?,
        }
    };
    // The file's opening is never part of the range, because it decides the context of all statements.
    opened_before(before, first).then_some(())?;
    let begins_before =
        |id: &Id| before.line(*id).is_some_and(|l| (l.span().start as usize) < old.len() - tail);
    let mut end = before.top.partition_point(begins_before).max(first + 1);
    let stop = loop {
        match line_start(before, end) {
            _ if end >= before.top.len() => break old.len(),
            Some(start) if start >= old.len() - tail => break start,
            _ => end += 1,
        }
    };
    let new_stop = (stop + new.len()).checked_sub(old.len())?;
    let ends_line = new_stop == new.len() || is_line_end(new.get(new_stop.checked_sub(1)?)?);
    ends_line.then_some(ReparseRange {
        old: Span::new(start, stop),
        new: Span::new(start, new_stop),
        first,
        end,
    })
}

fn is_line_end(byte: &u8) -> bool {
    matches!(byte, b'\n' | b'\r')
}

/// Where the line of a statement begins, if it begins a line of its own, its first word can begin
/// nothing but a statement, and the line before does not run on into it.
fn line_start(before: &Parse, index: usize) -> Option<usize> {
    let line = before.line(*before.top.get(index)?)?;
    line.items().first()?.is_word().then_some(())?;
    let text = before.source.get(..line.span().start as usize)?;
    let start = text.trim_end_matches([' ', '\t']).len();
    let tokens = before.tokens.partition_point(|t| (t.span.start as usize) < start);
    let mut earlier = before.tokens[..tokens].iter().rev().filter(|t| !t.kind.is_trivia());
    let runs_on =
        earlier.find(|t| t.kind != TokenKind::Newline).is_some_and(|t| t.kind == TokenKind::Comma);
    let begins = start == 0 || is_line_end(text.as_bytes().get(start - 1)?);
    (begins && !runs_on).then_some(start)
}

/// The line that says what kind of file this is stands before that statement.
fn opened_before(before: &Parse, index: usize) -> bool {
    let mut lines = before.top.iter().take(index).filter_map(|id| before.line(*id));
    lines.any(|l| l.is_read() && matches!(l.keyword(), Some("case" | "practice")))
}

/// Joins the statements before the range, those of the range, and those after it.
fn joined(before: &Parse, piece: Parse, stretch: ReparseRange) -> Parse {
    let start_of = |top: usize| before.top.get(top).copied().unwrap_or(before.statements.len());
    let (first, end) = (start_of(stretch.first), start_of(stretch.end));
    let ranges = |id: Id| match before.statements.get(id) {
        Some(s) => (s.items.0 as usize, s.events.0 as usize),
        None => (before.items.len(), before.events.len()),
    };
    let ((items, events), (items_end, events_end)) = (ranges(first), ranges(end));
    let ahead =
        Shift { bytes: 0, statements: first as i64, items: items as i64, events: events as i64 };
    let behind = Shift {
        bytes: i64::from(stretch.new.end) - i64::from(stretch.old.end),
        statements: (first + piece.statements.len()) as i64 - end as i64,
        items: (items + piece.items.len()) as i64 - items_end as i64,
        events: (events + piece.events.len()) as i64 - events_end as i64,
    };
    let tokens_to = before.tokens.partition_point(|t| t.span.start < stretch.old.start);
    let tokens_from = before.tokens.partition_point(|t| t.span.start < stretch.old.end);
    let moved = |token: &Token| Token { span: behind.span(token.span), ..*token };
    let mut out = Parse {
        file: before.file,
        kind: before.kind,
        edition: before.edition,
        unread: None,
        braces_guessed: false,
        source: piece.source,
        tokens: before.tokens[..tokens_to].to_vec(),
        statements: before.statements[..first].to_vec(),
        top: before.top[..stretch.first].to_vec(),
        items: before.items[..items].to_vec(),
        events: before.events[..events].to_vec(),
        findings: Vec::new(),
        looks: Vec::new(),
    };
    out.tokens.extend(piece.tokens);
    out.tokens.extend(before.tokens[tokens_from..].iter().map(moved));
    out.statements.extend(piece.statements.iter().map(|s| ahead.statement(s)));
    out.statements.extend(before.statements[end..].iter().map(|s| behind.statement(s)));
    out.top.extend(piece.top.iter().map(|id| ahead.id(*id)));
    out.top.extend(before.top[stretch.end..].iter().map(|id| behind.id(*id)));
    out.items.extend(piece.items);
    out.items.extend(before.items[items_end..].iter().map(|i| behind.item(i)));
    out.events.extend(piece.events);
    out.events.extend_from_slice(&before.events[events_end..]);
    let old = |from: u32, to: u32| {
        let inside = move |(span, _): &&(Span, _)| (from..to).contains(&span.start);
        before.looks.iter().filter(inside)
    };
    out.looks.extend(old(0, stretch.old.start));
    out.looks.extend(piece.looks);
    let later = old(stretch.old.end, u32::MAX);
    out.looks.extend(later.map(|(span, looks)| (behind.span(*span), *looks)));
    out.findings = findings(before, piece.findings, stretch, behind);
    read::conclude(&mut out);
    out
}

/// All findings except those about the whole file, which are computed again.
fn findings(
    before: &Parse,
    piece: Vec<Finding>,
    stretch: ReparseRange,
    behind: Shift,
) -> Vec<Finding> {
    let kept = || before.findings.iter().filter(|f| !read::is_of_whole_file(f));
    let start = |f: &&Finding| f.place.span.start;
    let mut out: Vec<Finding> = Vec::new();
    out.extend(kept().filter(|f| start(f) < stretch.old.start).cloned());
    out.extend(piece);
    out.extend(kept().filter(|f| start(f) >= stretch.old.end).map(|f| behind.finding(f)));
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use springline_text::FileId;

    const CASE: &str = include_str!("../../../examples/cases/sm-0410-both-arches.spring");

    /// Both trees, written out.
    fn both(before: &str, after: &str) -> (Option<String>, String) {
        let before = read::parse(FileId(0), before);
        let out = patched(&before, after).map(|p| format!("{p:#?}"));
        (out, format!("{:#?}", read::parse(FileId(0), after)))
    }

    /// A change at a place of the example; whether the tree before could be used.
    fn change(at: &str, cut: usize, put: &str) -> bool {
        let mut after = CASE.to_owned();
        let from = CASE.find(at).expect("the place") + at.len();
        after.replace_range(from..from + cut, put);
        let (patched, whole) = both(CASE, &after);
        let taken = patched.is_some();
        if let Some(patched) = patched {
            assert_eq!(patched, whole);
        }
        taken
    }

    #[test]
    fn a_key_anywhere_in_a_case_leaves_the_rest_unread() {
        assert!(change("tooth 22 rotated ", 0, "1"));
        assert!(change("tooth 22 rotated", 0, " nonsense"));
        assert!(change("next 10..12 wk\n", 0, "  step detail as finish after work\n"));
        assert!(change("retain {", 0, " // a comment"));
        assert!(change("retain {", 1, "note \"inside\""));
    }

    #[test]
    fn what_could_mean_something_elsewhere_reads_all() {
        assert!(!change("case", 0, "s"), "the opening line");
        assert!(!change("retain {", 0, " }"), "a brace too many");
        assert!(!change("\nupper ", 1, ""), "a brace missing");
    }

    #[test]
    fn nothing_changed_is_nothing_read() {
        let (patched, whole) = both(CASE, CASE);
        assert_eq!(patched, Some(whole));
    }

    #[test]
    fn a_line_that_runs_on_takes_the_next_with_it() {
        let before = "case \"a\"\ndoctor RB\npatient adult\nnote \"x\"\nnote \"y\"\n";
        for after in [
            before.replace("note \"x\"", "note \"x\","),
            before.replace("note \"x\"\n", "note \"x\" "),
            before.replace("note \"x\"", "upper {"),
            before.replace("note \"x\"", "// note \"x\""),
            before.replace("note \"y\"\n", ""),
            before.replace("note \"y\"\n", "note \"y\","),
            before.replace("note \"x\"\n", "case \"b\"\n"),
            before.replace("patient adult\n", "springline 1\n"),
        ] {
            let (patched, whole) = both(before, &after);
            if let Some(patched) = patched {
                assert_eq!(patched, whole, "{after}");
            }
        }
    }
}
