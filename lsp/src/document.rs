//! A text as the client edits it.

use std::sync::Arc;

use tower_lsp::ls_types::{TextDocumentContentChangeEvent, Uri};

use crate::position::{Encoding, LineIndex, Positions};

/// One open document. Only the owner changes it.
#[derive(Debug, Clone)]
pub struct Document {
    pub uri: Uri,
    pub version: i32,
    pub text: Arc<str>,
}

/// The text after a list of changes, each counted in the text that the ones before it left.
pub fn apply(text: &str, changes: &[TextDocumentContentChangeEvent], encoding: Encoding) -> String {
    let mut text = text.to_owned();
    for change in changes {
        match change.range {
            None => text.clone_from(&change.text),
            Some(range) => {
                let index = LineIndex::new(&text);
                let bytes = Positions::new(&text, &index, encoding).bytes(range);
                text.replace_range(bytes, &change.text);
            }
        }
    }
    text
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
        assert_eq!(apply("abc", &changes, Encoding::Utf16), "a\nZc");
    }

    #[test]
    fn positions_outside_are_clamped_and_ends_the_wrong_way_round_are_swapped() {
        let at = |change| apply("ab\ncd", &[change], Encoding::Utf16);
        assert_eq!(at(change((0, 99), (0, 99), "X")), "abX\ncd");
        assert_eq!(at(change((9, 9), (9, 9), "X")), "ab\ncdX");
        assert_eq!(at(change((1, 0), (0, 0), "")), "cd");
    }

    #[test]
    fn surrogate_pairs_count_two() {
        assert_eq!(apply("😀x", &[change((0, 2), (0, 3), "y")], Encoding::Utf16), "😀y");
        assert_eq!(apply("😀x", &[change((0, 1), (0, 2), "y")], Encoding::Utf32), "😀y");
        assert_eq!(apply("😀x", &[change((0, 4), (0, 5), "y")], Encoding::Utf8), "😀y");
    }
}
