//! The tokens the grammar sees: trivia (blanks and comments) removed, newlines kept only where they end a
//! statement.

use super::token::{Token, TokenKind};
use springline_text::Span;

/// A token that is not trivia.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NonTrivia {
    pub kind: TokenKind,
    pub span: Span,
    /// Follows the previous token without a blank.
    pub joint: bool,
    /// Columns before it, if it is the first on its line.
    pub indent: Option<u32>,
}

impl NonTrivia {
    pub fn is_word(&self) -> bool {
        matches!(self.kind, TokenKind::Word | TokenKind::UnitWord)
    }
}

/// A newline after a comma continues the statement; one before `{` is ignored.
pub fn without_trivia(tokens: &[Token]) -> Vec<NonTrivia> {
    let mut out: Vec<NonTrivia> = Vec::with_capacity(tokens.len() / 2 + 1);
    let mut line_begin = tokens.first().map_or(0, |t| t.span.start);
    let mut fresh = true;
    for token in tokens {
        match token.kind {
            TokenKind::Blank | TokenKind::Comment | TokenKind::HashComment => continue,
            TokenKind::Newline => {
                line_begin = token.span.end;
                fresh = true;
                let last = out.last().map_or(TokenKind::Newline, |s| s.kind);
                if matches!(last, TokenKind::Newline | TokenKind::Comma) {
                    continue;
                }
            }
            TokenKind::Open => forgive_newline(&mut out),
            _ => {}
        }
        let joint = out.last().is_some_and(|s| s.span.end == token.span.start);
        let indent = (fresh && token.kind != TokenKind::Newline)
            .then(|| token.span.start.saturating_sub(line_begin));
        fresh = fresh && token.kind == TokenKind::Newline;
        out.push(NonTrivia { kind: token.kind, span: token.span, joint, indent });
    }
    out
}

fn forgive_newline(out: &mut Vec<NonTrivia>) {
    if let [.., before, last] = out.as_slice()
        && last.kind == TokenKind::Newline
        && !matches!(before.kind, TokenKind::Open | TokenKind::Close)
    {
        out.pop();
    }
}
