//! The text of an open document, as the client edits it.

use std::sync::Arc;

use tower_lsp::ls_types::{TextDocumentContentChangeEvent, Uri};

use crate::features::while_typing::Typing;
use crate::position::{Encoding, Positions};
use springline_lang::text::LineIndex;

/// One open document. Only the owner changes it.
#[derive(Debug, Clone)]
pub struct Document {
    pub uri: Uri,
    pub version: i32,
    pub text: Arc<str>,
}

/// The text after a list of changes, each relative to the text after the previous ones; and the place of
/// typing.
pub fn apply(
    text: &str,
    changes: &[TextDocumentContentChangeEvent],
    encoding: Encoding,
) -> (String, Typing) {
    let mut text = text.to_owned();
    let mut typing = Typing::Away;
    let mut is_typing = changes.len() <= FEW;
    for change in changes {
        match change.range {
            None => {
                is_typing = false;
                text.clone_from(&change.text);
            }
            Some(range) => {
                let index = LineIndex::new(&text);
                let bytes = Positions::new(&text, &index, encoding).bytes(range);
                is_typing &= bytes.len() <= WORD && is_typed(&change.text);
                typing = Typing::At(bytes.start + cursor_in(&change.text));
                text.replace_range(bytes, &change.text);
            }
        }
    }
    (text, if is_typing { typing } else { Typing::Away })
}

/// Changes of one message that a key makes at most: what it types, and what the editor adds to it.
const FEW: usize = 4;

/// Most bytes that typing inserts or deletes at once: a completion, a selected range.
const WORD: usize = 80;

/// A key, a word from the menu, or Enter with the indentation that the editor adds: not something
/// pasted or laid out.
fn is_typed(text: &str) -> bool {
    text.len() <= WORD && (!text.contains(['\n', '\r']) || text.trim().is_empty())
}

/// The cursor within the inserted text: at its end, but after Enter between braces on the new line.
fn cursor_in(text: &str) -> usize {
    match text.find('\n') {
        Some(first) => text[first + 1..].find(['\n', '\r']).map_or(text.len(), |i| first + 1 + i),
        None => text.len(),
    }
}

#[cfg(test)]
mod tests {
    use tower_lsp::ls_types::{Position, Range};

    use super::*;

    fn change(from: (u32, u32), to: (u32, u32), text: &str) -> TextDocumentContentChangeEvent {
        let position = |(line, character)| Position { line, character };
        let range = Range { start: position(from), end: position(to) };
        TextDocumentContentChangeEvent { range: Some(range), range_length: None, text: text.into() }
    }

    #[test]
    fn changes_build_on_one_another() {
        let changes = [change((0, 1), (0, 1), "\n"), change((1, 0), (1, 1), "Z")];
        assert_eq!(apply("abc", &changes, Encoding::Utf16).0, "a\nZc");
    }

    #[test]
    fn positions_outside_are_clamped_and_ends_the_wrong_way_round_are_swapped() {
        let at = |change| apply("ab\ncd", &[change], Encoding::Utf16).0;
        assert_eq!(at(change((0, 99), (0, 99), "X")), "abX\ncd");
        assert_eq!(at(change((9, 9), (9, 9), "X")), "ab\ncdX");
        assert_eq!(at(change((1, 0), (0, 0), "")), "cd");
    }

    #[test]
    fn surrogate_pairs_count_two() {
        assert_eq!(apply("😀x", &[change((0, 2), (0, 3), "y")], Encoding::Utf16).0, "😀y");
        assert_eq!(apply("😀x", &[change((0, 1), (0, 2), "y")], Encoding::Utf32).0, "😀y");
        assert_eq!(apply("😀x", &[change((0, 4), (0, 5), "y")], Encoding::Utf8).0, "😀y");
    }

    #[test]
    fn a_key_is_told_from_what_is_pasted() {
        let typing = |change| apply("ab\ncd", &[change], Encoding::Utf16).1;
        assert_eq!(typing(change((0, 1), (0, 1), "x")), Typing::At(2));
        assert_eq!(typing(change((0, 0), (0, 1), "")), Typing::At(0));
        assert_eq!(typing(change((0, 2), (0, 2), "\n  \n")), Typing::At(5));
        assert_eq!(typing(change((0, 2), (0, 2), "\nhook 13\n")), Typing::Away);
        assert_eq!(typing(change((0, 0), (0, 0), &"long ".repeat(20))), Typing::Away);
        let whole = TextDocumentContentChangeEvent {
            range: None,
            range_length: None,
            text: "x".to_owned(),
        };
        assert_eq!(typing(whole), Typing::Away);
    }
}
