//! A mutant out of edits: the new text, and where in it the places of the old one are.

use std::collections::BTreeSet;

use springline_lang::text::{Edit, FileId, Place, Span};

use super::Mutant;

/// Replaces a stretch of the main file.
pub fn put(span: Span, text: &str) -> Edit {
    Edit { place: Place { file: FileId(0), span }, text: text.to_owned() }
}

fn line_at(text: &str, at: usize) -> usize {
    text.get(..at.min(text.len())).map_or(1, |t| t.matches('\n').count() + 1)
}

/// Applies edits of the main file; `also` are places of the old text whose meaning changes with them.
pub fn mutant(source: &str, what: String, mut edits: Vec<Edit>, also: &[Span]) -> Option<Mutant> {
    edits.retain(|e| e.place.file == FileId(0));
    edits.sort_by_key(|e| (e.place.span.start, e.place.span.end));
    let mut text = String::with_capacity(source.len() + 64);
    let mut lines = BTreeSet::new();
    let mut line = 0;
    let mut at = 0;
    // Pairs of old and new offsets at which the two texts run side by side again.
    let mut joints: Vec<(usize, usize)> = vec![(0, 0)];
    for edit in &edits {
        let range = edit.place.span.range();
        text.push_str(source.get(at..range.start)?);
        let begin = text.len() + edit.text.len() - edit.text.trim_start().len();
        text.push_str(&edit.text);
        let end = begin.max(text.trim_end().len());
        let cuts_line = source.get(range.clone())?.contains('\n') || edit.text.contains('\n');
        let whole_line_gone = edit.text.trim().is_empty() && cuts_line;
        let first = line_at(&text, begin);
        line = if line == 0 { first } else { line };
        if !whole_line_gone {
            lines.extend(first..=line_at(&text, end));
        }
        at = range.end;
        joints.push((at, text.len()));
    }
    text.push_str(source.get(at..)?);
    let moved = |old: usize| {
        let joint = joints.iter().rev().find(|(from, _)| *from <= old).copied().unwrap_or((0, 0));
        // A place inside what was replaced is the replacement's end.
        let next = joints.iter().find(|(from, _)| *from > old).map_or(text.len(), |j| j.1);
        (joint.1 + (old - joint.0)).min(next)
    };
    for span in also {
        let (from, to) = (moved(span.start as usize), moved(span.end as usize));
        lines.extend(line_at(&text, from)..=line_at(&text, to));
    }
    (text != source).then_some(Mutant { what, text, house: None, lines, line })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_followed_through_edits() {
        let text = "a 1\nb 2\nc 3\nd 4\n";
        let gone = put(Span::new(4, 8), "");
        let changed = put(Span::new(14, 15), "5");
        let m = mutant(text, String::new(), vec![changed, gone], &[Span::new(8, 11)]).unwrap();
        assert_eq!(m.text, "a 1\nc 3\nd 5\n");
        assert_eq!(m.lines, BTreeSet::from([2, 3]));
        assert_eq!(m.line, 2);
    }

    #[test]
    fn added_lines_count_and_their_neighbours_do_not() {
        let text = "a\nb\n";
        let m = mutant(text, String::new(), vec![put(Span::new(1, 1), "\nx\ny")], &[]).unwrap();
        assert_eq!(m.text, "a\nx\ny\nb\n");
        assert_eq!(m.lines, BTreeSet::from([2, 3]));
    }
}
