//! Matches one statement against the vocabulary; shared by the parser's passes and by the diagnosis of a
//! line that does not match.

use super::context::Context;
use super::item::{Item, ItemKind};
use super::limits::FINDING_LIMIT;
use super::patterns::{Pattern, patterns};
use super::program::{FurthestFailure, Machine, MatchEvent};
use super::tree::Parse;
use super::vocabulary::SupportLevel;
use springline_finding::Finding;
use springline_text::Span;
use springline_units::tooth::Tooth;

/// Most items of a statement; a practice's list of closed days has some forty.
const ITEM_LIMIT: usize = 4096;

/// Fills a [`Parse`], statement by statement.
pub(super) struct StatementParser<'p> {
    pub out: &'p mut Parse,
    pub base: Context,
    pub machine: Machine,
    pub more: bool,
}

/// The result of matching a line against the vocabulary.
pub(super) enum StatementMatch {
    Read(&'static Pattern, Vec<MatchEvent>),
    /// No match; the pattern that matched furthest.
    Short(&'static Pattern, FurthestFailure),
    /// A statement that is known but not yet taken.
    Later(&'static Pattern),
    /// No statement of this context begins like this.
    Unknown,
    /// In a block that is not known, or too long to be matched: no finding.
    Unjudged,
}

impl<'p> StatementParser<'p> {
    pub fn new(out: &'p mut Parse, base: Context) -> Self {
        StatementParser { out, base, machine: Machine::default(), more: false }
    }

    pub fn report(&mut self, finding: Finding) {
        if self.out.findings.len() < FINDING_LIMIT {
            self.out.findings.push(finding);
        } else {
            self.more = true;
        }
    }

    /// Whether the limit of findings is reached, so that no more need to be computed.
    pub fn is_full(&self) -> bool {
        self.more
    }

    /// The patterns that a keyword can begin in its context.
    pub fn candidates(
        &self,
        keyword: &'static str,
        context: Context,
    ) -> impl Iterator<Item = &'static Pattern> + use<> {
        // Outside all braces the opening lines are allowed as well.
        let opening = (context == self.base).then_some(Context::File);
        [Some(context), opening].into_iter().flatten().flat_map(move |c| patterns().at(c, keyword))
    }

    /// Matches the items of a line in their context.
    pub fn outcome(&mut self, items: &[Item], context: Option<Context>) -> StatementMatch {
        let (Some(context), true) = (context, items.len() <= ITEM_LIMIT) else {
            return StatementMatch::Unjudged;
        };
        let Some(keyword) = items.first().and_then(Item::keyword) else {
            return StatementMatch::Unknown;
        };
        let mut best: Option<(&'static Pattern, FurthestFailure)> = None;
        for pattern in self.candidates(keyword, context) {
            if pattern.row.stage == SupportLevel::Later {
                return StatementMatch::Later(pattern);
            }
            if self.machine.run(&pattern.program, items) {
                return StatementMatch::Read(pattern, self.machine.trail.clone());
            }
            let reach = &self.machine.reach;
            if best.as_ref().is_none_or(|(_, best)| reach.furthest > best.furthest) {
                best = Some((pattern, reach.clone()));
            }
        }
        best.map_or(StatementMatch::Unknown, |(pattern, reach)| {
            StatementMatch::Short(pattern, reach)
        })
    }
}

/// Inserts the side of an elastic when its teeth imply it.
pub(super) fn say_side(source: &str, context: Option<Context>, items: &mut Vec<Item>) {
    if context == Some(Context::Elastics)
        && let Some(side) = side_of(source, items)
    {
        items.insert(0, side);
    }
}

/// The side of an elastic that its line leaves out and its teeth imply: `13 to 46` is on the right.
fn side_of(source: &str, items: &[Item]) -> Option<Item> {
    let start = items.first()?.span.start;
    let pairs = items.iter().take_while(|i| i.tooth().is_some() || i.keyword() == Some("to"));
    let mut teeth = pairs.filter_map(Item::tooth).map(|t| Tooth::parse(source.get(t.range())?));
    let side = teeth.next()??.side();
    teeth.all(|t| t.is_some_and(|t| t.side() == side)).then_some(Item {
        kind: ItemKind::Word(Some(side.word())),
        span: Span { start, end: start },
        slip: None,
    })
}
