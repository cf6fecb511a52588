//! The tokens the grammar sees: no blanks, no comments, newlines only where they end a statement.

use super::token::{Kind, Token};
use crate::finding::Span;

/// A token that means something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sig {
    pub kind: Kind,
    pub span: Span,
    /// Touches the token before it.
    pub joint: bool,
    /// Columns before it, if it is the first on its line.
    pub indent: Option<u32>,
}

impl Sig {
    pub fn is_word(&self) -> bool {
        matches!(self.kind, Kind::Word | Kind::UnitWord)
    }
}

/// A newline after a comma goes on with the statement; one before `{` is forgiven.
pub fn without_trivia(tokens: &[Token]) -> Vec<Sig> {
    let mut out: Vec<Sig> = Vec::with_capacity(tokens.len() / 2 + 1);
    let mut line_begin = tokens.first().map_or(0, |t| t.span.start);
    let mut fresh = true;
    for token in tokens {
        match token.kind {
            Kind::Blank | Kind::Comment | Kind::HashComment => continue,
            Kind::Newline => {
                line_begin = token.span.end;
                fresh = true;
                let last = out.last().map_or(Kind::Newline, |s| s.kind);
                if matches!(last, Kind::Newline | Kind::Comma) {
                    continue;
                }
            }
            Kind::Open => forgive_newline(&mut out),
            _ => {}
        }
        let joint = out.last().is_some_and(|s| s.span.end == token.span.start);
        let indent = (fresh && token.kind != Kind::Newline)
            .then(|| token.span.start.saturating_sub(line_begin));
        fresh = fresh && token.kind == Kind::Newline;
        out.push(Sig { kind: token.kind, span: token.span, joint, indent });
    }
    out
}

fn forgive_newline(out: &mut Vec<Sig>) {
    if let [.., before, last] = out.as_slice()
        && last.kind == Kind::Newline
        && !matches!(before.kind, Kind::Open | Kind::Close)
    {
        out.pop();
    }
}
