//! Common alternative notations: a blank for a hyphen, a number in words, a month for a day, other terms
//! of the trade. Each gets one finding for the whole line, with the statement that was meant as the fix.
//!
//! Every offered line is parsed first. Where convention leaves a side or a direction open, all readings
//! are offered.

use super::super::context::Context;
use super::super::item::{Item, ItemKind, ItemShape, RecoverableTypo};
use super::super::pattern::PlaceholderKind;
use super::super::patterns::patterns;
use super::super::program::ExpectedItem;
use super::super::statement_parser::{StatementMatch, StatementParser};
use super::super::token::unit_of;
use super::trial;
use springline_finding::{Finding, FixKind};
use springline_text::Span;
use springline_units::quantity::Dimension;
use springline_units::tooth::{Arch, Tooth};

/// A line that does not match the vocabulary.
struct Typed<'a> {
    items: &'a [Item],
    /// Where matching failed, and what was expected there.
    at: usize,
    wants: &'a [ExpectedItem],
    context: Context,
    /// Every item as typed, in lower case.
    words: Vec<String>,
}

type Replacements = Vec<(Span, String)>;

/// Longer lines are not examined.
const MOST_ITEMS: usize = 60;

/// The finding for a line in a common alternative notation.
pub(super) fn answer(
    reader: &mut StatementParser<'_>,
    items: &[Item],
    outcome: &StatementMatch,
    context: Context,
) -> Option<Finding> {
    let (at, wants): (usize, &[ExpectedItem]) = match outcome {
        StatementMatch::Short(_, reach) => (reach.furthest.min(items.len()), &reach.wants),
        StatementMatch::Unknown => (0, &[]),
        _ => return None,
    };
    if items.is_empty() || items.len() > MOST_ITEMS {
        return None;
    }
    let words = items.iter().map(|i| reader.out.text(i.span).to_lowercase()).collect();
    let typed = Typed { items, at, wants, context, words };
    let forms: [fn(&mut StatementParser<'_>, &Typed<'_>) -> Option<Finding>; 13] = [
        age,
        no_extraction,
        midline,
        high,
        side_of_elastic,
        other_word,
        tip,
        nickel_titanium,
        temperature,
        month,
        blank_for_hyphen,
        number_in_words,
        side_behind,
    ];
    forms.into_iter().find_map(|form| form(reader, &typed))
}

impl Typed<'_> {
    fn keyword(&self) -> Option<&'static str> {
        self.items[0].keyword()
    }

    fn whole(&self) -> Span {
        self.items.iter().fold(self.items[0].span, |span, item| span.to(item.span))
    }

    fn span(&self, from: usize, end: usize) -> Span {
        let last = end.min(self.items.len()).max(from + 1) - 1;
        self.items[from].span.to(self.items[last].span)
    }

    /// The words from an index on are these.
    fn says(&self, at: usize, words: &[&str]) -> bool {
        let said = self.words.get(at..at + words.len());
        said.is_some_and(|said| said.iter().zip(words).all(|(a, b)| a == b))
    }

    fn wants_word(&self, word: &str) -> bool {
        self.wants.contains(&ExpectedItem::Word(patterns().keyword(word).unwrap_or_default()))
    }

    fn wants_date(&self) -> bool {
        let date = |w: &ExpectedItem| matches!(w, ExpectedItem::Slot(s) if matches!(s.hole, PlaceholderKind::Date | PlaceholderKind::Dates | PlaceholderKind::Times));
        self.wants.iter().any(date)
    }

    /// The teeth named on the line.
    fn teeth(&self, reader: &StatementParser<'_>) -> Vec<Tooth> {
        let spans = self.items.iter().filter_map(Item::teeth);
        spans.filter_map(|t| Tooth::parse(reader.out.text(t.first))).collect()
    }

    fn finding(
        &self,
        reader: &StatementParser<'_>,
        code: &'static str,
        span: Span,
        message: impl Into<String>,
    ) -> Finding {
        Finding::error(code, reader.out.place(span), message)
    }

    /// Adds a fix that replaces one range.
    fn replace(
        &self,
        reader: &mut StatementParser<'_>,
        finding: Finding,
        kind: FixKind,
        span: Span,
        text: &str,
    ) -> Finding {
        let fix = (kind, format!("write `{text}`"), vec![(span, text.to_owned())]);
        trial::offer_edits(reader, finding, self.items, self.context, fix)
    }
}

fn offered(finding: Finding) -> Option<Finding> {
    (!finding.fixes.is_empty()).then_some(finding)
}

/// `patient age 13`, `patient 13 years`
fn age(reader: &mut StatementParser<'_>, typed: &Typed<'_>) -> Option<Finding> {
    let told = |item: &Item| item.measure().is_some();
    if typed.keyword() != Some("patient") || !typed.items.iter().any(told) {
        return None;
    }
    let whole = typed.whole();
    let mut finding = typed
        .finding(
            reader,
            "syntax/age",
            whole,
            "The plan needs to know whether the patient is growing.",
        )
        .why("Teeth move faster in growing patients; age alone is not enough, the doctor decides.");
    for word in ["patient growing", "patient adult"] {
        finding = typed.replace(reader, finding, FixKind::Clinical, whole, word);
    }
    offered(finding)
}

/// `no extraction`
fn no_extraction(reader: &mut StatementParser<'_>, typed: &Typed<'_>) -> Option<Finding> {
    let none = typed.says(0, &["no", "extraction"])
        || typed.says(0, &["no", "extractions"])
        || typed.says(0, &["extraction", "no"])
        || typed.says(0, &["without", "extraction"])
        || typed.says(0, &["non-extraction"]);
    if !none {
        return None;
    }
    let whole = typed.whole();
    let finding = typed.finding(
        reader,
        "syntax/other-word",
        whole,
        "A plan without extractions states this in `goal`: `extraction none`.",
    );
    Some(typed.replace(reader, finding, FixKind::Safe, whole, "extraction none"))
}

/// `midline 2 mm left`: it is not known whose left is meant.
fn midline(reader: &mut StatementParser<'_>, typed: &Typed<'_>) -> Option<Finding> {
    let head = typed.words.iter().position(|w| w == "midline")?;
    let figure = head + 1;
    typed.items.get(figure)?.measure()?;
    let rest: Vec<&str> = typed.words.get(figure + 1..)?.iter().map(String::as_str).collect();
    let of = |word: &str| matches!(word, "face" | "upper" | "lower");
    let known = |word: &&str| {
        matches!(*word, "to" | "the" | "of" | "patient" | "patient's" | "left" | "right")
            || of(word)
    };
    let sides: Vec<&str> =
        rest.iter().copied().filter(|w| matches!(*w, "left" | "right")).collect();
    let [side] = sides[..] else { return None };
    if !rest.iter().all(known) {
        return None;
    }
    let reference = rest.iter().copied().find(|w| of(w));
    let patients = rest.contains(&"patient") || rest.contains(&"patient's");
    let span = typed.span(figure + 1, typed.items.len());
    let mut finding = typed.finding(
        reader,
        "syntax/which-way",
        span,
        "To which side: the patient's right or left?",
    );
    if reference.is_none() {
        finding = finding
            .note("Read as relative to the face; `of lower` or `of upper` names the other arch.");
    }
    let other = if side == "left" { "right" } else { "left" };
    let sides: &[&str] = if patients { &[side] } else { &[side, other] };
    for side in sides {
        let text = format!("to patient-{side} of {}", reference.unwrap_or("face"));
        finding = typed.replace(reader, finding, FixKind::Clinical, span, &text);
    }
    offered(finding)
}

/// `13 high 5 mm`: for an upper tooth this means gingival. For a lower one usage varies.
fn high(reader: &mut StatementParser<'_>, typed: &Typed<'_>) -> Option<Finding> {
    let at = typed.words.iter().position(|w| matches!(w.as_str(), "high" | "low"))?;
    let word = typed.words[at].as_str();
    let teeth = typed.teeth(reader);
    let upper = !teeth.is_empty() && teeth.iter().all(|t| t.arch() == Arch::Upper);
    let ways: &[&str] =
        if upper && word == "high" { &["gingival"] } else { &["gingival", "occlusal"] };
    let span = typed.items[at].span;
    let message = match ways {
        [_] => {
            "The position of a high upper tooth is written as its direction: `gingival`.".to_owned()
        }
        _ => format!(
            "Which way is `{word}` here: towards the gingiva, or towards the occlusal plane?"
        ),
    };
    let mut finding = typed.finding(reader, "syntax/which-way", span, message);
    let first = &typed.items[0];
    for way in ways {
        let mut edits: Replacements = Vec::new();
        if first.teeth().is_some() {
            let start = Span { start: first.span.start, end: first.span.start };
            edits.push((start, "tooth ".to_owned()));
        }
        edits.push((span, (*way).to_owned()));
        let fix = (FixKind::Clinical, format!("write `{way}`"), edits);
        finding = trial::offer_edits(reader, finding, typed.items, typed.context, fix);
    }
    offered(finding)
}

/// An elastic across the midline: its teeth do not give the side.
fn side_of_elastic(reader: &mut StatementParser<'_>, typed: &Typed<'_>) -> Option<Finding> {
    let first = &typed.items[0];
    if typed.context != Context::Elastics || first.teeth().is_none() {
        return None;
    }
    let mut finding = typed.finding(
        reader,
        "syntax/which-way",
        first.span,
        "On which side is this elastic worn: the patient's right or left?",
    );
    let start = Span { start: first.span.start, end: first.span.start };
    for side in ["right", "left"] {
        let fix = (FixKind::Clinical, format!("write `{side}`"), vec![(start, format!("{side} "))]);
        finding = trial::offer_edits(reader, finding, typed.items, typed.context, fix);
    }
    offered(finding)
}

/// Synonyms of the trade: context, leading words, and the language's term; several where the synonym is
/// ambiguous.
const OTHER_WORDS: &[(Context, &[&str], &[&str], &str)] = &[
    (
        Context::Fit,
        &["self-ligating", "passive"],
        &["slide passive"],
        "A passive self-ligating bracket is written `slide passive`.",
    ),
    (
        Context::Fit,
        &["passive", "self-ligating"],
        &["slide passive"],
        "A passive self-ligating bracket is written `slide passive`.",
    ),
    (
        Context::Fit,
        &["self-ligating", "active"],
        &["clip active"],
        "A self-ligating bracket whose clip presses on the wire is written `clip active`.",
    ),
    (
        Context::Fit,
        &["active", "self-ligating"],
        &["clip active"],
        "A self-ligating bracket whose clip presses on the wire is written `clip active`.",
    ),
    (
        Context::Fit,
        &["self-ligating"],
        &["slide passive", "clip active"],
        "Which: a slide that only closes the slot, or a clip that presses on the wire?",
    ),
    (
        Context::Arch,
        &["impacted"],
        &["unerupted"],
        "A tooth that has not erupted is written `unerupted`; its position is written with `tooth`.",
    ),
    (
        Context::Case,
        &["transfer"],
        &["in-place"],
        "A case taken over in treatment is written `in-place`, with the date and what is in place.",
    ),
];

fn other_word(reader: &mut StatementParser<'_>, typed: &Typed<'_>) -> Option<Finding> {
    let (_, said, ours, message) = OTHER_WORDS
        .iter()
        .find(|(context, said, ..)| *context == typed.context && typed.says(0, said))?;
    let span = typed.span(0, said.len());
    let mut finding = typed.finding(reader, "syntax/other-word", span, *message);
    // An unerupted tooth is left out of the ranges that are bonded.
    let certain = ours.len() == 1 && *ours != ["unerupted"];
    let kind = if certain { FixKind::Safe } else { FixKind::Clinical };
    for text in *ours {
        finding = typed.replace(reader, finding, kind, span, text);
    }
    Some(finding)
}

/// `tip 5 deg on UR1` in a bracket: a plain figure of a table is mesial, one with a minus distal.
fn tip(reader: &mut StatementParser<'_>, typed: &Typed<'_>) -> Option<Finding> {
    let here = matches!(typed.words[0].as_str(), "tip" | "tipped" | "angulation");
    let figure = typed.items.get(1).filter(|i| i.measure().is_some())?;
    if !here || typed.context != Context::Fit {
        return None;
    }
    let minus = figure.slip == Some(RecoverableTypo::Minus);
    let amount = typed.words[1].trim_start_matches(|c: char| !c.is_ascii_digit() && c != '.');
    let span = typed.span(0, 2);
    let mut finding = typed.finding(
        reader,
        "syntax/which-way",
        span,
        "Tip built into a bracket is written with its direction: `tipped 5 deg mesial`.",
    );
    let way = typed.items.get(2).and_then(Item::keyword);
    if matches!(way, Some("mesial" | "distal")) {
        if minus {
            return None;
        }
        let text = format!("tipped {amount}");
        return offered(typed.replace(reader, finding, FixKind::Safe, span, &text));
    }
    finding = finding.why(
        "In prescription tables a minus sign before tip means distal; a figure without a sign means mesial.",
    );
    let text = format!("tipped {amount} {}", if minus { "distal" } else { "mesial" });
    offered(typed.replace(reader, finding, FixKind::Clinical, span, &text))
}

/// `niti` is one of two alloys.
fn nickel_titanium(reader: &mut StatementParser<'_>, typed: &Typed<'_>) -> Option<Finding> {
    const NAMES: &[&[&str]] =
        &[&["nickel", "titanium"], &["nickel-titanium"], &["niti"], &["ni-ti"]];
    if typed.keyword() != Some("wire") || !typed.wants_word("thermal-niti") {
        return None;
    }
    let said = NAMES.iter().find(|said| typed.says(typed.at, said))?;
    let span = typed.span(typed.at, typed.at + said.len());
    let mut finding = typed.finding(
        reader,
        "syntax/which-alloy",
        span,
        "Which nickel-titanium: superelastic, or thermal (heat-activated)?",
    );
    for alloy in ["superelastic-niti", "thermal-niti"] {
        finding = typed.replace(reader, finding, FixKind::Clinical, span, alloy);
    }
    offered(finding)
}

/// `thermal-niti 27C`
fn temperature(reader: &mut StatementParser<'_>, typed: &Typed<'_>) -> Option<Finding> {
    if typed.keyword() != Some("wire") {
        return None;
    }
    let heat = |item: &Item| {
        let unit = item.measure().and_then(|m| m.unit());
        unit.is_some_and(|u| u.unit.dimension() == Dimension::Temperature)
    };
    let at = typed.items.iter().position(heat)?;
    let item = &typed.items[at];
    let finding = typed
        .finding(
            reader,
            "syntax/bare-temperature",
            item.span,
            "Which temperature is that? A wire has one figure of it: the Af, at which it is austenite throughout.",
        )
        .note("It moves the force of the wire; measured plateaus or a measured curve say more.");
    let before = typed.items.get(at.checked_sub(1)?)?;
    let last = typed.items.last()?.span;
    let from = if before.is_comma() { before.span.start } else { before.span.end };
    let written = format!("af {}", reader.out.text(item.span));
    let added = format!(", {written}");
    let edits = match item.span == last {
        true => vec![(Span { start: from, end: last.end }, added)],
        false => vec![
            (Span { start: from, end: item.span.end }, String::new()),
            (Span { start: last.end, end: last.end }, added),
        ],
    };
    let fix = (FixKind::Clinical, format!("write `{written}`"), edits);
    Some(trial::offer_edits(reader, finding, typed.items, typed.context, fix))
}

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// The month that the items from an index on name, and how many they are: `2026-08`, `August 2026`.
fn month_at(typed: &Typed<'_>, at: usize) -> Option<(i16, i8, usize)> {
    let year_of = |value: f64| {
        ((1990.0..=2100.0).contains(&value) && value.fract() == 0.0).then_some(value as i16)
    };
    let skip = usize::from(matches!(typed.words.get(at)?.as_str(), "about" | "around" | "circa"));
    let item = typed.items.get(at + skip)?;
    if let ItemKind::Measure(m) = &item.kind
        && m.shape == ItemShape::Range
        && item.slip == Some(RecoverableTypo::DashRange)
        && m.unit().is_none()
    {
        let (year, month) = (year_of(m.first.value)?, m.second?.value);
        let whole = (1.0..=12.0).contains(&month) && month.fract() == 0.0;
        return whole.then_some((year, month as i8, skip + 1));
    }
    let word = typed.words.get(at + skip)?.trim_end_matches('.');
    let named = |month: &&str| month.starts_with(word) && word.len() >= 3;
    let month = MONTHS.iter().position(named)? as i8 + 1;
    let year = year_of(typed.items.get(at + skip + 1)?.measure()?.bare()?)?;
    Some((year, month, skip + 2))
}

/// `since 2026-08`: a month is not a day; three days are offered.
fn month(reader: &mut StatementParser<'_>, typed: &Typed<'_>) -> Option<Finding> {
    if !typed.wants_date() {
        return None;
    }
    let (year, month, count) = month_at(typed, typed.at)?;
    let first = jiff::civil::Date::new(year, month, 1).ok()?;
    let middle = jiff::civil::Date::new(year, month, 15).ok()?;
    let span = typed.span(typed.at, typed.at + count);
    let mut finding = typed
        .finding(reader, "syntax/month", span, "A date is needed here, and this is a month.")
        .note(
            "If the day is unknown, the middle of the month is never more than half a month out.",
        );
    for day in [middle, first, first.last_of_month()] {
        finding = typed.replace(reader, finding, FixKind::Clinical, span, &day.to_string());
    }
    offered(finding)
}

/// `mesial in`, `class 1`, `patient left`, `stainless steel`: a blank where the language has a hyphen.
fn blank_for_hyphen(reader: &mut StatementParser<'_>, typed: &Typed<'_>) -> Option<Finding> {
    let mut edits: Replacements = Vec::new();
    let mut at = 0;
    while at < typed.items.len() {
        match joined(typed, at) {
            Some((word, count)) => {
                edits.push((typed.span(at, at + count), word.to_owned()));
                at += count;
            }
            None => at += 1,
        }
    }
    let near = |span: &Span| {
        let from = typed.at.saturating_sub(3).min(typed.items.len() - 1);
        span.end >= typed.items[from].span.start
    };
    let here: Replacements = edits.iter().filter(|(span, _)| near(span)).take(1).cloned().collect();
    for edits in [here, edits] {
        let Some((span, word)) = edits.first().cloned() else { continue };
        let text = reader.out.text(span).to_owned();
        let plain = text.to_lowercase().split_whitespace().collect::<Vec<_>>().join("-");
        let (code, message) = match plain == word {
            true => ("syntax/blank-for-hyphen", format!("`{text}` is one word: `{word}`.")),
            false => ("syntax/other-word", format!("`{text}` is written `{word}`.")),
        };
        let finding = typed.finding(reader, code, span, message);
        let words: Vec<String> = edits.iter().map(|(_, word)| format!("`{word}`")).collect();
        let fix = (FixKind::Safe, format!("write {}", words.join(", ")), edits);
        let finding = trial::offer_edits(reader, finding, typed.items, typed.context, fix);
        if !finding.fixes.is_empty() {
            return Some(finding);
        }
    }
    None
}

/// Several words for one term of the language.
const PHRASES: &[(&[&str], &str)] = &[
    (&["a", "little"], "slightly"),
    (&["a", "bit"], "slightly"),
    (&["right", "across"], "across"),
];

/// The word that two to four parts make when hyphens join them, or that they are a phrase for.
fn joined(typed: &Typed<'_>, at: usize) -> Option<(&'static str, usize)> {
    if let Some((said, word)) = PHRASES.iter().find(|(said, _)| typed.says(at, said)) {
        return Some((word, said.len()));
    }
    (2..=4).rev().find_map(|count| {
        let parts = typed.items.get(at..at + count)?;
        let plain = |item: &Item| {
            item.is_word()
                || item.measure().and_then(|m| m.bare()).is_some_and(|v| v.fract() == 0.0)
        };
        if !parts.iter().all(plain) || !parts[0].is_word() {
            return None;
        }
        let text = typed.words[at..at + count].join("-");
        patterns().keyword(&text).map(|word| (word, count))
    })
}

const NUMBERS: [&str; 21] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
];

/// `six weeks`, `8 to 10 weeks`
fn number_in_words(reader: &mut StatementParser<'_>, typed: &Typed<'_>) -> Option<Finding> {
    let unit = |at: usize| {
        let word = typed.words.get(at)?;
        typed.items[at].is_word().then(|| unit_of(word)).flatten()
    };
    // The figure at an index, the unit behind it if any, and where it ends.
    let figure = |at: usize| -> Option<(String, Option<String>, usize)> {
        if let Some(n) = NUMBERS.iter().position(|w| *w == typed.words[at]) {
            let unit = unit(at + 1).map(|u| u.symbol().to_owned());
            let end = at + 1 + usize::from(unit.is_some());
            return Some((n.to_string(), unit, end));
        }
        let m = typed.items[at].measure().filter(|m| m.shape == ItemShape::Single)?;
        let number = springline_units::quantity::plain(m.first.value);
        Some((number, m.unit().map(|u| u.unit.symbol().to_owned()), at + 1))
    };
    let (mut ranges, mut low, mut high): (Replacements, Replacements, Replacements) =
        Default::default();
    let mut in_words = false;
    let mut at = 0;
    while at < typed.items.len() {
        let Some((first, own, end)) = figure(at) else {
            at += 1;
            continue;
        };
        if typed.words.get(end).is_some_and(|w| w == "to" || w == "or")
            && typed.items.get(end + 1).is_some()
            && let Some((second, Some(unit), stop)) = figure(end + 1)
            && own.as_ref().is_none_or(|own| *own == unit)
        {
            let span = typed.span(at, stop);
            ranges.push((span, format!("{first}..{second} {unit}")));
            low.push((span, format!("{first} {unit}")));
            high.push((span, format!("{second} {unit}")));
            at = stop;
            continue;
        }
        if let (true, Some(unit)) = (end > at + 1, own) {
            in_words = true;
            let text = format!("{first} {unit}");
            for edits in [&mut ranges, &mut low, &mut high] {
                edits.push((typed.span(at, end), text.clone()));
            }
        }
        at = end;
    }
    let (span, _) = ranges.first()?.clone();
    let (code, message) = match in_words {
        true => ("syntax/number-in-words", "A number is written in figures."),
        false => ("syntax/dash-range", "A range is written with two points."),
    };
    let ways: Vec<(FixKind, Replacements)> =
        match trial::reads_with(reader, typed.items, typed.context, &ranges) {
            true => vec![(FixKind::Safe, ranges)],
            // Where a range is not allowed, both its ends are offered.
            false => vec![(FixKind::Clinical, low), (FixKind::Clinical, high)],
        };
    let message = if ways.len() > 1 {
        "A single time is needed here, not a range: which one?"
    } else {
        message
    };
    let mut finding = typed.finding(reader, code, span, message);
    for (kind, edits) in ways {
        let texts: Vec<String> = edits.iter().map(|(_, text)| format!("`{text}`")).collect();
        let fix = (kind, format!("write {}", texts.join(", ")), edits);
        finding = trial::offer_edits(reader, finding, typed.items, typed.context, fix);
    }
    offered(finding)
}

/// `molars class-2 3 mm left`: the side comes before the class.
fn side_behind(reader: &mut StatementParser<'_>, typed: &Typed<'_>) -> Option<Finding> {
    if !matches!(typed.keyword(), Some("molars" | "canines")) || typed.items.len() < 3 {
        return None;
    }
    let last = typed.items.len() - 1;
    let side = typed.words[last].as_str();
    let before = &typed.words[1..last];
    if !matches!(side, "left" | "right")
        || before.iter().any(|w| w == "left" || w == "right" || w == ",")
    {
        return None;
    }
    let finding = typed.finding(
        reader,
        "syntax/side-first",
        typed.items[last].span,
        "The side comes before the class.",
    );
    let start = Span { start: typed.items[1].span.start, end: typed.items[1].span.start };
    let cut = Span { start: typed.items[last - 1].span.end, end: typed.items[last].span.end };
    let edits = vec![(start, format!("{side} ")), (cut, String::new())];
    let fix = (FixKind::Safe, format!("put `{side}` before the class"), edits);
    offered(trial::offer_edits(reader, finding, typed.items, typed.context, fix))
}
