//! Lexer: text to tokens. Every byte is in exactly one token, and lexing never fails.

use std::collections::HashMap;
use std::sync::LazyLock;

use logos::Logos;

use springline_text::Span;
use springline_units::quantity::Unit;

/// The lexical class of a token.
#[derive(Logos, Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TokenKind {
    /// Blanks of every kind, no-break and zero-width ones too, and a byte order mark.
    #[regex(
        r"[ \t\x0B\x0C\u{A0}\u{1680}\u{2000}-\u{200D}\u{202F}\u{205F}\u{2060}\u{3000}\u{FEFF}]+"
    )]
    Blank,
    #[regex(r"\r\n|\n|\r|\u{85}|\u{2028}|\u{2029}")]
    Newline,
    /// `//` to the end of the line.
    #[regex(r"//[^\n\r\u{85}\u{2028}\u{2029}]*", allow_greedy = true)]
    Comment,
    /// Letters and digits with inner hyphens; never `x` and a digit, which is a section.
    #[regex(r"[\p{L}--[xX]][\p{L}\p{M}\p{N}]*(-[\p{L}\p{M}\p{N}]+)*")]
    #[regex(r"[xX][\p{L}\p{M}][\p{L}\p{M}\p{N}]*(-[\p{L}\p{M}\p{N}]+)*")]
    #[regex(r"[xX](-[\p{L}\p{M}][\p{L}\p{M}\p{N}]*)(-[\p{L}\p{M}\p{N}]+)*")]
    Word,
    /// A word that looks like a tooth in quadrant letters: `UR3`, `LLE`.
    ToothWord,
    /// A word that is a unit where a number stands before it.
    UnitWord,
    /// `#6`, `#A`.
    #[regex(r"#[0-9]+|#[A-Za-z]")]
    ToothMark,
    /// `#` that is no tooth: somebody meant a comment. Reaches to the end of the line.
    #[regex(r"#", to_line_end)]
    #[regex(r"#[A-Za-z][\p{L}\p{M}\p{N}]+", to_line_end)]
    HashComment,
    #[regex(r"[0-9]+(\.[0-9]+)?|\.[0-9]+")]
    Number,
    #[regex(r"[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}")]
    Date,
    /// Looks like a date, but not in the order the language writes: `14/09/2026`, `14.9.26`.
    #[regex(r"[0-9]{1,2}\.[0-9]{1,2}\.[0-9]{2,4}")]
    #[regex(r"[0-9]{1,2}/[0-9]{1,2}/[0-9]{2,4}")]
    #[regex(r"[0-9]{1,2}-[0-9]{1,2}-[0-9]{2,4}")]
    #[regex(r"[0-9]{4}/[0-9]{1,2}/[0-9]{1,2}")]
    #[regex(r"[0-9]{4}\.[0-9]{1,2}\.[0-9]{1,2}")]
    DateLike,
    /// A text on one line, in straight or typographic quotes.
    #[regex("[\"\u{201C}\u{201D}\u{201E}\u{AB}]", quoted)]
    Text,
    /// A text whose closing quote is missing; reaches to the end of the line.
    OpenText,
    /// A quote right after a digit.
    InchMark,
    #[regex(r"[\u{B0}\u{BA}]", priority = 10)]
    Degree,
    #[token("%")]
    Percent,
    #[token("..")]
    #[token("\u{2026}")]
    #[token("\u{2025}")]
    Dots,
    #[regex("[xX\u{D7}]")]
    Cross,
    /// Hyphen, dashes, minus sign.
    #[regex(r"[-\u{2010}-\u{2015}\u{2212}]")]
    Dash,
    #[token(",")]
    Comma,
    #[token("/")]
    Slash,
    #[token("{")]
    Open,
    #[token("}")]
    Close,
    #[token("\0")]
    Nul,
    /// Anything else.
    Unknown,
}

/// One token; its text is the source at its span.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Token {
    pub kind: TokenKind,
    pub span: Span,
}

impl TokenKind {
    /// Whether the token is trivia: not part of the tree. A newline ends a statement, so it is not
    /// trivia.
    pub fn is_trivia(self) -> bool {
        matches!(self, TokenKind::Blank | TokenKind::Comment | TokenKind::HashComment)
    }

    /// Human text, which may contain any character.
    pub fn is_human_text(self) -> bool {
        matches!(
            self,
            TokenKind::Text | TokenKind::OpenText | TokenKind::Comment | TokenKind::HashComment
        )
    }
}

fn is_line_end(c: char) -> bool {
    matches!(c, '\n' | '\r' | '\u{85}' | '\u{2028}' | '\u{2029}')
}

fn to_line_end(lexer: &mut logos::Lexer<'_, TokenKind>) {
    let rest = lexer.remainder();
    lexer.bump(rest.find(is_line_end).unwrap_or(rest.len()));
}

/// A quote after a digit is an inch mark; any other opens a text that ends on its line.
fn quoted(lexer: &mut logos::Lexer<'_, TokenKind>) -> TokenKind {
    let start = lexer.span().start;
    let before = lexer.source().as_bytes().get(start.wrapping_sub(1)).copied();
    if before.is_some_and(|b| b.is_ascii_digit()) {
        return TokenKind::InchMark;
    }
    let opening = lexer.slice();
    let rest = lexer.remainder();
    let line = rest.find(is_line_end).unwrap_or(rest.len());
    let closes = |c: char| match opening {
        "\"" => c == '"',
        "\u{AB}" => c == '\u{BB}',
        _ => matches!(c, '"' | '\u{201C}' | '\u{201D}'),
    };
    match rest[..line].char_indices().find(|(_, c)| closes(*c)) {
        Some((at, quote)) => {
            lexer.bump(at + quote.len_utf8());
            TokenKind::Text
        }
        None => {
            lexer.bump(line);
            TokenKind::OpenText
        }
    }
}

/// The tokens of a text, in order, without a gap.
pub fn lex(source: &str) -> Vec<Token> {
    let mut tokens: Vec<Token> = Vec::with_capacity(source.len() / 3 + 8);
    for (kind, range) in TokenKind::lexer(source).spanned() {
        let span = Span::new(range.start, range.end);
        let kind = match kind {
            Ok(TokenKind::Word) => word_kind(&source[range]),
            Ok(kind) => kind,
            Err(()) => TokenKind::Unknown,
        };
        if kind == TokenKind::Word
            && let Some(parts) = joined_teeth(source, span)
        {
            tokens.extend(parts);
            continue;
        }
        match tokens.last_mut() {
            Some(last) if kind == TokenKind::Unknown && last.kind == TokenKind::Unknown => {
                last.span.end = span.end;
            }
            _ => tokens.push(Token { kind, span }),
        }
    }
    tokens
}

/// `UR5-UL5` is two teeth and a dash, not a word.
fn joined_teeth(source: &str, span: Span) -> Option<[Token; 3]> {
    let (first, last) = source.get(span.range())?.split_once('-')?;
    if !looks_like_a_tooth(first) || !looks_like_a_tooth(last) {
        return None;
    }
    let dash = span.start as usize + first.len();
    let token = |kind, start, end| Token { kind, span: Span::new(start, end) };
    Some([
        token(TokenKind::ToothWord, span.start as usize, dash),
        token(TokenKind::Dash, dash, dash + 1),
        token(TokenKind::ToothWord, dash + 1, span.end as usize),
    ])
}

fn word_kind(text: &str) -> TokenKind {
    if looks_like_a_tooth(text) {
        TokenKind::ToothWord
    } else if unit_of(text).is_some() {
        TokenKind::UnitWord
    } else {
        TokenKind::Word
    }
}

/// Quadrant letters and a place, whether or not such a tooth exists.
pub fn looks_like_a_tooth(text: &str) -> bool {
    let bytes = text.as_bytes();
    bytes.len() == 3
        && matches!(bytes[0], b'U' | b'L' | b'u' | b'l')
        && matches!(bytes[1], b'R' | b'L' | b'r' | b'l')
        && (bytes[2].is_ascii_digit() || matches!(bytes[2].to_ascii_uppercase(), b'A'..=b'E'))
        // Two capitals at least: `ulb` may well be somebody's name for a wire.
        && bytes[..2].iter().all(u8::is_ascii_uppercase)
}

/// Words accepted as units besides the units' symbols.
pub const UNIT_SPELLINGS: [&str; 20] = [
    "inch", "inches", "degree", "degrees", "week", "weeks", "wks", "month", "months", "day",
    "days", "hour", "hours", "minute", "minutes", "gram", "grams", "ounce", "ounces", "percent",
];

/// Every word for a unit, in lower case.
static UNIT_WORDS: LazyLock<HashMap<String, Unit>> = LazyLock::new(|| {
    let symbols = Unit::ALL.into_iter().map(|u| (u.symbol().to_lowercase(), u));
    let words = UNIT_SPELLINGS.iter().filter_map(|w| Some(((*w).to_owned(), Unit::parse(w)?)));
    symbols.chain(words).collect()
});

/// The unit a word stands for, also when its letters have the wrong case.
pub fn unit_of(text: &str) -> Option<Unit> {
    let mut small = [0u8; 8];
    let small = small.get_mut(..text.len())?;
    small.copy_from_slice(text.as_bytes());
    if !text.is_ascii() {
        return Unit::parse(text);
    }
    small.make_ascii_lowercase();
    let unit = UNIT_WORDS.get(std::str::from_utf8(small).ok()?).copied();
    unit.or_else(|| Unit::parse(text))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(source: &str) -> Vec<TokenKind> {
        lex(source).into_iter().map(|t| t.kind).filter(|k| *k != TokenKind::Blank).collect()
    }

    #[test]
    fn a_section_is_never_a_word() {
        use TokenKind::*;
        assert_eq!(kinds("0.016x0.022"), [Number, Cross, Number]);
        assert_eq!(kinds("0.016 × 0.022 in"), [Number, Cross, Number, UnitWord]);
        assert_eq!(kinds("steel-19x25 xray x-ray x"), [Word, Word, Word, Cross]);
    }

    #[test]
    fn quotes_after_digits_are_inches() {
        use TokenKind::*;
        assert_eq!(kinds("0.014\" \"text\""), [Number, InchMark, Text]);
        assert_eq!(kinds("“text” \"open"), [Text, OpenText]);
    }

    #[test]
    fn dates_ranges_and_what_looks_like_them() {
        use TokenKind::*;
        assert_eq!(kinds("2026-12-24..2027-01-02"), [Date, Dots, Date]);
        assert_eq!(
            kinds("14.9.26 14/09/2026 1/4 8..10 .014"),
            [DateLike, DateLike, Number, Slash, Number, Number, Dots, Number, Number]
        );
    }

    #[test]
    fn teeth_and_hashes() {
        use TokenKind::*;
        assert_eq!(
            kinds("#6 #A UR3 URC #7..#10"),
            [ToothMark, ToothMark, ToothWord, ToothWord, ToothMark, Dots, ToothMark]
        );
        assert_eq!(kinds("# a comment 12\n#Apple pie"), [HashComment, Newline, HashComment]);
    }

    #[test]
    fn every_byte_is_in_one_token() {
        let source = "\u{feff}springline 1\r\nnote \"ä\" \0 € \u{a0}x7 .. …\n";
        let joined: String = lex(source).iter().map(|t| &source[t.span.range()]).collect();
        assert_eq!(joined, source);
    }

    #[test]
    fn words_for_units_are_known_in_either_case() {
        for word in UNIT_SPELLINGS {
            assert_eq!(unit_of(word), Unit::parse(word), "{word}");
            assert!(unit_of(word).is_some(), "{word}");
        }
        for unit in Unit::ALL.into_iter().filter(|u| *u != Unit::Percent) {
            assert_eq!(unit_of(unit.symbol()), Some(unit));
            assert_eq!(unit_of(&unit.symbol().to_uppercase()), Some(unit));
        }
        assert_eq!(unit_of("\u{b5}m"), Some(Unit::Um));
        assert_eq!(unit_of("gf"), Some(Unit::G));
        assert_eq!(unit_of("upper"), None);
    }
}
