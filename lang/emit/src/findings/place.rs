//! Byte offsets to lines and columns, both from 1; columns count Unicode scalar values.

use serde::Serialize;

use springline_text::Span;

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

/// Where the lines of a text begin.
#[derive(Debug, Clone)]
pub struct Lines {
    starts: Vec<usize>,
}

impl Lines {
    pub fn of(text: &str) -> Lines {
        let mut starts = vec![0];
        starts.extend(text.match_indices('\n').map(|(i, _)| i + 1));
        Lines { starts }
    }

    pub fn region(&self, text: &str, span: Span) -> Region {
        let range = span.range();
        Region { start: self.position(text, range.start), end: self.position(text, range.end) }
    }

    /// Offsets beyond the text, or inside a character, are moved to the nearest place before.
    fn position(&self, text: &str, offset: usize) -> Position {
        let mut offset = offset.min(text.len());
        while !text.is_char_boundary(offset) {
            offset -= 1;
        }
        let line = self.starts.partition_point(|s| *s <= offset).max(1);
        let start = self.starts.get(line - 1).copied().unwrap_or(0);
        let column = text.get(start..offset).map_or(0, |t| t.chars().count()) + 1;
        Position { line, column }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters() {
        let text = "a\nnote \"\u{e9}\u{1f9b7}x\"\r\nb";
        let lines = Lines::of(text);
        let x = text.find('x').unwrap();
        let region = lines.region(text, Span::new(x, x + 1));
        assert_eq!(region.start, Position { line: 2, column: 9 });
        assert_eq!(region.end, Position { line: 2, column: 10 });
        let past = lines.region(text, Span::new(900, 900));
        assert_eq!(past.start, Position { line: 3, column: 2 });
        let inside = lines.region(text, Span::new(x - 2, x));
        assert_eq!(inside.start, Position { line: 2, column: 8 });
    }
}
