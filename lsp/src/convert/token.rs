//! Semantic tokens in the protocol's packed form.

use springline_lang::syntax::TokenClass;
use springline_lang::text::Span;
use tower_lsp::ls_types::{
    SemanticToken, SemanticTokenModifier, SemanticTokenType, SemanticTokens, SemanticTokensEdit,
    SemanticTokensLegend,
};

use crate::position::Positions;

const TYPES: [SemanticTokenType; 8] = [
    SemanticTokenType::COMMENT,
    SemanticTokenType::STRING,
    SemanticTokenType::KEYWORD,
    SemanticTokenType::PROPERTY,
    SemanticTokenType::VARIABLE,
    SemanticTokenType::ENUM_MEMBER,
    SemanticTokenType::NUMBER,
    SemanticTokenType::TYPE,
];

/// The index into [`TYPES`], and the bits of the modifiers.
fn code(class: TokenClass) -> (u32, u32) {
    match class {
        TokenClass::Comment => (0, 0),
        TokenClass::Text => (1, 0),
        TokenClass::Keyword => (2, 0),
        TokenClass::Word => (3, 0),
        TokenClass::Definition => (4, 1),
        TokenClass::Name | TokenClass::Rule => (4, 0),
        TokenClass::Tooth => (5, 0),
        TokenClass::Number | TokenClass::Date => (6, 0),
        TokenClass::Unit => (7, 0),
    }
}

pub fn legend() -> SemanticTokensLegend {
    SemanticTokensLegend {
        token_types: TYPES.to_vec(),
        token_modifiers: vec![SemanticTokenModifier::DEFINITION],
    }
}

/// Each token relative to the previous one. A range over several lines is split at line ends.
pub fn tokens(
    classes: &[(Span, TokenClass)],
    text: &str,
    positions: &Positions<'_>,
) -> Vec<SemanticToken> {
    let mut out = Vec::with_capacity(classes.len());
    let (mut line, mut character) = (0, 0);
    let mut end = 0;
    for (span, class) in classes {
        if (span.start as usize) < end {
            continue;
        }
        let Some(words) = text.get(span.range()) else { continue };
        let words = words.split(['\n', '\r']).next().unwrap_or_default();
        let length = positions.units(words);
        if length == 0 {
            continue;
        }
        end = span.start as usize + words.len();
        let start = positions.at(span.start as usize);
        let delta_line = start.line - line;
        let delta_start =
            if delta_line == 0 { start.character - character } else { start.character };
        (line, character) = (start.line, start.character);
        let (token_type, token_modifiers_bitset) = code(*class);
        out.push(SemanticToken {
            delta_line,
            delta_start,
            length,
            token_type,
            token_modifiers_bitset,
        });
    }
    out
}

pub fn full(id: String, data: Vec<SemanticToken>) -> SemanticTokens {
    SemanticTokens { result_id: Some(id), data }
}

/// The one edit between two lists: what they share at both ends stays.
pub fn delta(old: &[SemanticToken], new: &[SemanticToken]) -> Vec<SemanticTokensEdit> {
    let head = old.iter().zip(new).take_while(|(a, b)| a == b).count();
    let (old, new) = (&old[head..], &new[head..]);
    let tail = old.iter().rev().zip(new.iter().rev()).take_while(|(a, b)| a == b).count();
    let (gone, come) = (old.len() - tail, &new[..new.len() - tail]);
    if gone == 0 && come.is_empty() {
        return Vec::new();
    }
    // Counted in numbers, of which each token is five.
    vec![SemanticTokensEdit {
        start: (head * 5) as u32,
        delete_count: (gone * 5) as u32,
        data: Some(come.to_vec()),
    }]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn token(length: u32) -> SemanticToken {
        SemanticToken {
            delta_line: 0,
            delta_start: 1,
            length,
            token_type: 0,
            token_modifiers_bitset: 0,
        }
    }

    #[test]
    fn a_delta_names_only_what_changed() {
        let old = [token(1), token(2), token(3), token(4)];
        let new = [token(1), token(9), token(9), token(3), token(4)];
        let edits = delta(&old, &new);
        assert_eq!(edits.len(), 1);
        assert_eq!((edits[0].start, edits[0].delete_count), (5, 5));
        assert_eq!(edits[0].data.as_deref(), Some(&[token(9), token(9)][..]));
        assert_eq!(delta(&old, &old), []);
        assert_eq!(delta(&[], &old)[0].delete_count, 0);
    }
}
