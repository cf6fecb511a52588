//! Byte offsets to lines and columns, both from 1; columns count Unicode scalar values.

use serde::Serialize;

use springline_text::{LineIndex, Span, floor_boundary};

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Position {
    pub line: usize,
    pub column: usize,
}

/// A half-open range; `end` is just past its last character.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Region {
    pub start: Position,
    pub end: Position,
}

impl Default for Region {
    fn default() -> Region {
        let first = Position { line: 1, column: 1 };
        Region { start: first, end: first }
    }
}

/// The stretch of a text, its offsets beyond the text or inside a character moved to the nearest place
/// before.
pub fn region(index: &LineIndex, text: &str, span: Span) -> Region {
    let range = span.range();
    Region { start: position(index, text, range.start), end: position(index, text, range.end) }
}

fn position(index: &LineIndex, text: &str, offset: usize) -> Position {
    let offset = floor_boundary(text, offset);
    let line = index.line_of(offset);
    let start = index.line(line).map_or(0, |range| range.start);
    let column = text.get(start..offset).map_or(0, |t| t.chars().count()) + 1;
    Position { line: line + 1, column }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters() {
        let text = "a\nnote \"\u{e9}\u{1f9b7}x\"\r\nb";
        let index = LineIndex::new(text);
        let x = text.find('x').unwrap();
        let at_x = region(&index, text, Span::new(x, x + 1));
        assert_eq!(at_x.start, Position { line: 2, column: 9 });
        assert_eq!(at_x.end, Position { line: 2, column: 10 });
        let past = region(&index, text, Span::new(900, 900));
        assert_eq!(past.start, Position { line: 3, column: 2 });
        let inside = region(&index, text, Span::new(x - 2, x));
        assert_eq!(inside.start, Position { line: 2, column: 8 });
    }

    /// As an editor and the frame in the terminal count: a lone carriage return ends a line too.
    #[test]
    fn every_line_end_counts() {
        let text = "a\rb\r\nc\nd";
        let index = LineIndex::new(text);
        let line_of =
            |c| region(&index, text, Span::new(text.find(c).unwrap(), text.len())).start.line;
        assert_eq!(['a', 'b', 'c', 'd'].map(line_of), [1, 2, 3, 4]);
    }
}
