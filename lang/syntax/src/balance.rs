//! Brace recovery, before parsing: closes every block that was left open where it must end, drops every
//! surplus brace, and reports one finding for each.
//!
//! Recovery works on tokens, so the grammar needs no error productions. It decides as a reader would: by
//! which statement may occur in which block, and by indentation.

use super::context::Context;
use super::patterns::patterns;
use super::suggest;
use super::token::TokenKind;
use super::trivia::NonTrivia;
use super::vocabulary::BlockRule;
use springline_text::Span;

/// Blocks may nest this deep; the language itself needs four.
pub const DEPTH_LIMIT: usize = 128;

/// A block without its closing brace.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unclosed {
    /// From the block's first word to its brace.
    pub head: Span,
    pub open: Span,
    /// The first word of the line that ends it; `None` at the end of the file.
    pub before: Option<Span>,
    /// Columns before the block's first word.
    pub indent: u32,
}

#[derive(Debug, Default)]
pub struct Balanced {
    pub sigs: Vec<NonTrivia>,
    pub unclosed: Vec<Unclosed>,
    pub extra: Vec<Span>,
    /// The context inside every opening brace, by the brace's offset.
    pub contexts: Vec<(u32, Option<Context>)>,
    /// The brace at which the depth was passed.
    pub too_deep: Option<Span>,
}

impl Balanced {
    /// The context inside the brace at an offset.
    pub fn inside(&self, open: Span) -> Option<Context> {
        let at = self.contexts.binary_search_by_key(&open.start, |(start, _)| *start).ok()?;
        self.contexts.get(at).and_then(|(_, context)| *context)
    }
}

/// The context of the block that a keyword opens within `outer`. A misspelt keyword counts as the one it
/// certainly means while there are `guesses` left.
pub fn inner_context(
    outer: Option<Context>,
    keyword: &str,
    guesses: &mut usize,
) -> Option<Context> {
    let table = patterns();
    let keyword = match table.keyword(keyword) {
        Some(keyword) if table.of(keyword).next().is_some() => keyword,
        _ => {
            *guesses = guesses.checked_sub(1)?;
            suggest::opener(outer, keyword)?
        }
    };
    let opened = |rule: BlockRule| match rule {
        BlockRule::May(context) | BlockRule::Must(context) => Some(context),
        BlockRule::None => None,
    };
    outer
        .and_then(|outer| table.at(outer, keyword).find_map(|p| opened(p.row.block)))
        .or_else(|| table.of(keyword).find_map(|p| opened(p.row.block)))
}

struct Level {
    open: Span,
    head: Span,
    context: Option<Context>,
    indent: u32,
    /// The first line inside is indented deeper than the head, so indentation is reliable.
    indented: Option<bool>,
}

struct Balancer<'a> {
    source: &'a str,
    sigs: &'a [NonTrivia],
    base: Context,
    levels: Vec<Level>,
    out: Balanced,
    /// Braces that are missing, if positive, or too many, if negative, by plain count.
    missing: i64,
    guesses: usize,
}

/// `base` is the context outside all braces: a practice file or a case.
pub fn balance(source: &str, sigs: &[NonTrivia], base: Context) -> Balanced {
    let count = |kind| sigs.iter().filter(|s| s.kind == kind).count() as i64;
    let missing = count(TokenKind::Open) - count(TokenKind::Close);
    let out = Balanced { sigs: Vec::with_capacity(sigs.len() + 4), ..Balanced::default() };
    let mut balancer =
        Balancer { source, sigs, base, levels: Vec::new(), out, missing, guesses: 200 };
    balancer.run();
    balancer.out
}

impl Balancer<'_> {
    fn run(&mut self) {
        let mut head = 0;
        let mut at_start = true;
        for (i, sig) in self.sigs.iter().enumerate() {
            if at_start && !matches!(sig.kind, TokenKind::Newline | TokenKind::Close) {
                head = i;
                self.line_begins(i);
            }
            at_start = matches!(sig.kind, TokenKind::Newline | TokenKind::Open | TokenKind::Close);
            match sig.kind {
                TokenKind::Open => {
                    self.open(head, i);
                    if self.levels.len() > DEPTH_LIMIT {
                        self.out.too_deep = Some(sig.span);
                        return;
                    }
                }
                TokenKind::Close if !self.close(i) => continue,
                _ => {}
            }
            self.out.sigs.push(*sig);
        }
        while !self.levels.is_empty() {
            self.close_unclosed(None);
        }
    }

    fn text(&self, sig: &NonTrivia) -> &str {
        self.source.get(sig.span.range()).unwrap_or_default()
    }

    fn context(&self) -> Option<Context> {
        self.levels.last().map_or(Some(self.base), |l| l.context)
    }

    fn open(&mut self, head: usize, at: usize) {
        let first = &self.sigs[head];
        let open = self.sigs[at].span;
        let (outer, source) = (self.context(), self.source);
        let keyword = source.get(first.span.range()).filter(|_| head < at);
        let context = keyword.and_then(|k| inner_context(outer, k, &mut self.guesses));
        let indent = first.indent.unwrap_or(0);
        self.out.contexts.push((open.start, context));
        self.levels.push(Level {
            open,
            head: first.span.to(open),
            context,
            indent,
            indented: None,
        });
    }

    /// Whether the brace is kept.
    fn close(&mut self, at: usize) -> bool {
        if self.levels.is_empty() || self.is_one_too_many(at) {
            self.out.extra.push(self.sigs[at].span);
            self.missing += 1;
            return false;
        }
        while self.closes_an_outer_block(at) {
            self.close_unclosed(Some(self.sigs[at].span));
        }
        self.levels.pop();
        true
    }

    /// With surplus braces in the file: whether this one does not end the block it appears to end.
    fn is_one_too_many(&self, at: usize) -> bool {
        let Some(level) = self.levels.last() else { return true };
        if self.missing >= 0 {
            return false;
        }
        if let Some(indent) = self.sigs[at].indent
            && level.indented == Some(true)
            && indent != level.indent
        {
            return true;
        }
        let next = self.sigs[at + 1..].iter().find(|s| s.kind != TokenKind::Newline);
        let Some(next) = next.filter(|s| s.is_word()) else { return false };
        let outer = self.levels.iter().rev().nth(1).map_or(Some(self.base), |l| l.context);
        self.fits(level.context, next) && !self.fits(outer, next)
    }

    /// With braces missing: whether this one is aligned with an outer block's first word.
    fn closes_an_outer_block(&self, at: usize) -> bool {
        let [.., outer, level] = self.levels.as_slice() else { return false };
        let Some(indent) = self.sigs[at].indent else { return false };
        self.missing > 0
            && level.indented == Some(true)
            && outer.indented == Some(true)
            && indent < level.indent
    }

    fn fits(&self, context: Option<Context>, sig: &NonTrivia) -> bool {
        context.is_some_and(|c| {
            patterns().keyword(self.text(sig)).is_some_and(|k| patterns().at(c, k).next().is_some())
        })
    }

    fn line_begins(&mut self, at: usize) {
        let sig = self.sigs[at];
        if let (Some(level), Some(indent)) = (self.levels.last_mut(), sig.indent)
            && level.indented.is_none()
        {
            level.indented = Some(indent > level.indent);
        }
        while !self.levels.is_empty() && (self.never_inside(at) || self.ends_by_indent(at)) {
            self.close_unclosed(Some(sig.span));
        }
    }

    /// Statements that occur only outside all braces.
    fn never_inside(&self, at: usize) -> bool {
        let sig = &self.sigs[at];
        let next = self.sigs.get(at + 1).map(|s| s.kind);
        match patterns().keyword(self.text(sig)) {
            Some("upper" | "lower") => next == Some(TokenKind::Open),
            Some("seen") => next == Some(TokenKind::Date),
            Some("case" | "practice") => next == Some(TokenKind::Text),
            Some("sequence") => self.opens(at),
            _ => false,
        }
    }

    /// With braces missing: whether a statement fits only outside and is indented no deeper than the
    /// block itself.
    fn ends_by_indent(&self, at: usize) -> bool {
        let (sig, Some(level)) = (&self.sigs[at], self.levels.last()) else { return false };
        if self.missing <= 0
            || level.indented != Some(true)
            || sig.indent.is_none_or(|indent| indent > level.indent)
            || self.fits(level.context, sig)
        {
            return false;
        }
        let outer = self.levels.iter().rev().skip(1).map(|l| l.context);
        outer.chain([Some(self.base)]).any(|context| self.fits(context, sig))
    }

    fn opens(&self, at: usize) -> bool {
        let ends =
            |k: TokenKind| matches!(k, TokenKind::Newline | TokenKind::Open | TokenKind::Close);
        self.sigs[at..].iter().find(|s| ends(s.kind)).is_some_and(|s| s.kind == TokenKind::Open)
    }

    fn close_unclosed(&mut self, before: Option<Span>) {
        let Some(level) = self.levels.pop() else { return };
        self.missing -= 1;
        self.out.unclosed.push(Unclosed {
            head: level.head,
            open: level.open,
            before,
            indent: level.indent,
        });
        let end = self.out.sigs.iter().rev().find(|s| s.kind != TokenKind::Newline);
        let end = end.map_or(0, |s| s.span.end as usize);
        let span = Span::new(end, end);
        self.out.sigs.push(NonTrivia { kind: TokenKind::Close, span, joint: false, indent: None });
    }
}
