//! Syntax findings: turns a statement that does not match the vocabulary into a message with a fix. Each
//! kind of mistake has its own file, so that all wording for it is in one place.

pub mod detail;
pub mod file;
pub mod hidden;
pub mod line;
pub mod part;
mod sign;
mod trial;
mod typed;
pub mod typo;

use super::context::Context;
use super::grammar::RawBlock;
use super::item::{Item, ItemKind, RecoverableTypo};
use super::statement_parser::{StatementMatch, StatementParser};
use springline_finding::Finding;

/// All findings about one statement.
pub(super) fn findings(
    reader: &mut StatementParser<'_>,
    items: &[Item],
    outcome: &StatementMatch,
    context: Option<Context>,
    block: Option<&RawBlock>,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    let bad = items.iter().find(|item| matches!(item.kind, ItemKind::Bad));
    findings.extend(bad.map(|item| typo::bad(reader.out, item)));
    // A common alternative notation: one finding for the whole line.
    if let (None, Some(context)) = (bad, context)
        && let Some(answer) = typed::answer(reader, items, outcome, context)
    {
        return vec![answer];
    }
    // A sign whose fix makes the whole line valid needs no further finding.
    let mut settled = false;
    for (i, item) in items.iter().enumerate() {
        if let Some(slip) = item.slip {
            let finding = typo::finding(reader, items, i, slip, context);
            settled |= slip == RecoverableTypo::Minus && !finding.fixes.is_empty();
            findings.push(finding);
        }
    }
    let Some(context) = context else { return findings };
    let own = match outcome {
        StatementMatch::Short(..) if settled => None,
        StatementMatch::Read(pattern, events) => detail::said_twice(reader.out, items, events)
            .or_else(|| line::block(reader.out, items, pattern, block)),
        // The part that does not match is most likely the character already reported.
        StatementMatch::Short(..) | StatementMatch::Unknown if bad.is_some() => None,
        StatementMatch::Short(pattern, reach) => {
            Some(part::explain(reader, items, pattern, reach, context))
        }
        StatementMatch::Later(pattern) => Some(line::not_yet(reader, items, pattern, context)),
        StatementMatch::Unknown => Some(line::unknown(reader, items, context, block)),
        StatementMatch::Unjudged => line::too_long(reader.out, items),
    };
    findings.extend(own);
    findings
}
