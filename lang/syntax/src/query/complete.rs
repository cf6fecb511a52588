//! Completion: what could be written at an offset, on an empty line, within a statement, and in a file
//! that is incomplete elsewhere.

use super::super::context::Context;
use super::super::grammar;
use super::super::item::Item;
use super::super::item_builder::ItemBuilder;
use super::super::pattern::{Placeholder, PlaceholderKind};
use super::super::patterns::{Pattern, patterns};
use super::super::program::{ExpectedItem, Machine};
use super::super::statement_parser::say_side;
use super::super::token::{Token, TokenKind};
use super::super::tree::{Block, FileKind, Parse};
use super::super::trivia::without_trivia;
use super::super::vocabulary::{Production, SupportLevel};
use springline_text::Span;
use springline_units::quantity::Unit;

/// What the language allows at a place.
#[derive(Debug, Clone, Default)]
pub struct Expected {
    /// The block the place is in.
    pub context: Option<Context>,
    /// The word being typed, up to the offset, and the range to replace.
    pub prefix: String,
    pub replace: Span,
    /// Words of the language, each with the statement it belongs to.
    pub words: Vec<(&'static str, &'static Production)>,
    /// Values, by kind and label; for names the label is the namespace.
    pub slots: Vec<Placeholder>,
    /// Units for the number just before.
    pub units: Vec<Unit>,
    /// The statement begins here: the words are its keywords.
    pub starts_statement: bool,
    /// The statement could end here.
    pub may_end: bool,
    /// The keyword of the statement, once it has one.
    pub keyword: Option<&'static str>,
}

/// What could be written at an offset. Nothing inside comments and texts.
pub fn expected(parse: &Parse, offset: usize) -> Expected {
    let offset = parse.source.floor_char_boundary(offset);
    let mut out = Expected { replace: Span::new(offset, offset), ..Expected::default() };
    if parse.unread.is_some() {
        return out;
    }
    let before = parse.tokens.partition_point(|t| (t.span.start as usize) < offset);
    let mut tokens = &parse.tokens[..before];
    if let Some(last) = tokens.last() {
        let inside = (last.span.end as usize) > offset;
        match last.kind {
            TokenKind::Comment | TokenKind::HashComment | TokenKind::OpenText => return out,
            TokenKind::Text if inside => return out,
            TokenKind::Word | TokenKind::UnitWord | TokenKind::ToothWord => {
                out.prefix = parse.source[last.span.start as usize..offset].to_owned();
                out.replace = last.span;
                tokens = &tokens[..tokens.len() - 1];
            }
            _ => {}
        }
    }
    out.context = context_at(parse, out.replace.start);
    let mut items = items_of(parse, statement_tokens(tokens));
    say_side(&parse.source, out.context, &mut items);
    match out.context {
        Some(context) if items.is_empty() => starts(parse, context, &mut out),
        Some(context) => goes_on(parse, context, &items, &mut out),
        None => {}
    }
    out
}

/// The block around an offset; a block without a closing brace extends to the statement that ended it.
fn context_at(parse: &Parse, offset: u32) -> Option<Context> {
    let inside = |block: &&Block| block.open.end <= offset && offset <= end_of(parse, block);
    let blocks = parse.statements.iter().filter_map(|s| s.block.as_ref());
    let innermost = blocks.filter(inside).max_by_key(|b| b.open.start);
    match innermost {
        Some(block) => block.context,
        None => Some(if parse.kind == FileKind::House { Context::House } else { Context::Case }),
    }
}

fn end_of(parse: &Parse, block: &Block) -> u32 {
    if block.close.start < block.close.end {
        return block.close.start;
    }
    let from = parse.tokens.partition_point(|t| t.span.start < block.close.end);
    let next =
        parse.tokens[from..].iter().find(|t| !t.kind.is_trivia() && t.kind != TokenKind::Newline);
    next.map_or(u32::MAX, |t| t.span.start.saturating_sub(1))
}

/// The tokens of the statement that these tokens leave unfinished. A newline ends a statement
/// unless a comma stands before it.
fn statement_tokens(tokens: &[Token]) -> &[Token] {
    let mut from = tokens.len();
    let mut newline = None;
    for (at, token) in tokens.iter().enumerate().rev() {
        match token.kind {
            TokenKind::Newline => newline = newline.or(Some(at + 1)),
            kind if kind.is_trivia() => {}
            TokenKind::Open | TokenKind::Close => break,
            kind => {
                if newline.take().is_some() && kind != TokenKind::Comma {
                    break;
                }
                from = at;
            }
        }
    }
    &tokens[from..]
}

fn items_of(parse: &Parse, tokens: &[Token]) -> Vec<Item> {
    let sigs = without_trivia(tokens);
    let lowering = ItemBuilder { source: &parse.source, sigs: &sigs };
    let raw = grammar::statements(&sigs).unwrap_or_default();
    let items = raw.iter().flat_map(|s| &s.items).map(|raw| lowering.item(raw));
    items.collect()
}

fn candidates(
    parse: &Parse,
    context: Context,
    keyword: &'static str,
) -> impl Iterator<Item = &'static Pattern> {
    let outside = matches!(context, Context::House | Context::Case);
    let opening = (outside || parse.kind == FileKind::Unsaid).then_some(Context::File);
    [Some(context), opening].into_iter().flatten().flat_map(move |c| patterns().at(c, keyword))
}

fn starts(parse: &Parse, context: Context, out: &mut Expected) {
    out.starts_statement = true;
    let mut contexts = vec![context];
    if matches!(context, Context::House | Context::Case) {
        contexts.push(Context::File);
        if parse.kind == FileKind::Unsaid {
            contexts.push(Context::House);
        }
    }
    for pattern in contexts.into_iter().flat_map(|c| patterns().inside(c)) {
        if pattern.row.stage == SupportLevel::Later {
            continue;
        }
        for keyword in &pattern.keywords {
            if !out.words.iter().any(|(word, _)| word == keyword) {
                out.words.push((keyword, pattern.row));
            }
        }
    }
}

fn goes_on(parse: &Parse, context: Context, items: &[Item], out: &mut Expected) {
    let Some(keyword) = items.first().and_then(Item::keyword) else { return };
    out.keyword = Some(keyword);
    let mut machine = Machine::default();
    for pattern in candidates(parse, context, keyword) {
        machine.explore(&pattern.program, items);
        let ends_in_comma = items.last().is_some_and(Item::is_comma);
        if machine.reach.furthest == items.len() {
            for want in std::mem::take(&mut machine.reach.wants) {
                match want {
                    ExpectedItem::Word(word) => {
                        let same = |(w, row): &(&str, &Production)| {
                            *w == word && std::ptr::eq(*row, pattern.row)
                        };
                        if !out.words.iter().any(same) {
                            out.words.push((word, pattern.row));
                        }
                    }
                    ExpectedItem::Slot(slot) => push(&mut out.slots, slot),
                    ExpectedItem::End => out.may_end = !ends_in_comma,
                    ExpectedItem::Comma => {}
                }
            }
            let bare = items.last().and_then(Item::measure).is_some_and(|m| m.unit().is_none());
            if bare {
                for unit in machine.last.iter().flat_map(units) {
                    push(&mut out.units, unit);
                }
            }
        }
        if ends_in_comma {
            machine.explore(&pattern.program, &items[..items.len() - 1]);
            let teeth = machine.last.iter().filter(|s| s.hole == PlaceholderKind::Teeth).copied();
            teeth.for_each(|slot| push(&mut out.slots, slot));
        }
    }
}

fn push<T: PartialEq>(list: &mut Vec<T>, value: T) {
    if !list.contains(&value) {
        list.push(value);
    }
}

fn units(slot: &Placeholder) -> Vec<Unit> {
    match slot.hole.dimension() {
        Some(dimension) => dimension.units().to_vec(),
        None if slot.hole == PlaceholderKind::Any => Unit::ALL.to_vec(),
        None => Vec::new(),
    }
}
