//! A fix is tried before it is offered: the mended line is read as the real one would be.

use super::super::context::Context;
use super::super::grammar;
use super::super::item::{Item, ItemKind};
use super::super::lower::Lowering;
use super::super::read::{Outcome, Reader};
use super::super::significant::significant;
use super::super::token::lex;
use super::detail;
use crate::finding::{Edit, Finding, Fix, FixKind, Span};

/// Lines longer than this are not tried; their findings come without fixes.
const LONGEST: usize = 2000;

/// The text of a line of items with one stretch replaced.
fn mended(reader: &Reader<'_>, items: &[Item], span: Span, text: &str) -> Option<String> {
    let (first, last) = (items.first()?.span, items.last()?.span);
    let start = first.start.min(span.start) as usize;
    let end = last.end.max(span.end) as usize;
    if end - start > LONGEST {
        return None;
    }
    let source = &reader.out.source;
    let before = source.get(start..span.start as usize)?;
    let after = source.get(span.end as usize..end)?;
    Some(format!("{before}{text}{after}"))
}

/// Slips of a line that have findings of their own.
fn slips(items: &[Item]) -> usize {
    items.iter().filter(|i| i.slip.is_some_and(|s| !s.is_harmless())).count()
}

/// Whether a text reads as one whole statement, with no more than so many slips in it.
fn reads(reader: &mut Reader<'_>, text: &str, context: Context, allowed: usize) -> bool {
    let sigs = significant(&lex(text));
    let Some(raw) = grammar::statements(&sigs) else { return false };
    let [statement] = raw.as_slice() else { return false };
    if statement.block.is_some() {
        return false;
    }
    let lowering = Lowering { source: text, sigs: &sigs };
    let items: Vec<Item> = statement.items.iter().map(|raw| lowering.item(raw)).collect();
    if items.iter().any(|i| matches!(i.kind, ItemKind::Bad)) || slips(&items) > allowed {
        return false;
    }
    match reader.outcome(&items, Some(context)) {
        Outcome::Read(_, events) => !detail::is_said_twice(&items, &events),
        _ => false,
    }
}

/// Adds a fix if the line, so mended, reads as a whole.
pub fn offer(
    reader: &mut Reader<'_>,
    finding: Finding,
    items: &[Item],
    context: Context,
    fix: (FixKind, &str, Span, &str),
) -> Finding {
    let (kind, title, span, text) = fix;
    match mended(reader, items, span, text) {
        Some(line) if reads(reader, &line, context, slips(items)) => {
            finding.fix(Fix::replace(title, kind, reader.out.place(span), text))
        }
        _ => finding,
    }
}

/// The stretch from one offset to another, for an edit.
pub fn edit(reader: &Reader<'_>, span: Span, text: impl Into<String>) -> Edit {
    Edit { place: reader.out.place(span), text: text.into() }
}
