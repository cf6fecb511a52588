//! From a text to its settled layout in small edits, so that an editor keeps its cursor and folds.

use std::ops::Range;

use similar::{Algorithm, DiffOp, capture_diff_slices};
use springline_lang::finding::Span;
use springline_lang::syntax::{Options, Refusal, format};

use crate::facts::Facts;

/// One replacement in the file at hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextEdit {
    pub span: Span,
    pub text: String,
}

/// The edits that settle the whole file.
pub fn formatting(facts: Facts<'_>) -> Result<Vec<TextEdit>, Refusal> {
    // Without a house nobody knows how this practice writes teeth; they stay as they are.
    let notation = facts.house().map(|h| h.notation.value);
    let settled = format(facts.parse(), &Options { notation })?;
    Ok(between(facts.text(), &settled))
}

/// Those of them that touch a range.
pub fn range_formatting(facts: Facts<'_>, range: Span) -> Result<Vec<TextEdit>, Refusal> {
    let touches = |edit: &TextEdit| edit.span.start <= range.end && range.start <= edit.span.end;
    Ok(formatting(facts)?.into_iter().filter(touches).collect())
}

/// What settles the line just written, when a line ends or a brace closes: never more than that line,
/// so nothing moves under the cursor.
pub fn on_type(facts: Facts<'_>, offset: usize, typed: &str) -> Result<Vec<TextEdit>, Refusal> {
    let text = facts.text();
    let line_start = |at: usize| text[..at].rfind('\n').map_or(0, |i| i + 1);
    let here = line_start(offset.min(text.len()));
    let (start, end) = match typed {
        "\n" if here == 0 => return Ok(Vec::new()),
        "\n" => (line_start(here - 1), here),
        _ => (here, text[here..].find('\n').map_or(text.len(), |i| here + i + 1)),
    };
    let inside = |e: &TextEdit| start <= e.span.start as usize && e.span.end as usize <= end;
    let lines = |e: &TextEdit| e.text.matches('\n').count() == 1;
    Ok(formatting(facts)?.into_iter().filter(|e| inside(e) && lines(e)).collect())
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::Sample;

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
        let edits = on_type(sample.facts(), sample.offset, "\n").unwrap();
        let settled = apply(sample.facts().text(), &edits);
        assert!(settled.contains("\n  tooth 13 labial 1 mm\n\n  tooth   14   labial"), "{settled}");
        let closed =
            Sample::upper("  change align {\n    hook 13\n     }¦\n  tooth   14   labial 1 mm");
        let edits = on_type(closed.facts(), closed.offset, "}").unwrap();
        assert!(apply(closed.facts().text(), &edits).contains("hook 13\n  }\n  tooth   14"));
        let open = Sample::upper("  change align {\n¦");
        assert!(on_type(open.facts(), open.offset, "\n").is_err());
    }

    #[test]
    fn a_range_settles_its_own_lines_only() {
        let sample = Sample::upper("  tooth   13   labial 1 mm\n  tooth   14   labial 1 mm");
        let text = sample.facts().text();
        let at = text.find("tooth   14").unwrap();
        let edits = range_formatting(sample.facts(), Span::new(at, at + 4)).unwrap();
        let settled = apply(text, &edits);
        assert!(settled.contains("\n  tooth 14 buccal 1 mm\n"), "{settled}");
        assert!(settled.contains("tooth   13   labial"), "{settled}");
    }
}
