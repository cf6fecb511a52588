//! What is at an offset: the item under the cursor and the statements that enclose it.

use super::super::item::Item;
use super::super::pattern::Placeholder;
use super::super::program::MatchEventKind;
use super::super::token::TokenKind;
use super::super::tree::{Parse, StatementRef};
use springline_text::Span;

/// The item under the cursor and its role.
#[derive(Debug, Clone)]
pub struct ItemAt<'a> {
    pub line: StatementRef<'a>,
    /// Its index in the statement.
    pub index: usize,
    pub item: &'a Item,
    /// The placeholder it fills, where its statement matches.
    pub slot: Option<Placeholder>,
    /// Its keyword, in this place.
    pub word: Option<&'static str>,
    /// The fragments around it, outermost first: `clause`, `condition`, `term`.
    pub groups: Vec<&'static str>,
}

/// The item that covers an offset; its end counts as covered.
pub fn item_at(parse: &Parse, offset: usize) -> Option<ItemAt<'_>> {
    let offset = parse.source.floor_char_boundary(offset);
    let after = parse.statements.partition_point(|s| s.span.start as usize <= offset);
    let line = parse.line(after.checked_sub(1)?)?;
    let items = line.items();
    let covers = |i: &Item| i.span.contains(offset);
    // Between two items that touch, the one that begins here is meant, unless it is a comma.
    let index = items
        .iter()
        .rposition(|i| covers(i) && !i.is_comma())
        .or_else(|| items.iter().position(covers))?;
    let mut found =
        ItemAt { line, index, item: &items[index], slot: None, word: None, groups: Vec::new() };
    let mut open = Vec::new();
    for event in line.group().events() {
        match event.kind {
            MatchEventKind::Open(name) => open.push(name),
            MatchEventKind::Close => {
                open.pop();
            }
            _ if !(event.first as usize..event.end as usize).contains(&index) => {}
            MatchEventKind::Slot(slot) => {
                found.slot = Some(slot);
                found.groups.clone_from(&open);
            }
            MatchEventKind::Word(word) => {
                found.word = Some(word);
                found.groups.clone_from(&open);
            }
            _ => {}
        }
    }
    if !line.is_read() && index == 0 {
        found.word = line.keyword();
    }
    Some(found)
}

/// The statements around an offset, outermost first: those whose words or braces enclose it.
pub fn statement_path_at(parse: &Parse, offset: usize) -> Vec<StatementRef<'_>> {
    let after = parse.statements.partition_point(|s| s.span.start as usize <= offset);
    let mut path = Vec::new();
    let mut line = after.checked_sub(1).and_then(|id| parse.line(id));
    while let Some(here) = line {
        if here.whole_span().contains(offset) {
            path.push(here);
        }
        line = here.parent();
    }
    path.reverse();
    path
}

/// A range that an editor can fold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fold {
    pub span: Span,
    pub is_comment: bool,
}

/// Blocks, and runs of comment lines, that reach over more than one line.
pub fn folds(parse: &Parse) -> Vec<Fold> {
    let mut folds = Vec::new();
    let many_lines = |span: Span| parse.text(span).contains(['\n', '\r']);
    for block in parse.statements.iter().filter_map(|s| s.block.as_ref()) {
        let span = block.open.to(block.close);
        if many_lines(span) {
            folds.push(Fold { span, is_comment: false });
        }
    }
    let mut run: Option<Span> = None;
    let mut newlines = 0;
    let mut starts_line = true;
    for token in &parse.tokens {
        match token.kind {
            TokenKind::Newline => {
                newlines += 1;
                starts_line = true;
            }
            TokenKind::Blank => {}
            TokenKind::Comment if starts_line => {
                run = match run {
                    Some(span) if newlines == 1 => Some(span.to(token.span)),
                    _ => {
                        folds.extend(run.filter(|s| many_lines(*s)).map(comment_fold));
                        Some(token.span)
                    }
                };
                newlines = 0;
                starts_line = false;
            }
            _ => {
                folds.extend(run.take().filter(|s| many_lines(*s)).map(comment_fold));
                starts_line = false;
            }
        }
    }
    folds.extend(run.filter(|s| many_lines(*s)).map(comment_fold));
    folds.sort_by_key(|f| (f.span.start, f.span.end));
    folds
}

fn comment_fold(span: Span) -> Fold {
    Fold { span, is_comment: true }
}
