//! The lossless syntax tree: statements in blocks, each with its items as typed and with the matches of
//! its pattern.
//!
//! Statements are stored in one list and refer to each other by index, so that no operation on a tree,
//! not even dropping it, is recursive.

use std::sync::Arc;

use super::context::Context;
use super::item::{DateMark, Item, ItemKind, Measure, ToothSpan};
use super::pattern::{EXCEPT, Placeholder, PlaceholderKind};
use super::program::{MatchEvent, MatchEventKind};
use super::token::Token;
use super::vocabulary::Production;
use springline_finding::Finding;
use springline_text::identity::Looks;
use springline_text::{FileId, Place, Span};

/// A statement's index in its tree.
pub type Id = usize;

/// What kind of file this is, by its opening line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FileKind {
    House,
    Case,
    /// No opening line yet.
    Unsaid,
}

/// Why the text was not parsed at all; one finding says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unread {
    TooLarge,
    TooDeep,
    NewerEdition(u32),
}

/// The result of parsing: tokens, tree and findings, always all three.
#[derive(Debug, Clone)]
pub struct Parse {
    pub file: FileId,
    pub source: Arc<str>,
    /// Every byte of the source, in order.
    pub tokens: Vec<Token>,
    pub kind: FileKind,
    pub edition: Option<u32>,
    /// The text was not parsed; the tree is empty.
    pub unread: Option<Unread>,
    /// A brace is missing or surplus, so the blocks were recovered.
    pub braces_guessed: bool,
    pub statements: Vec<Statement>,
    /// The statements outside all braces, in order.
    pub top: Vec<Id>,
    pub findings: Vec<Finding>,
    /// What in texts and comments looks like a patient's identity, in order.
    pub looks: Vec<(Span, Looks)>,
    pub(super) items: Vec<Item>,
    pub(super) events: Vec<MatchEvent>,
}

/// One statement; read it through [`StatementRef`].
#[derive(Debug, Clone)]
pub struct Statement {
    /// Its words, without its block.
    pub span: Span,
    pub parent: Option<Id>,
    /// The context it is in; `None` inside a block that is not known.
    pub context: Option<Context>,
    /// The row it matches, or comes closest to.
    pub row: Option<&'static Production>,
    /// It matches its row, so its fields can be read.
    pub is_read: bool,
    /// It has a syntax error. Its fields may still be readable.
    pub is_faulty: bool,
    pub block: Option<Block>,
    pub(super) items: (u32, u32),
    pub(super) events: (u32, u32),
}

/// The block in braces after a statement.
#[derive(Debug, Clone)]
pub struct Block {
    pub context: Option<Context>,
    pub open: Span,
    /// Empty where the brace is missing.
    pub close: Span,
    pub statements: Vec<Id>,
}

impl Parse {
    /// The statements outside all braces.
    pub fn lines(&self) -> impl Iterator<Item = StatementRef<'_>> {
        self.top.iter().filter_map(|id| self.line(*id))
    }

    /// Every statement, each before those of its block.
    pub fn all_lines(&self) -> impl Iterator<Item = StatementRef<'_>> {
        (0..self.statements.len()).filter_map(|id| self.line(id))
    }

    pub fn line(&self, id: Id) -> Option<StatementRef<'_>> {
        let statement = self.statements.get(id)?;
        Some(StatementRef { parse: self, id, statement })
    }

    /// The statement whose words cover this.
    pub fn statement_at(&self, span: Span) -> Option<StatementRef<'_>> {
        let after = self.statements.partition_point(|s| s.span.start <= span.start);
        self.line(after.checked_sub(1)?).filter(|line| span.end <= line.span().end)
    }

    pub fn text(&self, span: Span) -> &str {
        self.source.get(span.range()).unwrap_or_default()
    }

    pub fn place(&self, span: Span) -> Place {
        Place { file: self.file, span }
    }
}

/// A statement together with its tree and text.
#[derive(Debug, Clone, Copy)]
pub struct StatementRef<'a> {
    pub parse: &'a Parse,
    pub id: Id,
    pub statement: &'a Statement,
}

impl<'a> StatementRef<'a> {
    /// Its keyword in canonical form, if the language knows it.
    pub fn keyword(self) -> Option<&'static str> {
        self.items().first().and_then(Item::keyword)
    }

    pub fn items(self) -> &'a [Item] {
        let (first, end) = self.statement.items;
        self.parse.items.get(first as usize..end as usize).unwrap_or_default()
    }

    pub fn row(self) -> Option<&'static Production> {
        self.statement.row
    }

    pub fn context(self) -> Option<Context> {
        self.statement.context
    }

    pub fn is_read(self) -> bool {
        self.statement.is_read
    }

    pub fn is_faulty(self) -> bool {
        self.statement.is_faulty
    }

    pub fn span(self) -> Span {
        self.statement.span
    }

    /// The statement and its block.
    pub fn whole_span(self) -> Span {
        self.statement.block.as_ref().map_or(self.span(), |b| self.span().to(b.open).to(b.close))
    }

    pub fn place(self) -> Place {
        self.parse.place(self.span())
    }

    pub fn text(self) -> &'a str {
        self.parse.text(self.span())
    }

    pub fn parent(self) -> Option<StatementRef<'a>> {
        self.parse.line(self.statement.parent?)
    }

    pub fn block(self) -> Option<&'a Block> {
        self.statement.block.as_ref()
    }

    /// The statements of its block; none where it has no block.
    pub fn children(self) -> impl Iterator<Item = StatementRef<'a>> {
        let ids = self.block().map_or(&[][..], |b| b.statements.as_slice());
        ids.iter().filter_map(move |id| self.parse.line(*id))
    }

    /// All matches of its pattern.
    pub fn group(self) -> FragmentMatch<'a> {
        let (first, end) = self.statement.events;
        let events = self.parse.events.get(first as usize..end as usize).unwrap_or_default();
        FragmentMatch { line: self, name: "", events }
    }

    pub(super) fn hole(self, label: &str) -> Option<FieldValue<'a>> {
        self.group().hole(label)
    }

    pub fn holes(self, hole: PlaceholderKind) -> impl Iterator<Item = FieldValue<'a>> {
        self.group().holes(hole)
    }

    pub(super) fn groups(self, name: &'static str) -> impl Iterator<Item = FragmentMatch<'a>> {
        self.group().groups(name)
    }
}

/// The match of a fragment of a pattern (`stand`, `clause`, `term` ...) or of a whole statement.
#[derive(Debug, Clone, Copy)]
pub struct FragmentMatch<'a> {
    pub line: StatementRef<'a>,
    /// The fragment's name, empty for a whole statement.
    pub name: &'static str,
    events: &'a [MatchEvent],
}

impl<'a> FragmentMatch<'a> {
    pub(super) fn new(
        line: StatementRef<'a>,
        name: &'static str,
        events: &'a [MatchEvent],
    ) -> Self {
        FragmentMatch { line, name, events }
    }

    /// Whether a keyword occurs in it, at any depth.
    pub(super) fn has(self, word: &str) -> bool {
        self.words().any(|w| w == word)
    }

    /// Its first keyword, in canonical form: `rotated`, `ends`, `overjet`.
    pub fn word(self) -> Option<&'static str> {
        self.words().next()
    }

    /// Its keywords in order, in canonical form.
    pub fn words(self) -> impl Iterator<Item = &'static str> + 'a {
        self.events.iter().filter_map(|e| match e.kind {
            MatchEventKind::Word(word) => Some(word),
            _ => None,
        })
    }

    /// The first field with this label; an unlabelled placeholder has its kind as label (`teeth`).
    pub(super) fn hole(self, label: &str) -> Option<FieldValue<'a>> {
        self.field_values().find(|c| c.slot.label == label)
    }

    /// Every field of a kind, in order.
    pub fn holes(self, hole: PlaceholderKind) -> impl Iterator<Item = FieldValue<'a>> {
        self.field_values().filter(move |c| c.slot.hole == hole)
    }

    /// Every field, in order.
    pub fn field_values(self) -> impl Iterator<Item = FieldValue<'a>> {
        self.events.iter().filter_map(move |e| FieldValue::of(self.line, e))
    }

    /// The fragments of this name in it, at any depth, in order.
    pub(super) fn groups(self, name: &'static str) -> impl Iterator<Item = FragmentMatch<'a>> {
        self.fragments().filter(move |fragment| fragment.name == name)
    }

    /// Every fragment in it, at any depth, in order.
    pub fn fragments(self) -> impl Iterator<Item = FragmentMatch<'a>> {
        let events = self.events;
        events.iter().enumerate().filter_map(move |(at, event)| match event.kind {
            MatchEventKind::Open(name) => {
                let events = events.get(at + 1..closing(events, at))?;
                Some(FragmentMatch { line: self.line, name, events })
            }
            _ => None,
        })
    }

    /// The text it covers.
    pub fn span(self) -> Span {
        let mut spans = self.events.iter().filter_map(|e| self.span_of(e));
        let first = spans.next().unwrap_or(self.line.span());
        spans.fold(first, Span::to)
    }

    pub(super) fn events(self) -> &'a [MatchEvent] {
        self.events
    }

    fn span_of(self, event: &MatchEvent) -> Option<Span> {
        let items = self.line.items().get(event.first as usize..event.end as usize)?;
        Some(items.first()?.span.to(items.last()?.span))
    }
}

/// Where the fragment that opens there is closed.
pub(super) fn closing(events: &[MatchEvent], open: usize) -> usize {
    let mut depth = 0usize;
    for (i, event) in events.iter().enumerate().skip(open) {
        match event.kind {
            MatchEventKind::Open(_) => depth += 1,
            MatchEventKind::Close => {
                depth = depth.saturating_sub(1);
                if depth == 0 {
                    return i;
                }
            }
            _ => {}
        }
    }
    events.len()
}

/// The value of a field, as typed.
#[derive(Debug, Clone, Copy)]
pub struct FieldValue<'a> {
    pub line: StatementRef<'a>,
    pub slot: Placeholder,
    pub items: &'a [Item],
}

impl<'a> FieldValue<'a> {
    pub(super) fn of(line: StatementRef<'a>, event: &MatchEvent) -> Option<Self> {
        let MatchEventKind::Slot(slot) = event.kind else { return None };
        let items = line.items().get(event.first as usize..event.end as usize)?;
        Some(FieldValue { line, slot, items })
    }

    pub fn span(self) -> Span {
        match (self.items.first(), self.items.last()) {
            (Some(first), Some(last)) => first.span.to(last.span),
            _ => self.line.span(),
        }
    }

    pub fn place(self) -> Place {
        self.line.parse.place(self.span())
    }

    /// As typed; a text in quotes without them.
    pub fn text(self) -> &'a str {
        match self.items {
            [Item { kind: ItemKind::Text(inner), .. }] => self.line.parse.text(*inner),
            _ => self.line.parse.text(self.span()),
        }
    }

    pub fn measure(self) -> Option<&'a Measure> {
        self.items.first()?.measure()
    }

    /// A whole number.
    pub fn count(self) -> Option<u32> {
        let value = self.measure()?.bare()?;
        (value >= 0.0 && value <= f64::from(u32::MAX)).then_some(value as u32)
    }

    /// Teeth and ranges of teeth, in the order typed; exclusions are in
    /// [`excepted`](FieldValue::excepted).
    pub fn teeth(self) -> impl Iterator<Item = ToothSpan> + 'a {
        let listed = self.items.iter().take_while(|i| i.keyword() != Some(EXCEPT));
        listed.filter_map(Item::teeth)
    }

    /// The teeth after `except`.
    pub fn excepted(self) -> impl Iterator<Item = ToothSpan> + 'a {
        let rest = self.items.iter().skip_while(|i| i.keyword() != Some(EXCEPT));
        rest.filter_map(Item::teeth)
    }

    pub fn date(self) -> Option<DateMark> {
        self.dates().map(|(first, _)| first)
    }

    /// Both ends of a range of dates; twice the same day for a single date.
    pub fn dates(self) -> Option<(DateMark, DateMark)> {
        self.items.first()?.dates()
    }
}
