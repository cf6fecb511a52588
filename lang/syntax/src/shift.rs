//! Shifts positions in a tree when the text before them grows or shrinks.

use super::item::{Amount, DateMark, Item, ItemKind, Measure, ToothSpan, UnitMark};
use super::tree::{Block, Id, Statement};
use springline_finding::Finding;
use springline_text::{Place, Span};

/// How far everything behind a change has moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Shift {
    pub bytes: i64,
    pub statements: i64,
    pub items: i64,
    pub events: i64,
}

fn index(at: u32, by: i64) -> u32 {
    u32::try_from(i64::from(at) + by).unwrap_or(u32::MAX)
}

impl Shift {
    pub fn span(self, span: Span) -> Span {
        Span { start: index(span.start, self.bytes), end: index(span.end, self.bytes) }
    }

    pub fn id(self, id: Id) -> Id {
        id.checked_add_signed(self.statements as isize).unwrap_or(Id::MAX)
    }

    fn place(self, place: Place) -> Place {
        Place { span: self.span(place.span), ..place }
    }

    pub fn item(self, item: &Item) -> Item {
        let kind = match item.kind {
            ItemKind::Measure(m) => ItemKind::Measure(Measure {
                first: self.amount(m.first),
                second: m.second.map(|a| self.amount(a)),
                ..m
            }),
            ItemKind::Teeth(teeth) => ItemKind::Teeth(ToothSpan {
                first: self.span(teeth.first),
                last: teeth.last.map(|l| self.span(l)),
            }),
            ItemKind::Date(day) => ItemKind::Date(self.day(day)),
            ItemKind::Dates(first, last) => ItemKind::Dates(self.day(first), self.day(last)),
            ItemKind::Text(inner) => ItemKind::Text(self.span(inner)),
            kind @ (ItemKind::Word(_) | ItemKind::Rule | ItemKind::Comma | ItemKind::Bad) => kind,
        };
        Item { kind, span: self.span(item.span), slip: item.slip }
    }

    fn amount(self, amount: Amount) -> Amount {
        let unit = amount.unit.map(|u| UnitMark { span: self.span(u.span), ..u });
        Amount { span: self.span(amount.span), unit, ..amount }
    }

    fn day(self, day: DateMark) -> DateMark {
        DateMark { span: self.span(day.span), ..day }
    }

    pub fn statement(self, s: &Statement) -> Statement {
        let block = s.block.as_ref().map(|block| Block {
            context: block.context,
            open: self.span(block.open),
            close: self.span(block.close),
            statements: block.statements.iter().map(|id| self.id(*id)).collect(),
        });
        Statement {
            span: self.span(s.span),
            parent: s.parent.map(|id| self.id(id)),
            block,
            items: (index(s.items.0, self.items), index(s.items.1, self.items)),
            events: (index(s.events.0, self.events), index(s.events.1, self.events)),
            ..*s
        }
    }

    pub fn finding(self, finding: &Finding) -> Finding {
        let mut finding = finding.clone();
        finding.place = self.place(finding.place);
        for related in &mut finding.related {
            related.place = self.place(related.place);
        }
        for edit in finding.fixes.iter_mut().flat_map(|fix| &mut fix.edits) {
            edit.place = self.place(edit.place);
        }
        finding
    }
}
