//! Tries a fix before it is offered: the edited line is parsed, and only fixes that give a complete
//! statement are kept.

use super::super::context::Context;
use super::super::grammar;
use super::super::item::{Item, ItemKind};
use super::super::item_builder::ItemBuilder;
use super::super::statement_parser::{StatementMatch, StatementParser, say_side};
use super::super::token::lex;
use super::super::trivia::without_trivia;
use super::detail;
use springline_finding::{Finding, Fix, FixKind};
use springline_text::{Edit, Span};

/// Lines longer than this are not tried; their findings come without fixes.
const LONGEST: usize = 2000;

/// The text of a line with one range replaced.
fn mended(reader: &StatementParser<'_>, items: &[Item], span: Span, text: &str) -> Option<String> {
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

/// Recoverable typing errors of a line, each of which has its own finding.
fn slips(items: &[Item]) -> usize {
    items.iter().filter(|i| i.slip.is_some_and(|s| !s.is_harmless())).count()
}

/// Whether a text parses as one complete statement with at most that many recoverable typing errors.
fn reads(reader: &mut StatementParser<'_>, text: &str, context: Context, allowed: usize) -> bool {
    let sigs = without_trivia(&lex(text));
    let Some(raw) = grammar::statements(&sigs) else { return false };
    let [statement] = raw.as_slice() else { return false };
    if statement.block.is_some() {
        return false;
    }
    let lowering = ItemBuilder { source: text, sigs: &sigs };
    let mut items: Vec<Item> = statement.items.iter().map(|raw| lowering.item(raw)).collect();
    say_side(text, Some(context), &mut items);
    if items.iter().any(|i| matches!(i.kind, ItemKind::Bad)) || slips(&items) > allowed {
        return false;
    }
    match reader.outcome(&items, Some(context)) {
        StatementMatch::Read(_, events) => !detail::is_said_twice(&items, &events),
        _ => false,
    }
}

/// Adds a fix if the edited line is a complete statement.
pub fn offer(
    reader: &mut StatementParser<'_>,
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

/// Adds a fix of several ordered, disjoint edits if the edited line is a complete statement.
pub fn offer_edits(
    reader: &mut StatementParser<'_>,
    finding: Finding,
    items: &[Item],
    context: Context,
    fix: (FixKind, String, Vec<(Span, String)>),
) -> Finding {
    let (kind, title, edits) = fix;
    if edits.is_empty() || !reads_with(reader, items, context, &edits) {
        return finding;
    }
    let edits = edits.into_iter().map(|(span, text)| edit(reader, span, text)).collect();
    finding.fix(Fix { title, kind, edits, outcome: None })
}

/// Whether a line is a complete statement after these edits.
pub fn reads_with(
    reader: &mut StatementParser<'_>,
    items: &[Item],
    context: Context,
    edits: &[(Span, String)],
) -> bool {
    let (Some(first), Some(last)) = (items.first(), items.last()) else { return false };
    let source = reader.out.source.clone();
    let (mut at, end) = (first.span.start, last.span.end);
    if end.saturating_sub(at) as usize > LONGEST {
        return false;
    }
    let mut line = String::new();
    for (span, text) in edits {
        let Some(kept) = source.get(at as usize..span.start as usize) else { return false };
        line.push_str(kept);
        line.push_str(text);
        at = span.end;
    }
    line.push_str(source.get(at as usize..end as usize).unwrap_or_default());
    reads(reader, &line, context, slips(items))
}

/// The span from one offset to another, for an edit.
pub fn edit(reader: &StatementParser<'_>, span: Span, text: impl Into<String>) -> Edit {
    Edit { place: reader.out.place(span), text: text.into() }
}
