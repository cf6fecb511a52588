//! Conversion between byte offsets and the protocol's lines and characters, in the negotiated encoding.
//! The only place where characters are counted.

use std::cell::Cell;

use tower_lsp::ls_types::{Position, PositionEncodingKind, Range};

use springline_lang::text::{LineIndex, Span, floor_boundary};

/// What a character of a position counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Encoding {
    Utf8,
    /// The protocol's default encoding.
    #[default]
    Utf16,
    Utf32,
}

impl Encoding {
    /// The encoding to use, of those a client offers: UTF-8 if possible, because it needs no conversion;
    /// otherwise the client's first choice.
    pub fn choose(offered: Option<&[PositionEncodingKind]>) -> Encoding {
        let offered = offered.unwrap_or_default();
        if offered.contains(&PositionEncodingKind::UTF8) {
            return Encoding::Utf8;
        }
        for kind in offered {
            if *kind == PositionEncodingKind::UTF16 {
                return Encoding::Utf16;
            }
            if *kind == PositionEncodingKind::UTF32 {
                return Encoding::Utf32;
            }
        }
        Encoding::Utf16
    }

    pub fn kind(self) -> PositionEncodingKind {
        match self {
            Encoding::Utf8 => PositionEncodingKind::UTF8,
            Encoding::Utf16 => PositionEncodingKind::UTF16,
            Encoding::Utf32 => PositionEncodingKind::UTF32,
        }
    }

    fn units(self, c: char) -> usize {
        match self {
            Encoding::Utf8 => c.len_utf8(),
            Encoding::Utf16 => c.len_utf16(),
            Encoding::Utf32 => 1,
        }
    }

    /// Length of a text in this encoding's units.
    pub fn len(self, text: &str) -> usize {
        match self {
            Encoding::Utf8 => text.len(),
            _ if text.is_ascii() => text.len(),
            _ => text.chars().map(|c| self.units(c)).sum(),
        }
    }
}

/// The offset of a position: past a line's end it is the line's end, past the last line the end of
/// the text, inside a character that character's start.
fn offset_of(index: &LineIndex, text: &str, position: Position, encoding: Encoding) -> usize {
    let Some(range) = index.content(text, position.line as usize) else {
        return text.len();
    };
    let line = text.get(range.clone()).unwrap_or_default();
    let wanted = position.character as usize;
    if encoding == Encoding::Utf8 || line.is_ascii() {
        return range.start + floor_boundary(line, wanted.min(line.len()));
    }
    let mut units = 0;
    for (at, c) in line.char_indices() {
        units += encoding.units(c);
        if units > wanted {
            return range.start + at;
        }
    }
    range.end
}

/// Turns offsets of one text into positions. It remembers where it was, so that offsets in order
/// cost one pass over the text, however long its lines are.
#[derive(Debug)]
pub struct Positions<'a> {
    text: &'a str,
    index: &'a LineIndex,
    encoding: Encoding,
    /// Offset, its line, units from the line's start.
    last: Cell<(usize, usize, usize)>,
}

impl<'a> Positions<'a> {
    pub fn new(text: &'a str, index: &'a LineIndex, encoding: Encoding) -> Positions<'a> {
        Positions { text, index, encoding, last: Cell::new((0, 0, 0)) }
    }

    /// The position of an offset; an offset outside the text or inside a character is moved back
    /// into it, and one inside a line end to its start.
    pub fn at(&self, offset: usize) -> Position {
        let offset = floor_boundary(self.text, offset);
        let line = self.index.line_of(offset);
        let content = self.index.content(self.text, line).unwrap_or(0..0);
        let offset = offset.min(content.end);
        let (from, units) = match self.last.get() {
            (last, l, units) if l == line && last <= offset && last >= content.start => {
                (last, units)
            }
            _ => (content.start, 0),
        };
        let units = units + self.encoding.len(self.text.get(from..offset).unwrap_or_default());
        self.last.set((offset, line, units));
        Position { line: clamp(line), character: clamp(units) }
    }

    pub fn range(&self, span: Span) -> Range {
        Range { start: self.at(span.start as usize), end: self.at(span.end as usize) }
    }

    /// The byte range of a protocol range; ends the wrong way round are swapped.
    pub fn bytes(&self, range: Range) -> std::ops::Range<usize> {
        let a = offset_of(self.index, self.text, range.start, self.encoding);
        let b = offset_of(self.index, self.text, range.end, self.encoding);
        a.min(b)..a.max(b)
    }

    pub fn offset(&self, position: Position) -> usize {
        offset_of(self.index, self.text, position, self.encoding)
    }

    pub fn units(&self, text: &str) -> u32 {
        clamp(self.encoding.len(text))
    }
}

fn clamp(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A character beyond the first plane, a combining mark, all three line ends.
    const TEXT: &str = "a😀b\r\ne\u{301}x\rlast\n";

    fn position(line: u32, character: u32) -> Position {
        Position { line, character }
    }

    #[test]
    fn the_same_place_counts_differently_in_each_encoding() {
        let index = LineIndex::new(TEXT);
        let after_face = TEXT.find('b').unwrap();
        for (encoding, character) in
            [(Encoding::Utf8, 5), (Encoding::Utf16, 3), (Encoding::Utf32, 2)]
        {
            let positions = Positions::new(TEXT, &index, encoding);
            assert_eq!(positions.at(after_face), position(0, character), "{encoding:?}");
            assert_eq!(positions.offset(position(0, character)), after_face, "{encoding:?}");
        }
    }

    #[test]
    fn every_offset_comes_back_from_its_position() {
        let index = LineIndex::new(TEXT);
        for encoding in [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32] {
            let positions = Positions::new(TEXT, &index, encoding);
            for (offset, c) in TEXT.char_indices() {
                if c != '\n' {
                    assert_eq!(positions.offset(positions.at(offset)), offset, "{encoding:?}");
                }
            }
        }
    }

    #[test]
    fn all_three_line_ends_count() {
        let index = LineIndex::new(TEXT);
        assert_eq!(index.lines(), 4);
        assert_eq!(&TEXT[index.content(TEXT, 1).unwrap()], "e\u{301}x");
        assert_eq!(&TEXT[index.content(TEXT, 2).unwrap()], "last");
        assert_eq!(index.content(TEXT, 3), Some(TEXT.len()..TEXT.len()));
    }

    #[test]
    fn positions_outside_the_text_are_moved_into_it() {
        let index = LineIndex::new(TEXT);
        let positions = Positions::new(TEXT, &index, Encoding::Utf16);
        assert_eq!(positions.offset(position(0, 5000)), TEXT.find('\r').unwrap());
        assert_eq!(positions.offset(position(90_000, 3)), TEXT.len());
        // Inside a surrogate pair: before the character.
        assert_eq!(positions.offset(position(0, 2)), 1);
        assert_eq!(positions.at(5000), position(3, 0));
    }

    #[test]
    fn a_client_gets_an_encoding_that_it_offered() {
        let offer = |kinds: &[PositionEncodingKind]| Encoding::choose(Some(kinds));
        assert_eq!(Encoding::choose(None), Encoding::Utf16);
        assert_eq!(offer(&[]), Encoding::Utf16);
        assert_eq!(offer(&[PositionEncodingKind::UTF32]), Encoding::Utf32);
        assert_eq!(
            offer(&[PositionEncodingKind::UTF16, PositionEncodingKind::UTF8]),
            Encoding::Utf8
        );
    }
}
