//! Completion: allowed words, teeth not yet used, names from the stock, units, findings to accept. Works
//! on an empty line and in a file that is incomplete elsewhere.

mod accept;
mod dates;
mod figures;
mod keywords;
mod names;
mod order;
pub mod snippets;
mod teeth;

use springline_lang::syntax::ast::StatementKind;
use springline_lang::syntax::pattern::{DAYS, Placeholder};
use springline_lang::syntax::patterns::{Pattern, patterns};
use springline_lang::syntax::tree::StatementRef;
use springline_lang::syntax::vocabulary::BlockRule;
use springline_lang::syntax::{Context, Expected, PlaceholderKind, expected};
use springline_lang::text::Span;
use springline_lang::units::quantity::Unit;
use springline_lang::units::tooth::Tooth;

use crate::analysed_file::AnalysedFile;
use crate::features::habits::{self, HabitToken, Habits};

/// What an offer is, for the editor's icons.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfferKind {
    Keyword,
    Snippet,
    Tooth,
    Name,
    Unit,
    Figure,
    Date,
    Finding,
}

/// One thing that could be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    pub label: String,
    pub kind: OfferKind,
    pub detail: String,
    /// What is written, in place of `replace`.
    pub insert: String,
    /// `insert` has places to fill in, as snippets do.
    pub is_snippet: bool,
    pub replace: Span,
    /// Its details are resolved on request.
    pub about: OfferSubject,
}

/// How an offer is explained: found again by this, so that a long list stays short to send.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OfferSubject {
    Nothing,
    /// A statement's keyword, by the row of the vocabulary.
    Row(usize),
    /// A word inside a statement.
    Word(&'static str),
    /// A name in a namespace.
    Name(&'static str, String),
    Finding(String),
}

/// Everything that could be written at an offset, likeliest first.
pub fn complete(analysed: AnalysedFile<'_>, offset: usize) -> Vec<Offer> {
    let offset = analysed.text().floor_char_boundary(offset);
    let begun = TypedPrefix::at(analysed, offset);
    let mut place = expected(analysed.parse(), begun.from);
    if begun.kind != TypedPrefixKind::Nothing {
        place.replace = Span::new(begun.from, offset);
    }
    let scene = CompletionSite::new(analysed, begun.from, &place);
    let mut out = Vec::new();
    match begun.kind {
        TypedPrefixKind::Name => offers(&scene, &place, offset, &mut out),
        TypedPrefixKind::Stretch => {
            place.replace = Span::new(offset, offset);
            teeth::ends(analysed, &place, offset, begun.typed(analysed, offset), &mut out);
            if !place
                .slots
                .iter()
                .any(|s| matches!(s.hole, PlaceholderKind::Teeth | PlaceholderKind::Tooth))
            {
                figures::ends(&scene, &place, begun.typed(analysed, offset), &mut out);
            }
        }
        TypedPrefixKind::Figure => {
            let typed = begun.typed(analysed, offset);
            let here = expected(analysed.parse(), offset);
            teeth::second_digits(analysed, offset, &mut out);
            units(&place, &here, analysed, offset, &mut out);
            figures::offers(&scene, &place, place.replace, typed, &mut out);
            if place.slots.iter().any(|s| {
                matches!(
                    s.hole,
                    PlaceholderKind::Date | PlaceholderKind::Dates | PlaceholderKind::Times
                )
            }) {
                dates::offers(&scene, &place, place.replace, typed, &mut out);
            }
        }
        TypedPrefixKind::Nothing => offers(&scene, &place, offset, &mut out),
    }
    if begun.kind == TypedPrefixKind::Name {
        let typed = begun.typed(analysed, offset);
        out.retain(|offer| offer.insert.starts_with(typed));
    }
    let stretch = (begun.kind == TypedPrefixKind::Stretch)
        .then(|| CompletionSite::new(analysed, offset, &place));
    order::sort(stretch.as_ref().unwrap_or(&scene), &place, &mut out);
    out
}

fn offers(scene: &CompletionSite<'_>, place: &Expected, offset: usize, out: &mut Vec<Offer>) {
    let analysed = scene.analysed;
    teeth::second_digits(analysed, offset, out);
    units_after(scene, place, out);
    for slot in &place.slots {
        values(scene, place, *slot, offset, out);
    }
    figures::offers(scene, place, place.replace, "", out);
    if place.starts_statement {
        snippets::offers(scene, place, out);
    }
    keywords::offers(scene, place, out);
    block(scene, place, out);
}

/// The brace that opens a statement's block, where it has none yet.
fn block(scene: &CompletionSite<'_>, place: &Expected, out: &mut Vec<Offer>) {
    let (Some(context), Some(keyword)) = (place.context, place.keyword) else { return };
    let text = scene.analysed.text();
    let rest = text.get(scene.offset..).unwrap_or_default().lines().next().unwrap_or_default();
    let opens = |p: &Pattern| p.row.block != BlockRule::None;
    if !place.may_end || rest.contains('{') || !patterns().at(context, keyword).any(opens) {
        return;
    }
    out.push(Offer {
        label: "{".to_owned(),
        kind: OfferKind::Keyword,
        detail: "its block".to_owned(),
        insert: "{".to_owned(),
        is_snippet: false,
        replace: place.replace,
        about: OfferSubject::Nothing,
    });
}

/// What is typed already of what is wanted, where the language would take it for something else.
#[derive(Debug, Clone, Copy)]
struct TypedPrefix {
    from: usize,
    kind: TypedPrefixKind,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum TypedPrefixKind {
    Nothing,
    /// A name up to its hyphen: `niti-`.
    Name,
    /// One end of a range: `15..`.
    Stretch,
    /// Digits.
    Figure,
}

impl TypedPrefix {
    fn at(analysed: AnalysedFile<'_>, offset: usize) -> TypedPrefix {
        let before = &analysed.text()[..offset];
        let back = |fits: fn(char) -> bool| before.trim_end_matches(fits).len();
        let word = back(|c| c.is_alphanumeric() || c == '-');
        let typed = &before[word..];
        if typed.ends_with('-') && typed.starts_with(char::is_alphabetic) {
            return TypedPrefix { from: word, kind: TypedPrefixKind::Name };
        }
        let stretch = back(|c| c.is_alphanumeric() || c == '.' || c == '#');
        let typed = &before[stretch..];
        if typed.contains("..") && !typed.starts_with('.') {
            return TypedPrefix { from: stretch, kind: TypedPrefixKind::Stretch };
        }
        let digits = back(|c| c.is_ascii_digit() || c == '.' || c == '-');
        let after_word = before[..digits].ends_with(char::is_alphanumeric);
        if before[digits..].starts_with(|c: char| c.is_ascii_digit()) && !after_word {
            return TypedPrefix { from: digits, kind: TypedPrefixKind::Figure };
        }
        TypedPrefix { from: offset, kind: TypedPrefixKind::Nothing }
    }

    fn typed(self, analysed: AnalysedFile<'_>, offset: usize) -> &str {
        analysed.text().get(self.from..offset).unwrap_or_default()
    }
}

/// A place with what is known around it.
pub struct CompletionSite<'a> {
    pub analysed: AnalysedFile<'a>,
    pub offset: usize,
    /// The words of the statement before the place.
    pub before: Vec<HabitToken<'a>>,
    starts: bool,
    at: habits::HabitContext,
    /// What this plan itself does.
    own: Habits,
    /// The statements of the block, in order: those above the place, and all.
    above: Vec<StatementRef<'a>>,
    siblings: Vec<StatementRef<'a>>,
    context: Option<Context>,
}

impl<'a> CompletionSite<'a> {
    fn new(analysed: AnalysedFile<'a>, from: usize, place: &Expected) -> CompletionSite<'a> {
        let parse = analysed.parse();
        let from = if place.prefix.is_empty() { from } else { place.replace.start as usize };
        let before = habits::tokens(habits::statement_before(analysed.text(), from));
        let inside = |l: &StatementRef<'_>| {
            l.block().is_some_and(|b| {
                b.open.end as usize <= from
                    && (from <= b.close.start as usize || b.close.start == b.close.end)
            })
        };
        let parent = parse.all_lines().filter(inside).last();
        let siblings: Vec<StatementRef<'a>> = match parent {
            Some(parent) => parent.children().collect(),
            None => parse.lines().collect(),
        };
        let above: Vec<StatementRef<'a>> =
            siblings.iter().filter(|l| (l.span().end as usize) < from).copied().collect();
        let word = |back: usize| {
            above
                .len()
                .checked_sub(back)
                .and_then(|i| above.get(i))
                .map_or("", |l| habits::first_word(*l))
        };
        let at = if before.is_empty() {
            habits::start(place.context, parent, [word(1), word(2)])
        } else {
            habits::inside(&before)
        };
        let own = habits::own(parse, from);
        let context = place.context;
        CompletionSite {
            analysed,
            offset: from,
            starts: before.is_empty(),
            before,
            at,
            own,
            above,
            siblings,
            context,
        }
    }

    /// How much a word is expected here.
    pub fn expects(&self, word: &str) -> f64 {
        let others = self.analysed.habits.map_or(0.0, |h| h.expects(&self.at, word));
        others + 0.6 * self.own.expects(&self.at, word)
    }

    /// Figures that were written at such a place.
    pub fn figures(&self) -> Vec<String> {
        let mut out = self.analysed.habits.map(|h| h.figures(&self.at)).unwrap_or_default();
        out.extend(self.own.figures(&self.at));
        out
    }

    /// The word before the place.
    pub fn last_word(&self) -> &'a str {
        self.before.last().map_or("", |t| t.text)
    }

    pub fn today(&self) -> Option<jiff::civil::Date> {
        self.analysed.habits.and_then(|h| h.today)
    }

    /// Whether the clinic sees patients on that day; without a practice file every day counts.
    pub fn is_open(&self, day: jiff::civil::Date) -> bool {
        self.analysed.house().is_none_or(|house| house.is_open(day))
    }

    /// Nothing is written yet.
    pub fn is_empty(&self) -> bool {
        self.analysed.parse().statements.is_empty()
    }

    /// A statement that may occur once in its block and is present ranks last.
    pub fn said_already(&self, word: &str) -> f64 {
        let stands = || self.siblings.iter().any(|l| l.keyword() == Some(word));
        if self.starts && is_once(self.context, word) && stands() { 50.0 } else { 0.0 }
    }

    /// A place between two teeth or a list of them is just begun.
    pub fn place_is_new(&self) -> bool {
        self.before.last().is_some_and(|t| t.kind != habits::HabitTokenKind::Tooth)
    }

    /// A tooth that the plan treats: bypassed, in crossbite, engaged later.
    pub fn is_of_concern(&self, tooth: Tooth) -> bool {
        let about = |l: &StatementRef<'_>| {
            matches!(
                l.kind(),
                Some(
                    StatementKind::Bypass
                        | StatementKind::Crossbite
                        | StatementKind::GoalCrossbiteCorrected
                        | StatementKind::SeenCrossbiteCorrected
                        | StatementKind::Engage
                        | StatementKind::PickUp
                )
            )
        };
        let lines = self.analysed.parse().all_lines().filter(about);
        let teeth = lines.flat_map(|l| l.holes(PlaceholderKind::Teeth)).flat_map(|h| h.teeth());
        teeth.flat_map(|span| self.analysed.teeth_of(span)).any(|t| t == tooth)
    }

    /// Steps named by the statements above, the nearest first.
    pub fn steps_above(&self) -> Vec<String> {
        let steps = self
            .above
            .iter()
            .rev()
            .filter(|l| matches!(l.kind(), Some(StatementKind::Step | StatementKind::Change)));
        steps.filter_map(|l| l.step_name()).map(|h| h.text().to_owned()).collect()
    }
}

/// Statements that may occur once in their block.
fn is_once(context: Option<Context>, word: &str) -> bool {
    let list: &[&str] = match context {
        Some(Context::Case | Context::House | Context::File) => &[
            "springline",
            "case",
            "practice",
            "use",
            "doctor",
            "start",
            "patient",
            "bite",
            "goal",
            "upper",
            "lower",
            "retain",
            "debond",
            "in-place",
            "defaults",
            "notation",
            "language",
            "chart",
            "clinic",
            "interval",
            "passive-when",
            "book-on",
        ],
        Some(Context::Bite | Context::Goal) => &[
            "overjet",
            "reverse-overjet",
            "overbite",
            "open-bite",
            "molars",
            "canines",
            "crossbite",
            "extraction",
            "incisors",
            "spaces",
            "crossbite-corrected",
        ],
        Some(Context::Arch) => &["follow", "midline", "form", "start", "anchorage", "palatal-arch"],
        Some(Context::Elastics) => &["from", "until", "longest"],
        Some(Context::Retain) => &["fixed", "night-time", "check"],
        Some(Context::Seen) => &["done", "overjet", "overbite", "hygiene", "pain", "lower"],
        _ => &[],
    };
    list.contains(&word)
}

fn values(
    scene: &CompletionSite<'_>,
    place: &Expected,
    slot: Placeholder,
    offset: usize,
    out: &mut Vec<Offer>,
) {
    let analysed = scene.analysed;
    match slot.hole {
        PlaceholderKind::Tooth | PlaceholderKind::Teeth => {
            teeth::offers(analysed, place, offset, out)
        }
        PlaceholderKind::Name if !slot.defines => {
            names::offers(scene, place, slot.label, offset, out)
        }
        PlaceholderKind::Rule => accept::offers(analysed, place, offset, out),
        PlaceholderKind::Day => out.extend(DAYS.into_iter().map(|day| Offer {
            label: day.to_owned(),
            kind: OfferKind::Date,
            detail: String::new(),
            insert: day.to_owned(),
            is_snippet: false,
            replace: place.replace,
            about: OfferSubject::Nothing,
        })),
        PlaceholderKind::Date | PlaceholderKind::Dates => {
            dates::offers(scene, place, place.replace, "", out)
        }
        _ => {}
    }
}

/// The units of the figure before the place, according to its placeholder.
fn units_after(scene: &CompletionSite<'_>, place: &Expected, out: &mut Vec<Offer>) {
    let text = &scene.analysed.text()[..place.replace.start as usize];
    let number = text.trim_end().trim_end_matches(|c: char| c.is_ascii_digit() || c == '.').len();
    let hole = expected(scene.analysed.parse(), number);
    units(&hole, place, scene.analysed, place.replace.start as usize, out);
}

fn units(
    hole: &Expected,
    place: &Expected,
    analysed: AnalysedFile<'_>,
    offset: usize,
    out: &mut Vec<Offer>,
) {
    let touches = analysed.text()[..offset].ends_with(|c: char| c.is_ascii_digit());
    let hours = hole.slots.iter().any(|s| s.label == "hours");
    let usual = ["mm", "wk", "g", "deg"];
    let mut fitting: Vec<_> = place.units.iter().filter(|u| !hours || u.symbol() == "h").collect();
    if hours && fitting.is_empty() && !place.units.is_empty() {
        fitting.push(&Unit::H);
    }
    fitting.sort_by_key(|u| usual.iter().position(|s| *s == u.symbol()).unwrap_or(usual.len()));
    for unit in fitting {
        let symbol = unit.symbol();
        out.push(Offer {
            label: symbol.to_owned(),
            kind: OfferKind::Unit,
            detail: unit.dimension().describe().to_owned(),
            insert: if touches { format!(" {symbol}") } else { symbol.to_owned() },
            is_snippet: false,
            replace: Span::new(offset, (place.replace.end as usize).max(offset)),
            about: OfferSubject::Nothing,
        });
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::Sample;
    use super::*;

    fn labels(sample: &Sample) -> Vec<String> {
        complete(sample.analysed(), sample.offset).into_iter().map(|o| o.label).collect()
    }

    fn has(sample: &Sample, wanted: &[&str]) {
        let got = labels(sample);
        for label in wanted {
            assert!(got.iter().any(|l| l == label), "{label} not in {got:?}");
        }
    }

    fn lacks(sample: &Sample, unwanted: &[&str]) {
        let got = labels(sample);
        for label in unwanted {
            assert!(!got.iter().any(|l| l == label), "{label} in {got:?}");
        }
    }

    #[test]
    fn an_empty_line_offers_the_words_of_its_block_and_no_others() {
        let sample = Sample::upper("  ¦");
        has(&sample, &["tooth", "step", "follow", "change", "gap"]);
        lacks(&sample, &["bypass", "seen", "clinic"]);
        has(&Sample::upper("  change align {\n    ¦\n  }"), &["bypass", "stop", "open-coil", "no"]);
        has(&Sample::new("¦"), &["springline"]);
    }

    #[test]
    fn a_broken_file_is_no_hindrance() {
        let sample = Sample::upper("  tooth 13 lingual !!\n  change align {\n    ¦");
        has(&sample, &["bypass", "stop"]);
    }

    #[test]
    fn names_come_from_the_drawer_with_what_they_are() {
        let sample = Sample::upper("  step more, wire ¦");
        has(&sample, &["niti-14", "steel-19x25"]);
        let offers = complete(sample.analysed(), sample.offset);
        let niti = offers.iter().find(|o| o.label == "niti-14").unwrap();
        assert_eq!(niti.detail, "superelastic-niti 0.014 in");
        has(&Sample::upper("  change ¦"), &["align", "work"]);
    }

    #[test]
    fn teeth_that_are_described_already_are_not_offered_again() {
        let sample = Sample::upper("  tooth ¦");
        has(&sample, &["13", "11", "16"]);
        lacks(&sample, &["12", "22", "33"]);
        let begun = Sample::upper("  tooth 1¦");
        has(&begun, &["13"]);
        lacks(&begun, &["23", "12"]);
    }

    #[test]
    fn a_number_is_followed_by_the_units_that_fit() {
        let sample = Sample::upper("  tooth 13 labial 2 ¦");
        has(&sample, &["mm", "in"]);
        lacks(&sample, &["deg", "wk"]);
        let touching = Sample::upper("  tooth 13 labial 2¦");
        let offers = complete(touching.analysed(), touching.offset);
        assert_eq!(offers.iter().find(|o| o.label == "mm").unwrap().insert, " mm");
    }

    /// The first offers at a place, in the order of the menu.
    fn first(marked: &str, n: usize) -> Vec<String> {
        let sample = Sample::upper(marked);
        labels(&sample).into_iter().take(n).collect()
    }

    #[test]
    fn what_is_begun_is_gone_on_with() {
        has(&Sample::upper("  step more as align after align, wire niti-¦"), &["niti-14"]);
        lacks(&Sample::upper("  step more as align after align, wire niti-¦"), &["steel-18"]);
        has(&Sample::new("springline 1\ncase \"x\"\nbite {\n  molars class-¦\n}\n"), &["class-2"]);
        has(&Sample::upper("  tooth 13..¦"), &["23", "11"]);
        let sample = Sample::upper("  tooth 22 ¦");
        has(&sample, &["palatal"]);
        lacks(&sample, &["lingual"]);
        has(&Sample::upper("  follow usual from ¦"), &["level", "work"]);
    }

    #[test]
    fn what_fits_comes_first() {
        let elastics = |line: &str| {
            Sample::new(&format!(
                "springline 1\ncase \"x\"\nuse saltmarsh\nstart 2026-11-23\nelastics class-2 {{\n  {line}\n}}\n"
            ))
        };
        let hours = labels(&elastics("right 13 to 46 with light, wear 10 ¦"));
        assert_eq!(hours, ["h"]);
        assert_eq!(labels(&elastics("right 13 to 46 with light, wear 10¦"))[0], "h");
        assert_eq!(first("  bonded 13 with ¦", 1), ["twin"]);
        assert_eq!(first("  tubes 17 with ¦", 1), ["molar"]);
        assert!(
            first("  change align {\n    open-coil between 13 and 11 with ¦\n  }", 1)[0]
                .starts_with("open")
        );
        assert_eq!(first("  change align {\n    laceback 16 to 13, ¦\n  }", 1), ["26"]);
        assert_eq!(
            first("  change align {\n    sleeve between 15 and 13, between ¦\n  }", 1),
            ["23"]
        );
    }

    #[test]
    fn no_day_to_come_was_seen() {
        let sample = Sample::upper("  ¦").analysed().text().replace("retain {", "seen ¦\nretain {");
        let days = labels(&Sample::new(&sample));
        assert!(!days.is_empty() && days.iter().all(|d| d.as_str() <= "2026-11-24"), "{days:?}");
        let next = first("  change align, next ¦", 60);
        assert!(
            next.iter().any(|l| l == "8 wk") && next.iter().any(|l| l == "6..8 wk"),
            "{next:?}"
        );
        assert_ne!(next[0], "2026-11-24");
    }

    #[test]
    fn nothing_is_offered_inside_a_comment() {
        assert_eq!(labels(&Sample::upper("  // to¦")), Vec::<String>::new());
    }
}
