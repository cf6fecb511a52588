//! Classifies every part of a text for syntax highlighting.

use super::super::item::{Amount, Item, ItemKind};
use super::super::pattern::{Placeholder, PlaceholderKind};
use super::super::program::MatchEventKind;
use super::super::token::TokenKind;
use super::super::tree::{Parse, StatementRef};
use springline_text::Span;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TokenClass {
    Comment,
    Text,
    /// The keyword of a statement.
    Keyword,
    /// Any other word of the language.
    Word,
    /// A name where it is defined.
    Definition,
    /// A name where it is used.
    Name,
    Tooth,
    Number,
    Unit,
    Date,
    /// The name of a finding.
    Rule,
}

/// The classified ranges of a text, in order and disjoint.
pub fn classify(parse: &Parse) -> Vec<(Span, TokenClass)> {
    let comment = |k: TokenKind| matches!(k, TokenKind::Comment | TokenKind::HashComment);
    let tokens = parse.tokens.iter().filter(|t| comment(t.kind));
    let mut out: Vec<_> = tokens.map(|t| (t.span, TokenClass::Comment)).collect();
    for line in parse.all_lines() {
        statement(line, &mut out);
    }
    out.sort_by_key(|(span, _)| (span.start, span.end));
    out
}

fn statement(line: StatementRef<'_>, out: &mut Vec<(Span, TokenClass)>) {
    let items = line.items();
    let mut slots: Vec<Option<Placeholder>> = vec![None; items.len()];
    for event in line.group().events() {
        if let MatchEventKind::Slot(slot) = event.kind {
            for place in slots.iter_mut().take(event.end as usize).skip(event.first as usize) {
                *place = Some(slot);
            }
        }
    }
    // A word that a reader left out covers nothing.
    let typed = |item: &Item| item.span.start < item.span.end;
    for (i, (item, slot)) in items.iter().zip(slots).enumerate().filter(|(_, (i, _))| typed(i)) {
        class(item, slot, i == 0, out);
    }
}

fn class(item: &Item, slot: Option<Placeholder>, leads: bool, out: &mut Vec<(Span, TokenClass)>) {
    let is_tooth =
        slot.is_some_and(|s| matches!(s.hole, PlaceholderKind::Teeth | PlaceholderKind::Tooth));
    match item.kind {
        ItemKind::Word(keyword) => match (slot, keyword) {
            (Some(slot), _) if slot.hole == PlaceholderKind::Name => {
                let class = if slot.defines { TokenClass::Definition } else { TokenClass::Name };
                out.push((item.span, class));
            }
            (_, Some(_)) => {
                let class = if leads { TokenClass::Keyword } else { TokenClass::Word };
                out.push((item.span, class));
            }
            _ => {}
        },
        ItemKind::Measure(_) | ItemKind::Teeth(_) if is_tooth => {
            if let Some(teeth) = item.teeth() {
                out.push((teeth.first, TokenClass::Tooth));
                out.extend(teeth.last.map(|last| (last, TokenClass::Tooth)));
            }
        }
        ItemKind::Teeth(teeth) => out.push((teeth.span(), TokenClass::Tooth)),
        ItemKind::Measure(measure) => {
            amount(&measure.first, out);
            if let Some(second) = &measure.second {
                amount(second, out);
            }
        }
        ItemKind::Date(_) | ItemKind::Dates(..) => out.push((item.span, TokenClass::Date)),
        ItemKind::Text(_) => out.push((item.span, TokenClass::Text)),
        ItemKind::Rule => out.push((item.span, TokenClass::Rule)),
        ItemKind::Comma | ItemKind::Bad => {}
    }
}

fn amount(amount: &Amount, out: &mut Vec<(Span, TokenClass)>) {
    out.push((amount.span, TokenClass::Number));
    out.extend(amount.unit.map(|u| (u.span, TokenClass::Unit)));
}
