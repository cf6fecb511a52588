//! Formatting as minimal edits, so that an editor keeps its cursor and folds.

use std::ops::Range;

use similar::{Algorithm, DiffOp, capture_diff_slices};
use springline_lang::syntax::token::TokenKind;
use springline_lang::syntax::{FormatOptions, FormatRefusal, format, parse};
use springline_lang::text::{FileId, Span, common_prefix, common_suffix, floor_boundary};

use crate::analysed_file::AnalysedFile;

/// One replacement in the current file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextEdit {
    pub span: Span,
    pub text: String,
}

/// The edits that format the whole file.
pub fn formatting(analysed: AnalysedFile<'_>) -> Result<Vec<TextEdit>, FormatRefusal> {
    // Without a practice file the tooth notation is unknown; teeth stay as they are.
    let notation = analysed.house().map(|h| h.notation.value);
    let settled = format(analysed.parse(), &FormatOptions { notation })?;
    Ok(between(analysed.text(), &settled))
}

/// Those of them that touch a range.
pub fn range_formatting(
    analysed: AnalysedFile<'_>,
    range: Span,
) -> Result<Vec<TextEdit>, FormatRefusal> {
    let touches = |edit: &TextEdit| edit.span.start <= range.end && range.start <= edit.span.end;
    Ok(formatting(analysed)?.into_iter().filter(touches).collect())
}

/// Formats the line just written when a line ends or a brace closes, and indents the new one: never more
/// than those two. Only the text before the cursor is used, with its open blocks closed, so it works in
/// an incomplete text.
pub fn on_type(
    analysed: AnalysedFile<'_>,
    offset: usize,
    typed: &str,
) -> Result<Vec<TextEdit>, FormatRefusal> {
    let text = analysed.text();
    let offset = text.floor_char_boundary(offset);
    let line_start = |at: usize| text[..at].rfind('\n').map_or(0, |i| i + 1);
    let here = line_start(offset);
    let new_line = typed == "\n";
    if new_line && here == 0 {
        return Ok(Vec::new());
    }
    let end = if new_line { here } else { line_end(text, offset) };
    let start = if new_line { line_start(here - 1) } else { here };
    let depth = depth_at(&text[..end]);
    let mut out = Vec::new();
    let settled = settled_line(analysed, start, end, depth);
    if let Ok(Some(edit)) = &settled {
        out.push(edit.clone());
    }
    if new_line {
        out.extend(indented(text, here, depth, text[start..here].trim_end().ends_with(',')));
    } else if !matches!(settled, Ok(Some(_))) {
        out.extend(indented(text, here, depth, false));
    }
    Ok(out)
}

fn line_end(text: &str, at: usize) -> usize {
    text[at..].find('\n').map_or(text.len(), |i| at + i + 1)
}

/// How many blocks are open at the end of a text.
fn depth_at(before: &str) -> usize {
    let tree = parse(FileId(0), before);
    let braces = tree.tokens.iter().map(|t| t.kind);
    braces.fold(0usize, |depth, kind| match kind {
        TokenKind::Open => depth + 1,
        TokenKind::Close => depth.saturating_sub(1),
        _ => depth,
    })
}

/// The line from `start` to `end` as the formatter writes it, if that is one line and another one.
fn settled_line(
    analysed: AnalysedFile<'_>,
    start: usize,
    end: usize,
    depth: usize,
) -> Result<Option<TextEdit>, FormatRefusal> {
    let text = analysed.text();
    let before = text.get(..end).unwrap_or_default();
    let mut whole = before.trim_end_matches(['\n', '\r']).to_owned();
    whole.push_str(&"\n}".repeat(depth));
    whole.push('\n');
    let tree = parse(analysed.parse().file, &whole);
    let notation = analysed.house().map(|h| h.notation.value);
    let settled = format(&tree, &FormatOptions { notation })?;
    // Before the closing braces that were added stands the line.
    let new = settled.lines().rev().nth(depth).unwrap_or_default();
    let body = text.get(start..end).unwrap_or_default().trim_end_matches(['\n', '\r']);
    let words = |line: &str| line.split_whitespace().count();
    let first = |line: &str| line.split_whitespace().next().map(str::to_owned);
    let is_same = first(new) == first(body) && words(new) == words(body);
    let span = Span::new(start, start + body.len());
    Ok((is_same && new != body).then(|| TextEdit { span, text: new.to_owned() }))
}

/// The indentation of a line that is begun, if it has another one.
fn indented(text: &str, start: usize, depth: usize, goes_on: bool) -> Option<TextEdit> {
    let line = &text[start..line_end(text, start)];
    let body = line.trim_end_matches(['\n', '\r']);
    let blanks = body.len() - body.trim_start_matches([' ', '\t']).len();
    let closes = body.trim_start().starts_with('}');
    // Typed behind its own brace, the line is counted as closed already.
    let depth =
        if closes && depth > 0 && !text[..start].is_empty() && depth_at(&text[..start]) == depth {
            depth - 1
        } else {
            depth
        };
    let wanted = " ".repeat(2 * depth + if goes_on { 4 } else { 0 });
    (body[..blanks] != *wanted)
        .then(|| TextEdit { span: Span::new(start, start + blanks), text: wanted })
}

/// Line by line, what turns one text into the other.
pub fn between(old: &str, new: &str) -> Vec<TextEdit> {
    if old == new {
        return Vec::new();
    }
    let (a, b): (Vec<&str>, Vec<&str>) =
        (old.split_inclusive('\n').collect(), new.split_inclusive('\n').collect());
    let starts: Vec<usize> = std::iter::once(0)
        .chain(a.iter().scan(0, |at, line| {
            *at += line.len();
            Some(*at)
        }))
        .collect();
    let ops = capture_diff_slices(Algorithm::Myers, &a, &b);
    let mut out = Vec::new();
    let mut push = |from: Range<usize>, to: Range<usize>| {
        let span = starts.get(from.start).zip(starts.get(from.end));
        if let (Some((start, end)), Some(lines)) = (span, b.get(to)) {
            out.push(TextEdit { span: Span::new(*start, *end), text: lines.concat() });
        }
    };
    for op in ops {
        let (from, to) = (op.old_range(), op.new_range());
        match op {
            DiffOp::Equal { .. } => {}
            // Line for line, so that a part of them can be taken.
            _ if from.len() == to.len() => {
                from.zip(to).for_each(|(i, j)| push(i..i + 1, j..j + 1));
            }
            _ => push(from, to),
        }
    }
    out
}

/// The same edits without what each leaves as it is at its ends, so that a cursor beside it stays where it was.
pub fn narrowed(old: &str, edits: Vec<TextEdit>) -> Vec<TextEdit> {
    edits.into_iter().map(|edit| narrow(old, edit)).collect()
}

fn narrow(old: &str, edit: TextEdit) -> TextEdit {
    let Some(was) = old.get(edit.span.range()) else { return edit };
    let new = &edit.text;
    let front = common_prefix(was.as_bytes(), new.as_bytes());
    let front = floor_boundary(was, front).min(floor_boundary(new, front));
    let mut back = common_suffix(&was.as_bytes()[front..], &new.as_bytes()[front..]);
    while !(was.is_char_boundary(was.len() - back) && new.is_char_boundary(new.len() - back)) {
        back -= 1;
    }
    let start = edit.span.start as usize + front;
    TextEdit {
        span: Span::new(start, edit.span.end as usize - back),
        text: new[front..new.len() - back].to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::Sample;

    #[test]
    fn an_edit_is_narrowed_to_what_differs() {
        let old = "  tooth 12 palatal 2.5 mm // ä\nend";
        let others = [old.replace("2.5", "1.9"), old.replace('ä', "å"), "end".to_owned()];
        for new in others {
            let edits = narrowed(old, between(old, &new));
            assert_eq!(apply(old, &edits), new);
            assert!(edits.iter().all(|e| e.text.len() <= 4), "{edits:?}");
        }
    }

    fn apply(text: &str, edits: &[TextEdit]) -> String {
        let mut out = text.to_owned();
        for edit in edits.iter().rev() {
            out.replace_range(edit.span.range(), &edit.text);
        }
        out
    }

    #[test]
    fn only_lines_that_change_are_touched() {
        let old = "a\nb \nc\n\n\nd";
        let edits = between(old, "a\nb\nc\n\nd\n");
        assert!(edits.iter().all(|e| e.span.start >= 2), "{edits:?}");
        assert_eq!(apply(old, &edits), "a\nb\nc\n\nd\n");
        assert_eq!(between(old, old), []);
    }

    #[test]
    fn a_line_is_settled_as_it_ends_and_no_other() {
        let sample = Sample::upper("  tooth   13   labial 1 mm\n¦\n  tooth   14   labial 1 mm");
        let edits = on_type(sample.analysed(), sample.offset, "\n").unwrap();
        let settled = apply(sample.analysed().text(), &edits);
        assert!(
            settled.contains("\n  tooth 13 labial 1 mm\n  \n  tooth   14   labial"),
            "{settled}"
        );
        let closed =
            Sample::upper("  change align {\n    hook 13\n     }¦\n  tooth   14   labial 1 mm");
        let edits = on_type(closed.analysed(), closed.offset, "}").unwrap();
        assert!(apply(closed.analysed().text(), &edits).contains("hook 13\n  }\n  tooth   14"));
        // At the end of a block, and in a text that is not whole.
        let last = Sample::upper("  change align {\n    bypass   13\n¦\n  }");
        let edits = on_type(last.analysed(), last.offset, "\n").unwrap();
        let settled = apply(last.analysed().text(), &edits);
        assert!(settled.contains("{\n    bypass 13\n    \n  }"), "{settled}");
        let open = Sample::upper("  change   align {\n¦");
        let edits = on_type(open.analysed(), open.offset, "\n").unwrap();
        let settled = apply(open.analysed().text(), &edits);
        assert!(settled.contains("  change align {\n    \n"), "{settled}");
        let comma = Sample::upper("  step a as align after align,\n¦");
        let edits = on_type(comma.analysed(), comma.offset, "\n").unwrap();
        assert!(apply(comma.analysed().text(), &edits).contains("align,\n      \n"));
    }

    #[test]
    fn a_range_settles_its_own_lines_only() {
        let sample = Sample::upper("  tooth   13   labial 1 mm\n  tooth   14   labial 1 mm");
        let text = sample.analysed().text();
        let at = text.find("tooth   14").unwrap();
        let edits = range_formatting(sample.analysed(), Span::new(at, at + 4)).unwrap();
        let settled = apply(text, &edits);
        assert!(settled.contains("\n  tooth 14 buccal 1 mm\n"), "{settled}");
        assert!(settled.contains("tooth   13   labial"), "{settled}");
    }
}
