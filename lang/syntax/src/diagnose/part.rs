//! Findings about a statement whose keyword is known but whose parts do not match: what is missing,
//! misspelt or surplus.

use super::super::context::Context;
use super::super::item::{Item, ItemKind, RecoverableTypo};
use super::super::pattern::PlaceholderKind;
use super::super::patterns::Pattern;
use super::super::program::{ExpectedItem, FurthestFailure};
use super::super::statement_parser::StatementParser;
use super::super::suggest::{self, either};
use super::super::token::unit_of;
use super::trial;
use springline_finding::{Finding, FixKind};
use springline_text::Span;

/// The place where matching failed, with everything a finding about it needs.
struct FailureContext<'a> {
    items: &'a [Item],
    at: usize,
    wants: &'a [ExpectedItem],
    context: Context,
    keyword: &'static str,
}

pub(super) fn explain(
    reader: &mut StatementParser<'_>,
    items: &[Item],
    pattern: &Pattern,
    reach: &FurthestFailure,
    context: Context,
) -> Finding {
    let keyword = items.first().and_then(Item::keyword).unwrap_or_default();
    let at = reach.furthest.min(items.len());
    let case = FailureContext { items, at, wants: &reach.wants, context, keyword };
    let special: [fn(&mut StatementParser<'_>, &FailureContext<'_>) -> Option<Finding>; 9] = [
        mixed_condition,
        which_way,
        acceptance,
        decimal_comma,
        comma,
        listed_with_and,
        quotes,
        near_word,
        unknown_unit,
    ];
    for find in special {
        if let Some(finding) = find(reader, &case) {
            return finding;
        }
    }
    let finding = general(reader, &case, pattern);
    if at < items.len() && reach.wants.contains(&ExpectedItem::End) {
        return offer_cut(reader, &case, finding);
    }
    finding
}

impl FailureContext<'_> {
    fn item(&self) -> Option<&Item> {
        self.items.get(self.at)
    }

    fn before(&self) -> Option<&Item> {
        self.items.get(self.at.checked_sub(1)?)
    }

    /// The item that does not fit, or, where one is missing, the last there is.
    fn span(&self) -> Span {
        self.item().or(self.items.last()).map_or(Span::default(), |i| i.span)
    }

    /// Where a missing part would be written.
    fn gap(&self) -> Span {
        let at = match self.before() {
            Some(before) => before.span.end,
            None => self.span().start,
        };
        Span { start: at, end: at }
    }

    fn words(&self) -> Vec<&'static str> {
        let mut words: Vec<&'static str> = self
            .wants
            .iter()
            .filter_map(|w| match w {
                ExpectedItem::Word(word) => Some(*word),
                _ => None,
            })
            .collect();
        words.dedup();
        words
    }

    fn wants_word(&self, word: &str) -> bool {
        self.wants.iter().any(|w| matches!(w, ExpectedItem::Word(x) if *x == word))
    }

    fn wants_hole(&self, fits: impl Fn(PlaceholderKind) -> bool) -> bool {
        self.wants.iter().any(|w| matches!(w, ExpectedItem::Slot(slot) if fits(slot.hole)))
    }

    fn only_words(&self) -> bool {
        self.wants.iter().all(|w| matches!(w, ExpectedItem::Word(_)))
    }
}

/// The first teeth on the line, as typed.
fn teeth_text(reader: &StatementParser<'_>, items: &[Item]) -> Option<String> {
    let first = items.iter().position(|i| i.teeth().is_some())?;
    let mut last = first;
    while items.get(last + 1).is_some_and(Item::is_comma)
        && items.get(last + 2).is_some_and(|i| i.teeth().is_some())
    {
        last += 2;
    }
    Some(reader.out.text(items[first].span.to(items[last].span)).to_owned())
}

/// "`and` and `or` together can be read two ways."
fn mixed_condition(reader: &mut StatementParser<'_>, case: &FailureContext<'_>) -> Option<Finding> {
    let here = case.item()?.keyword().filter(|w| matches!(*w, "and" | "or"))?;
    let other = if here == "and" { "or" } else { "and" };
    let joins: Vec<Span> = case
        .items
        .iter()
        .filter(|i| matches!(i.keyword(), Some("and" | "or")))
        .map(|i| i.span)
        .collect();
    let said = case.items[..case.at].iter().any(|i| i.keyword() == Some(other));
    if !said || !case.items[..case.at].iter().any(|i| i.keyword() == Some("until")) {
        return None;
    }
    let mut finding = Finding::error(
        "syntax/and-with-or",
        reader.out.place(case.span()),
        "`and` and `or` together are ambiguous.",
    );
    for word in [other, here] {
        let edits = joins.iter().map(|span| trial::edit(reader, *span, word)).collect::<Vec<_>>();
        let title = format!("join all with `{word}`");
        let kind = FixKind::Clinical;
        finding = finding.fix(springline_finding::Fix { title, kind, edits, outcome: None });
    }
    Some(finding)
}

/// A missing side or direction: the finding asks for it and offers the choices.
fn which_way(reader: &mut StatementParser<'_>, case: &FailureContext<'_>) -> Option<Finding> {
    let words = case.words();
    // A misspelt direction is present, so it is not missing.
    let typed = case.item().filter(|i| i.is_word()).map(|i| reader.out.text(i.span));
    if typed.is_some_and(|typed| suggest::nearest(typed, words.iter().copied()).certain) {
        return None;
    }
    let teeth = teeth_text(reader, case.items).unwrap_or_else(|| "the tooth".to_owned());
    let question = if case.wants_word("mesial-in") {
        format!("Which way is {teeth} rotated?")
    } else if case.wants_word("crown-labial") {
        format!("Torque of what, and which way, on {teeth}: crown or root?")
    } else if case.wants_word("mesial-wing") && case.keyword != "engage" {
        return None;
    } else if case.wants_word("mesial") && case.wants_word("distal") {
        match case.item().filter(|i| i.teeth().is_some()) {
            Some(item) => {
                let tooth = reader.out.text(item.span);
                format!("On which side of {tooth}?")
            }
            None if case.before().is_some_and(|i| i.measure().is_some()) => {
                format!("Which way is {teeth} tipped?")
            }
            None => return None,
        }
    } else if case.wants_word("patient-right") {
        "To which side: the patient's right or left?".to_owned()
    } else {
        return None;
    };
    let asked = case.item().filter(|i| i.teeth().is_some()).or(case.before());
    let place = reader.out.place(asked.map_or(case.span(), |i| i.span));
    let mut finding = Finding::error("syntax/which-way", place, question);
    // The side given for the preceding tooth is the likeliest and is offered first.
    let mut answers: Vec<&'static str> =
        words.iter().copied().filter(|w| ANSWERS.contains(w)).collect();
    let mut before = case.items[..case.at].iter().rev().filter_map(Item::keyword);
    let said = before.find(|w| matches!(*w, "mesial" | "distal"));
    answers.sort_by_key(|w| said.is_some() && Some(*w) != said);
    if case.wants_word("crown-labial") && case.context == Context::Fit {
        finding = finding.note(
            "In prescription tables a plain figure is `crown-labial`, one with a minus `crown-lingual`.",
        );
    }
    let tooth = case.item().filter(|i| i.tooth().is_some());
    for word in answers {
        let (at, text, shown) = match tooth {
            Some(item) if matches!(word, "mesial" | "distal") => {
                let at = Span { start: item.span.start, end: item.span.start };
                let place = format!("{word} of {}", reader.out.text(item.span));
                let first = case.at == 1;
                let shown = if first { format!("{} {place}", case.keyword) } else { place };
                (at, format!("{word} of "), shown)
            }
            _ => (case.gap(), format!(" {word}"), word.to_owned()),
        };
        let title = format!("write `{shown}`");
        let fix = (FixKind::Clinical, title.as_str(), at, text.as_str());
        finding = trial::offer(reader, finding, case.items, case.context, fix);
    }
    if finding.fixes.is_empty()
        && let Some(item) = case.item()
    {
        for word in words.iter().filter(|w| ANSWERS.contains(w)) {
            let fix = (FixKind::Clinical, &*format!("write `{word}`"), item.span, *word);
            finding = trial::offer(reader, finding, case.items, case.context, fix);
        }
        if !finding.fixes.is_empty() {
            finding.place = reader.out.place(item.span);
        }
    }
    Some(finding)
}

const ANSWERS: &[&str] = &[
    "mesial",
    "distal",
    "mesial-in",
    "mesial-out",
    "crown-labial",
    "crown-lingual",
    "root-labial",
    "root-lingual",
    "patient-right",
    "patient-left",
];

/// An acceptance needs a reason and initials; neither can be suggested.
fn acceptance(reader: &mut StatementParser<'_>, case: &FailureContext<'_>) -> Option<Finding> {
    let asked = case.wants_word("because") || case.wants_word("by");
    if case.keyword != "accept" || !asked || case.item().is_some() {
        return None;
    }
    Some(
        Finding::error(
            "syntax/accept-without-reason",
            reader.out.place(case.span()),
            "An accepted finding needs a reason and the initials of who accepts it.",
        )
        .note("For example: accept force/sustained on 12 up to 90 g because \"one visit\" by KL"),
    )
}

/// `2,4` where no unit tells that it is one number.
fn decimal_comma(reader: &mut StatementParser<'_>, case: &FailureContext<'_>) -> Option<Finding> {
    for at in [case.at, case.at + 1] {
        let [.., whole, comma, part] = case.items.get(..=at)? else { continue };
        let touch = whole.span.end == comma.span.start && comma.span.end == part.span.start;
        let figures = whole.measure().is_some() && part.measure().is_some();
        if !comma.is_comma() || !touch || !figures {
            continue;
        }
        let span = whole.span.to(part.span);
        let written = reader.out.text(span).replace(',', ".");
        let finding = Finding::error(
            "syntax/decimal-comma",
            reader.out.place(span),
            "The decimal sign is a point.",
        );
        let title = format!("write `{written}`");
        let fix = (FixKind::Safe, title.as_str(), span, written.as_str());
        let finding = trial::offer(reader, finding, case.items, case.context, fix);
        if !finding.fixes.is_empty() {
            return Some(finding);
        }
    }
    None
}

/// A comma too many or too few.
fn comma(reader: &mut StatementParser<'_>, case: &FailureContext<'_>) -> Option<Finding> {
    let (span, title, text, message) = match case.item() {
        Some(item) if item.is_comma() && case.at + 1 < case.items.len() => {
            (item.span, "remove the comma", "", "No comma belongs here.")
        }
        Some(item) if item.is_comma() => (
            item.span,
            "remove the comma",
            "",
            "The line ends with a comma, and nothing follows it.",
        ),
        None if case.before().is_some_and(Item::is_comma) => {
            let span = case.before()?.span;
            (span, "remove the comma", "", "The line ends with a comma, and nothing follows it.")
        }
        Some(_) => (case.gap(), "write a comma", ",", "A comma is missing here."),
        None => return None,
    };
    let shown = if text.is_empty() { span } else { case.span() };
    let finding = Finding::error("syntax/comma", reader.out.place(shown), message);
    let fix = (FixKind::Safe, title, span, text);
    let finding = trial::offer(reader, finding, case.items, case.context, fix);
    let dangling = case.item().is_none();
    (dangling || !finding.fixes.is_empty()).then_some(finding)
}

/// `16 and 26`: a list is written with commas.
fn listed_with_and(reader: &mut StatementParser<'_>, case: &FailureContext<'_>) -> Option<Finding> {
    let item = case.item().filter(|i| i.keyword() == Some("and"))?;
    let before = case.before()?;
    let span = Span { start: before.span.end, end: item.span.end };
    let finding = Finding::error(
        "syntax/list-with-and",
        reader.out.place(item.span),
        "Lists are written with commas.",
    );
    let fix = (FixKind::Safe, "write a comma", span, ",");
    let finding = trial::offer(reader, finding, case.items, case.context, fix);
    (!finding.fixes.is_empty()).then_some(finding)
}

/// Names stand without quotes, texts with them.
fn quotes(reader: &mut StatementParser<'_>, case: &FailureContext<'_>) -> Option<Finding> {
    let item = case.item()?;
    let text = reader.out.text(item.span).to_owned();
    let (written, message) = match item.kind {
        ItemKind::Text(inner) if case.wants_hole(|h| h == PlaceholderKind::Name) => {
            (reader.out.text(inner).to_owned(), "Names are written without quotes.")
        }
        ItemKind::Word(_) if case.wants_hole(|h| h == PlaceholderKind::Text) => {
            (format!("\"{text}\""), "This text is written in quotes.")
        }
        _ => return None,
    };
    let finding = Finding::error("syntax/quotes", reader.out.place(item.span), message);
    let title = format!("write `{written}`");
    let fix = (FixKind::Safe, title.as_str(), item.span, written.as_str());
    let finding = trial::offer(reader, finding, case.items, case.context, fix);
    (!finding.fixes.is_empty()).then_some(finding)
}

/// A misspelt word inside a statement.
fn near_word(reader: &mut StatementParser<'_>, case: &FailureContext<'_>) -> Option<Finding> {
    let item = case.item().filter(|i| i.is_word())?;
    let typed = reader.out.text(item.span).to_owned();
    let near = suggest::nearest(&typed, case.words());
    if near.words.is_empty() {
        return None;
    }
    let quoted: Vec<String> = near.words.iter().map(|w| format!("`{w}`")).collect();
    let mut finding = Finding::error(
        "syntax/unknown-word",
        reader.out.place(item.span),
        format!("Unknown word `{typed}`; did you mean {}?", either(&quoted)),
    );
    for (i, word) in near.words.iter().enumerate() {
        let kind = if near.certain && i == 0 { FixKind::Safe } else { FixKind::Clinical };
        let title = format!("write `{word}`");
        let fix = (kind, title.as_str(), item.span, *word);
        finding = trial::offer(reader, finding, case.items, case.context, fix);
    }
    Some(finding)
}

/// A word right after a number that is no unit.
fn unknown_unit(reader: &mut StatementParser<'_>, case: &FailureContext<'_>) -> Option<Finding> {
    let item = case.item().filter(|i| i.is_word() && i.keyword().is_none())?;
    let measure = case.before()?.measure().filter(|m| m.unit().is_none())?;
    if measure.bare().is_none() && measure.second.is_none() {
        return None;
    }
    let typed = reader.out.text(item.span).to_owned();
    if unit_of(&typed).is_some() {
        return None;
    }
    let units = springline_units::quantity::Unit::ALL.map(|u| u.symbol());
    let mut finding = Finding::error(
        "syntax/unknown-unit",
        reader.out.place(item.span),
        format!("Unknown unit `{typed}`."),
    )
    .note("Lengths are in mm, um, in or mil; forces in g, oz, N or cN; times in min, h, d, wk or mo; angles in deg.");
    let likely = UNIT_SLIPS.iter().find(|(slip, _)| slip.eq_ignore_ascii_case(&typed));
    let near = suggest::nearest(&typed, units);
    let offered = likely.map(|(_, unit)| *unit).into_iter().chain(near.words);
    for unit in offered {
        let fix = (FixKind::Clinical, &*format!("write `{unit}`"), item.span, unit);
        finding = trial::offer(reader, finding, case.items, case.context, fix);
    }
    Some(finding)
}

const UNIT_SLIPS: &[(&str, &str)] = &[
    ("hrs", "h"),
    ("hr", "h"),
    ("mins", "min"),
    ("degs", "deg"),
    ("mms", "mm"),
    ("ozs", "oz"),
    ("gr", "g"),
    ("gs", "g"),
    ("w", "wk"),
    ("mth", "mo"),
    ("mths", "mo"),
    ("x", "times"),
];

/// Describes what is here and what is expected here.
fn general(
    reader: &mut StatementParser<'_>,
    case: &FailureContext<'_>,
    pattern: &Pattern,
) -> Finding {
    let place = reader.out.place(case.span());
    let expected = expected(case.wants);
    let (code, message) = match case.item() {
        None => {
            let after = reader.out.text(case.span());
            ("syntax/unfinished", format!("Expected {expected} after `{after}`."))
        }
        Some(item) if expected.is_empty() => {
            let text = reader.out.text(item.span);
            (
                "syntax/unexpected",
                format!("`{text}` is not needed: the statement is complete before it."),
            )
        }
        Some(item) => {
            let text = reader.out.text(item.span);
            ("syntax/unexpected", format!("`{text}` does not fit here; expected {expected}."))
        }
    };
    let mut finding = Finding::error(code, place, message)
        .note(format!("For example: {}", pattern.row.example.trim_end_matches(" {")));
    let words = case.words();
    if case.only_words() && words.len() <= 6 {
        for word in words {
            let title = format!("write `{word}`");
            let (span, text) = (case.gap(), format!(" {word}"));
            let fix = (FixKind::Clinical, title.as_str(), span, text.as_str());
            finding = trial::offer(reader, finding, case.items, case.context, fix);
            if case.item().is_some_and(|i| i.slip.is_none_or(RecoverableTypo::is_harmless)) {
                let fix = (FixKind::Clinical, title.as_str(), case.span(), word);
                finding = trial::offer(reader, finding, case.items, case.context, fix);
            }
        }
    }
    finding
}

/// What was expected there, the end of the line left out.
fn expected(wants: &[ExpectedItem]) -> String {
    let mut words: Vec<String> = Vec::new();
    let mut holes: Vec<String> = Vec::new();
    for want in wants {
        match want {
            ExpectedItem::Word(word) => words.push(format!("`{word}`")),
            ExpectedItem::Slot(slot) => holes.push(describe(slot.hole, slot.label)),
            ExpectedItem::Comma => holes.push("a comma".to_owned()),
            ExpectedItem::End => {}
        }
    }
    holes.dedup();
    if words.len() > 6 {
        let rest = words.len() - 5;
        words.truncate(5);
        words.push(format!("one of {rest} other words"));
    }
    holes.extend(words);
    either(&holes)
}

fn describe(hole: PlaceholderKind, label: &str) -> String {
    match hole {
        PlaceholderKind::Name if label == "person" => "initials".to_owned(),
        PlaceholderKind::Name if label != "name" => format!("the name of a {label}"),
        _ => hole.describe().to_owned(),
    }
}

/// Words for side, direction or negation: a line that loses one changes its meaning.
const TURNS: &[&str] = &[
    "left",
    "right",
    "patient-left",
    "patient-right",
    "upper",
    "lower",
    "mesial",
    "distal",
    "labial",
    "lingual",
    "gingival",
    "occlusal",
    "mesial-in",
    "mesial-out",
    "crown-labial",
    "crown-lingual",
    "root-labial",
    "root-lingual",
    "reverse",
    "reverse-overjet",
    "open-bite",
    "except",
    "no",
    "none",
    "under",
    "over",
];

/// The same in words that are not part of the language.
const NEGATES: &[&str] =
    &["not", "negative", "minus", "reverse", "reversed", "high", "low", "opposite"];

/// The statement is complete before the surplus part: offers to remove the rest, unless that would change
/// the meaning.
fn offer_cut(
    reader: &mut StatementParser<'_>,
    case: &FailureContext<'_>,
    finding: Finding,
) -> Finding {
    let Some(last) = case.items.last() else { return finding };
    let turns = |item: &Item| {
        let typed = reader.out.text(item.span).to_lowercase();
        item.keyword().is_some_and(|w| TURNS.contains(&w)) || NEGATES.contains(&typed.as_str())
    };
    if case.items[case.at.min(case.items.len() - 1)..].iter().any(turns) {
        return finding;
    }
    let span = case.gap().to(last.span);
    let text = reader.out.text(case.span().to(last.span)).to_owned();
    let title = format!("remove `{}`", text.chars().take(40).collect::<String>());
    let fix = (FixKind::Clinical, title.as_str(), span, "");
    trial::offer(reader, finding, case.items, case.context, fix)
}
