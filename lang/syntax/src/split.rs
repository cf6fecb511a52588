//! Detects two statements on one line, or a statement that a trailing comma joined to the next line.

use super::context::Context;
use super::item::Item;
use super::statement_parser::{StatementMatch, StatementParser};
use super::vocabulary::BlockRule;

/// So many places of a line are tried.
const TRIES: usize = 16;

/// Where a line can be split into two statements.
pub(super) struct Split {
    /// The first statement is the items before this.
    pub end: usize,
    /// The second begins here; a comma may lie between.
    pub next: usize,
    /// The second begins on a line of its own.
    pub on_new_line: bool,
}

/// The first split where both parts are complete statements.
pub(super) fn find(
    reader: &mut StatementParser<'_>,
    items: &[Item],
    context: Option<Context>,
) -> Option<Split> {
    let place = context?;
    let begins = |reader: &StatementParser<'_>, item: &Item| {
        item.keyword().is_some_and(|k| reader.candidates(k, place).next().is_some())
    };
    let mut tries = TRIES;
    for next in 1..items.len() {
        if !begins(reader, &items[next]) {
            continue;
        }
        tries = tries.checked_sub(1)?;
        let end = if items[next - 1].is_comma() { next - 1 } else { next };
        let StatementMatch::Read(pattern, _) = reader.outcome(&items[..end], context) else {
            continue;
        };
        if matches!(pattern.row.block, BlockRule::Must(_)) {
            continue;
        }
        let between = reader
            .out
            .source
            .get(items[next - 1].span.end as usize..items[next].span.start as usize);
        let on_new_line = between.is_some_and(|gap| gap.contains(['\n', '\r']));
        let follows = match reader.outcome(&items[next..], context) {
            StatementMatch::Read(..) => true,
            StatementMatch::Short(_, reach) => reach.furthest >= 2,
            _ => false,
        };
        if on_new_line || follows {
            return Some(Split { end, next, on_new_line });
        }
    }
    None
}
