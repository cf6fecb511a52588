//! The parser: runs the passes from text to tree in order.

use super::balance::{self, Balanced};
use super::context::Context;
use super::diagnose;
use super::grammar::{self, RawBlock, RawStatement};
use super::item::Item;
use super::item_builder::ItemBuilder;
pub use super::limits::{EDITION, FINDING_LIMIT, SIZE_LIMIT};
use super::patterns::patterns;
use super::split;
use super::statement_parser::{StatementMatch, StatementParser, say_side};
use super::token::{Token, TokenKind, lex};
use super::tree::{Block, FileKind, Id, Parse, Statement, Unread};
use super::trivia::{NonTrivia, without_trivia};
use springline_finding::Finding;
use springline_text::identity;
use springline_text::identity::Looks;
use springline_text::{FileId, Span};

/// Parses a text. Any input gives a tree and findings.
pub fn parse(file: FileId, source: &str) -> Parse {
    let mut parse = empty(file, source);
    if source.len() > SIZE_LIMIT {
        parse.unread = Some(Unread::TooLarge);
        parse.findings.push(diagnose::file::too_large(file));
        return parse;
    }
    parse.tokens = lex(source);
    let sigs = without_trivia(&parse.tokens);
    if let Some((edition, span)) = stated_edition(source, &sigs) {
        parse.edition = Some(edition);
        if edition > EDITION {
            parse.unread = Some(Unread::NewerEdition(edition));
            parse.findings.push(diagnose::file::newer_edition(parse.place(span), edition));
            return parse;
        }
    }
    let (kind, base) = file_kind(source, &sigs);
    parse.kind = kind;
    let balanced = balance::balance(source, &sigs, base);
    if let Some(span) = balanced.too_deep {
        parse.unread = Some(Unread::TooDeep);
        parse.findings.push(diagnose::file::too_deep(parse.place(span)));
        return parse;
    }
    let mut reader = StatementParser::new(&mut parse, base);
    reader.braces(&balanced);
    reader.body(&balanced);
    reader.openings();
    reader.finish();
    parse
}

/// Parses a range of whole lines outside all braces, in a file of known kind. `None` where it cannot be
/// parsed alone: its braces are not balanced, or its last line continues.
pub(super) fn piece(before: &Parse, source: &str, stretch: Span) -> Option<Parse> {
    let mut parse = Parse { kind: before.kind, ..empty(before.file, source) };
    let start = stretch.start;
    let moved = |t: Token| Token {
        span: Span { start: t.span.start + start, end: t.span.end + start },
        ..t
    };
    parse.tokens = lex(source.get(stretch.range())?).into_iter().map(moved).collect();
    let sigs = without_trivia(&parse.tokens);
    let is_last = stretch.end as usize == source.len();
    let ends = sigs.last().is_none_or(|s| s.kind == TokenKind::Newline);
    let base = base(before.kind)?;
    let balanced = balance::balance(source, &sigs, base);
    let even =
        balanced.unclosed.is_empty() && balanced.extra.is_empty() && balanced.too_deep.is_none();
    if !even || !(ends || is_last) || sigs.first().is_some_and(|s| s.kind == TokenKind::Open) {
        return None;
    }
    let mut reader = StatementParser::new(&mut parse, base);
    reader.body(&balanced);
    reader.finish();
    Some(parse)
}

/// The context outside all braces of such a file.
fn base(kind: FileKind) -> Option<Context> {
    match kind {
        FileKind::House => Some(Context::House),
        FileKind::Case => Some(Context::Case),
        FileKind::Unsaid => None,
    }
}

/// Adds the findings about the whole file to a tree assembled from parts.
pub(super) fn conclude(parse: &mut Parse) {
    let Some(base) = base(parse.kind) else { return };
    let mut reader = StatementParser::new(parse, base);
    reader.openings();
    reader.finish();
}

/// Made by [`conclude`].
pub(super) fn is_of_whole_file(finding: &Finding) -> bool {
    diagnose::file::OPENINGS.contains(&finding.code.as_str())
}

fn empty(file: FileId, source: &str) -> Parse {
    Parse {
        file,
        source: source.into(),
        tokens: Vec::new(),
        kind: FileKind::Unsaid,
        edition: None,
        unread: None,
        braces_guessed: false,
        statements: Vec::new(),
        top: Vec::new(),
        findings: Vec::new(),
        looks: Vec::new(),
        items: Vec::new(),
        events: Vec::new(),
    }
}

/// The edition in `springline N`, if the file begins with it.
fn stated_edition(source: &str, sigs: &[NonTrivia]) -> Option<(u32, Span)> {
    let mut sigs = sigs.iter().filter(|s| s.kind != TokenKind::Newline);
    let (word, number) = (sigs.next()?, sigs.next()?);
    let says = source.get(word.span.range())?.eq_ignore_ascii_case("springline");
    if !says || number.kind != TokenKind::Number {
        return None;
    }
    let edition = source.get(number.span.range())?.parse::<f64>().ok()?;
    (edition.fract() == 0.0).then_some((edition as u32, word.span.to(number.span)))
}

/// By its opening line, or else by words that occur only in one of the two.
fn file_kind(source: &str, sigs: &[NonTrivia]) -> (FileKind, Context) {
    let mut at_start = true;
    let (mut house, mut case) = (0usize, 0usize);
    for (i, sig) in sigs.iter().enumerate() {
        let starts = std::mem::replace(&mut at_start, false);
        at_start = matches!(sig.kind, TokenKind::Newline | TokenKind::Open | TokenKind::Close);
        if !starts || !sig.is_word() {
            continue;
        }
        let Some(word) = source.get(sig.span.range()).and_then(|t| patterns().keyword(t)) else {
            continue;
        };
        let text_follows = sigs.get(i + 1).is_some_and(|s| s.kind == TokenKind::Text);
        match word {
            "practice" if text_follows => return (FileKind::House, Context::House),
            "case" if text_follows => return (FileKind::Case, Context::Case),
            _ => {}
        }
        let stands = |context| patterns().at(context, word).next().is_some();
        house += usize::from(stands(Context::House) && !stands(Context::Case));
        case += usize::from(stands(Context::Case) && !stands(Context::House));
    }
    (FileKind::Unsaid, if house > case { Context::House } else { Context::Case })
}

impl StatementParser<'_> {
    fn braces(&mut self, balanced: &Balanced) {
        self.out.braces_guessed = !balanced.unclosed.is_empty() || !balanced.extra.is_empty();
        for (i, unclosed) in balanced.unclosed.iter().take(FINDING_LIMIT + 1).enumerate() {
            // Blocks inside it that end at the same place are closed with it.
            let before = balanced.unclosed[..i].iter().rev();
            let inner = before.take_while(|u| u.before == unclosed.before);
            let inner: Vec<_> = inner.filter(|u| u.open.start > unclosed.open.start).collect();
            let finding = diagnose::file::unclosed(self.out, unclosed, &inner);
            self.report(finding);
        }
        for span in balanced.extra.iter().take(FINDING_LIMIT + 1) {
            let finding = diagnose::file::extra_brace(self.out, *span);
            self.report(finding);
        }
    }

    /// Parses all statements and reports findings about single tokens.
    fn body(&mut self, balanced: &Balanced) {
        self.marks();
        let raw = grammar::statements(&balanced.sigs).unwrap_or_default();
        self.out.top = self.statements(balanced, &raw, None, Some(self.base));
    }

    /// Findings of single tokens that are in no statement.
    fn marks(&mut self) {
        let hashes = self.out.tokens.iter().filter(|t| t.kind == TokenKind::HashComment);
        let hashes: Vec<Token> = hashes.take(FINDING_LIMIT + 1).copied().collect();
        for token in hashes {
            let finding = diagnose::file::hash_comment(self.out, token.span);
            self.report(finding);
        }
        self.hidden();
        self.out.looks = self.looks();
    }

    /// Everything in a file that is human text, and looks like somebody's identity.
    fn looks(&self) -> Vec<(Span, Looks)> {
        let human = |t: &&Token| t.kind.is_human_text();
        let found = |token: &Token| {
            let start = token.span.start as usize;
            let found = identity::find(self.out.text(token.span)).into_iter();
            found.map(move |(r, looks)| (Span::new(start + r.start, start + r.end), looks))
        };
        self.out.tokens.iter().filter(human).flat_map(found).collect()
    }

    /// Invisible characters in texts and comments, one finding for each text. Elsewhere such a character
    /// is an item of its own and is reported with its statement.
    fn hidden(&mut self) {
        let source = self.out.source.clone();
        let tokens = self.out.tokens.iter().filter(|t| t.kind.is_human_text());
        let texts = tokens.filter_map(|t| Some((t.span, source.get(t.span.range())?)));
        let findings = texts.flat_map(|(span, text)| diagnose::hidden::of(self.out, span, text));
        let findings: Vec<Finding> = findings.take(FINDING_LIMIT + 1).collect();
        for finding in findings {
            self.report(finding);
        }
    }

    fn statements(
        &mut self,
        balanced: &Balanced,
        raw: &[RawStatement],
        parent: Option<Id>,
        context: Option<Context>,
    ) -> Vec<Id> {
        let mut ids = Vec::with_capacity(raw.len());
        for statement in raw {
            self.statement(balanced, statement, parent, context, &mut ids);
        }
        ids
    }

    /// One raw statement gives one statement, or several where they stand on one line.
    fn statement(
        &mut self,
        balanced: &Balanced,
        raw: &RawStatement,
        parent: Option<Id>,
        context: Option<Context>,
        ids: &mut Vec<Id>,
    ) {
        let source = self.out.source.clone();
        let lowering = ItemBuilder { source: &source, sigs: &balanced.sigs };
        let mut items: Vec<Item> = raw.items.iter().map(|raw| lowering.item(raw)).collect();
        say_side(&source, context, &mut items);
        let mut rest = &items[..];
        let mut outcome = self.outcome(rest, context);
        while matches!(outcome, StatementMatch::Short(..))
            && !self.is_full()
            && let Some(split) = split::find(self, rest, context)
        {
            let finding = diagnose::line::split(self.out, rest, &split);
            self.report(finding);
            let first = &rest[..split.end];
            let read = self.outcome(first, context);
            let id = self.add(first, read, parent, context, None);
            self.mark_faulty(id);
            ids.push(id);
            rest = &rest[split.next..];
            outcome = self.outcome(rest, context);
        }
        let is_rest = rest.len() < items.len();
        let id = self.add(rest, outcome, parent, context, raw.block.as_ref());
        ids.push(id);
        if is_rest {
            self.mark_faulty(id);
        }
        if let Some(block) = &raw.block {
            self.block(balanced, block, id, context, is_rest);
        }
    }

    fn block(
        &mut self,
        balanced: &Balanced,
        raw: &RawBlock,
        head: Id,
        outer: Option<Context>,
        is_rest: bool,
    ) {
        let keyword = self.out.line(head).and_then(|l| l.items().first().map(|i| i.span));
        let inner = match keyword {
            Some(span) if is_rest => {
                let keyword = self.out.text(span).to_owned();
                balance::inner_context(outer, &keyword, &mut 1)
            }
            _ => balanced.inside(raw.open.span),
        };
        let statements = self.statements(balanced, &raw.body, Some(head), inner);
        let block =
            Block { context: inner, open: raw.open.span, close: raw.close.span, statements };
        if let Some(statement) = self.out.statements.get_mut(head) {
            if keyword.is_none() {
                statement.span = block.open;
            }
            statement.block = Some(block);
        }
    }

    /// Marks a statement as having a syntax error.
    fn mark_faulty(&mut self, id: Id) {
        if let Some(statement) = self.out.statements.get_mut(id) {
            statement.is_faulty = true;
        }
    }

    /// Adds a statement, without its block, and reports what is wrong with it.
    fn add(
        &mut self,
        items: &[Item],
        outcome: StatementMatch,
        parent: Option<Id>,
        context: Option<Context>,
        block: Option<&RawBlock>,
    ) -> Id {
        let span = match (items.first(), items.last()) {
            (Some(first), Some(last)) => first.span.to(last.span),
            _ => Span::default(),
        };
        let mut is_faulty = false;
        if !self.is_full() {
            let findings = diagnose::findings(self, items, &outcome, context, block);
            for finding in findings {
                is_faulty |= finding.blocks();
                self.report(finding);
            }
        }
        let (row, is_read, events) = match outcome {
            StatementMatch::Read(pattern, events) => (Some(pattern.row), true, events),
            StatementMatch::Short(pattern, _) | StatementMatch::Later(pattern) => {
                (Some(pattern.row), false, Vec::new())
            }
            StatementMatch::Unknown | StatementMatch::Unjudged => (None, false, Vec::new()),
        };
        let opens_file = row.is_some_and(|row| row.inside == [Context::File]);
        let context = if opens_file { Some(Context::File) } else { context };
        let first_item = self.out.items.len() as u32;
        self.out.items.extend_from_slice(items);
        let first_event = self.out.events.len() as u32;
        self.out.events.extend(events);
        self.out.statements.push(Statement {
            span,
            parent,
            context,
            row,
            is_read,
            is_faulty: is_faulty || (!is_read && context.is_some()),
            block: None,
            items: (first_item, self.out.items.len() as u32),
            events: (first_event, self.out.events.len() as u32),
        });
        self.out.statements.len() - 1
    }

    /// What every file must state once.
    fn openings(&mut self) {
        let findings = diagnose::file::openings(self.out);
        for finding in findings {
            self.report(finding);
        }
    }

    fn finish(&mut self) {
        self.out.findings.sort_by_key(|f| (f.place.span.start, f.place.span.end));
        if self.more {
            self.out.findings.push(diagnose::file::too_many(self.out));
        }
    }
}
