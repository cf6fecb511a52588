//! Makes invisible characters visible. A terminal interprets escape sequences, and direction controls can
//! make a text display as something it is not. Wherever text of foreign origin is printed, such
//! characters are shown by their number, `U+001B`.
//!
//! Direction controls: Unicode Standard Annex 9, table 1. Why they are reported: Boucher and Anderson,
//! "Trojan Source", 2021.

use std::borrow::Cow;

/// The effect of an invisible character.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hidden {
    /// An instruction to a terminal or a printer.
    Control,
    /// Changes the direction in which text is displayed.
    Direction,
    /// A zero-width direction mark that texts in some scripts contain.
    Mark,
    /// Ends a line where no line end is seen.
    LineEnd,
}

/// The effect of a character, if it is invisible. Tabs and ordinary line endings are not.
pub fn hidden(c: char) -> Option<Hidden> {
    match c {
        '\t' | '\n' | '\r' => None,
        '\u{85}' | '\u{2028}' | '\u{2029}' => Some(Hidden::LineEnd),
        '\0'..='\u{1F}' | '\u{7F}'..='\u{9F}' => Some(Hidden::Control),
        '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => Some(Hidden::Direction),
        '\u{200E}' | '\u{200F}' | '\u{61C}' => Some(Hidden::Mark),
        _ => None,
    }
}

/// `U+001B`
pub fn number(c: char) -> String {
    format!("U+{:04X}", u32::from(c))
}

/// A multi-line text with invisible characters replaced by their number. A carriage return stays only as
/// part of a line ending.
pub fn text(text: &str) -> Cow<'_, str> {
    if !may_hide(text) {
        return Cow::Borrowed(text);
    }
    shown(text, |c, next| hidden(c).is_some() || (c == '\r' && next != Some('\n')))
}

/// The same for text that belongs on one line, such as a file name: line endings are replaced too.
pub fn line(text: &str) -> Cow<'_, str> {
    if !may_hide(text) && !text.contains(['\n', '\r', '\t']) {
        return Cow::Borrowed(text);
    }
    shown(text, |c, _| hidden(c).is_some() || matches!(c, '\n' | '\r' | '\t'))
}

/// A fast check, because most texts contain none of them.
fn may_hide(text: &str) -> bool {
    let suspect =
        |b: u8| (b < 0x20 && b != b'\n' && b != b'\t') || matches!(b, 0x7F | 0xC2 | 0xD8 | 0xE2);
    text.bytes().any(suspect)
}

fn shown(text: &str, hides: impl Fn(char, Option<char>) -> bool) -> Cow<'_, str> {
    let mut out: Option<String> = None;
    let mut chars = text.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        if hides(c, chars.peek().map(|(_, c)| *c)) {
            out.get_or_insert_with(|| text[..at].to_owned()).push_str(&number(c));
        } else if let Some(out) = &mut out {
            out.push(c);
        }
    }
    out.map_or(Cow::Borrowed(text), Cow::Owned)
}

/// A text as [`text`] shows it, with the mapping of offsets from the original.
#[derive(Debug)]
pub struct VisibleText<'a> {
    pub text: Cow<'a, str>,
    /// End of each replaced character in the original, and the shift of everything after it.
    moved: Vec<(usize, usize)>,
}

impl<'a> VisibleText<'a> {
    pub fn of(source: &'a str) -> VisibleText<'a> {
        let text = text(source);
        let mut moved = Vec::new();
        if let Cow::Owned(_) = text {
            let mut by = 0;
            let mut chars = source.char_indices().peekable();
            while let Some((at, c)) = chars.next() {
                let ends = c == '\r' && chars.peek().is_some_and(|(_, c)| *c == '\n');
                if hidden(c).is_some() || (c == '\r' && !ends) {
                    by += number(c).len() - c.len_utf8();
                    moved.push((at + c.len_utf8(), by));
                }
            }
        }
        VisibleText { text, moved }
    }

    /// Maps an offset of the original to the shown text.
    pub fn place(&self, offset: usize) -> usize {
        let behind = self.moved.partition_point(|(end, _)| *end <= offset);
        offset + behind.checked_sub(1).map_or(0, |last| self.moved[last].1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_does_not_show_is_shown_by_its_number() {
        assert_eq!(text("a\u{1b}]8;;x\u{7}b"), "aU+001B]8;;xU+0007b");
        assert_eq!(
            text("\u{202e}ab\u{2066}\u{200f}\u{9b}\u{2028}"),
            "U+202EabU+2066U+200FU+009BU+2028"
        );
        assert_eq!(line("a\nb\tc"), "aU+000AbU+0009c");
        assert_eq!(text("a\rb\r\n"), "aU+000Db\r\n");
    }

    #[test]
    fn ordinary_text_is_as_it_was() {
        for ordinary in ["", "note \"3 mm\"\n", "été 24° \u{2014} x", "\u{5e9}\u{5dc}", "a\tb\r\n"]
        {
            assert!(matches!(text(ordinary), Cow::Borrowed(t) if t == ordinary), "{ordinary:?}");
        }
    }

    #[test]
    fn places_move_with_the_text() {
        let shown = VisibleText::of("ab\u{1b}cd\u{202e}e");
        assert_eq!(shown.text, "abU+001BcdU+202Ee");
        let at = |c: char| shown.text.find(c).unwrap();
        for (was, c) in [(0, 'a'), (1, 'b'), (3, 'c'), (4, 'd'), (8, 'e')] {
            assert_eq!(shown.place(was), at(c), "{c}");
        }
        assert_eq!(shown.place(2), 2);
        assert_eq!(shown.place(9), shown.text.len());
    }
}
