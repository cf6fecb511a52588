//! Habits of a practice: counts which word follows which in its plans, so that completion offers the most
//! common first.

use std::collections::HashMap;

use jiff::civil::Date;
use springline_lang::syntax::Context;
use springline_lang::syntax::tree::{Parse, StatementRef};
use springline_lang::units::tooth::Tooth;

/// Counts over the other plans of the same practice, with other analysed about the folder.
#[derive(Debug, Default)]
pub struct Habits {
    after: HashMap<String, Counts>,
    /// Initials, with their frequency in plans.
    persons: HashMap<String, u32>,
    /// Practice files that a plan here could use.
    pub houses: Vec<String>,
    pub today: Option<Date>,
}

#[derive(Debug, Default)]
struct Counts {
    all: u32,
    of: HashMap<String, u32>,
}

impl Counts {
    fn share(&self, value: &str) -> f64 {
        self.of.get(value).map_or(0.0, |n| f64::from(*n) / f64::from(self.all))
    }
}

/// The context of a place for habit look-up: what precedes it, from the most specific key to the most
/// general.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HabitContext {
    keys: Vec<String>,
}

/// Weights of the keys, most specific first.
const WEIGHTS: [f64; 4] = [8.0, 4.0, 2.0, 0.5];

impl Habits {
    /// Habits without counts: only the date and the practice files are known.
    pub fn unknown(houses: Vec<String>, today: Option<Date>) -> Habits {
        Habits { houses, today, ..Habits::default() }
    }

    /// Counts a plan, or a part of it.
    pub fn learn<'a>(&mut self, lines: impl Iterator<Item = StatementRef<'a>>) {
        for line in lines.filter(|l| l.is_read()) {
            let words = tokens(line.text());
            let Some(first) = words.first() else { continue };
            self.count(&start(line.context(), line.parent(), siblings_before(line)), first.text);
            for i in 1..words.len() {
                let place = inside(&words[..i]);
                if let Some(value) = value(line.text(), &words, i) {
                    self.count(&place, value);
                }
                if words[i - 1].text == "by" || words[0].text == "doctor" {
                    *self.persons.entry(words[i].text.to_owned()).or_default() += 1;
                }
            }
        }
    }

    fn count(&mut self, place: &HabitContext, value: &str) {
        for key in &place.keys {
            let counts = self.after.entry(key.clone()).or_default();
            counts.all += 1;
            *counts.of.entry(value.to_owned()).or_default() += 1;
        }
    }

    /// How likely a value is at a place: 0 where it was never written.
    pub fn expects(&self, place: &HabitContext, value: &str) -> f64 {
        let found = place.keys.iter().zip(WEIGHTS);
        found.map(|(key, w)| w * self.after.get(key).map_or(0.0, |c| c.share(value))).sum()
    }

    /// The figures that were written at such a place, as written with their units.
    pub fn figures(&self, place: &HabitContext) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        for counts in place.keys.iter().filter_map(|key| self.after.get(key)) {
            let figures = counts.of.keys().filter(|v| v.contains(' ') && is_figure(v));
            out.extend(figures.cloned());
        }
        out.sort();
        out.dedup();
        out
    }

    /// Initials, most frequent first.
    pub fn persons(&self) -> Vec<String> {
        let mut out: Vec<(&String, &u32)> = self.persons.iter().collect();
        out.sort_by_key(|(name, n)| (std::cmp::Reverse(**n), (*name).clone()));
        out.into_iter().map(|(name, _)| name.clone()).collect()
    }
}

fn is_figure(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
}

/// The keywords of the two statements before one in its block, the nearer first.
fn siblings_before(line: StatementRef<'_>) -> [&str; 2] {
    let parse = line.parse;
    let ids = match line.parent().and_then(|p| p.block()) {
        Some(block) => &block.statements,
        None => &parse.top,
    };
    let at = ids.partition_point(|id| *id < line.id);
    let word = |back: usize| {
        let id = at.checked_sub(back).and_then(|i| ids.get(i));
        id.and_then(|id| parse.line(*id)).map_or("", first_word)
    };
    [word(1), word(2)]
}

pub fn first_word(line: StatementRef<'_>) -> &str {
    line.text().split([' ', ',', '\n', '{']).next().unwrap_or_default()
}

/// The place of a statement's first word.
pub fn start(
    context: Option<Context>,
    parent: Option<StatementRef<'_>>,
    [before, earlier]: [&str; 2],
) -> HabitContext {
    let parent = parent.map_or(String::new(), |p| {
        p.text().split([' ', ',']).take(2).collect::<Vec<_>>().join(" ")
    });
    // Opening lines count as statements of the case that follows them.
    let c = match context {
        Some(Context::File | Context::Case) | None => "Case".to_owned(),
        Some(context) => format!("{context:?}"),
    };
    HabitContext {
        keys: vec![
            format!("^{c}|{parent}|{before}|{earlier}"),
            format!("^{c}|{before}|{earlier}"),
            format!("^{c}|{before}"),
            format!("^{c}"),
        ],
    }
}

/// The place after these words of a statement.
pub fn inside(words: &[HabitToken<'_>]) -> HabitContext {
    let keyword = words.first().map_or("", |w| w.text);
    let nth = |back: usize| words.len().checked_sub(back).and_then(|i| words.get(i));
    let literal = |back| nth(back).map_or("^", |w: &HabitToken<'_>| w.sign());
    let class = |back| nth(back).map_or("^", |w: &HabitToken<'_>| w.class());
    HabitContext {
        keys: vec![
            format!("{keyword}|{}|{}|{}", literal(3), literal(2), literal(1)),
            format!("{keyword}~{}|{}|{}", class(3), class(2), class(1)),
            format!("{keyword}|{}", literal(1)),
            keyword.to_owned(),
        ],
    }
}

/// The value at a place: a figure together with its unit.
fn value<'a>(text: &'a str, words: &[HabitToken<'a>], i: usize) -> Option<&'a str> {
    let word = words.get(i)?;
    if word.kind != HabitTokenKind::Number {
        return (word.text != ",").then_some(word.text);
    }
    let rest = &words[i..];
    let end = rest.iter().position(|w| w.kind == HabitTokenKind::Word && w.text != "x")?;
    let figures = rest[..end].iter().all(|w| w.kind == HabitTokenKind::Number || w.text != ",");
    let unit = rest.get(end).filter(|w| figures && is_unit(w.text))?;
    text.get(word.start..unit.start + unit.text.len())
}

fn is_unit(text: &str) -> bool {
    springline_lang::units::quantity::Unit::ALL.iter().any(|u| u.symbol() == text)
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HabitTokenKind {
    Word,
    Number,
    Tooth,
    Date,
    Text,
    Sign,
}

/// A word of a statement as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HabitToken<'a> {
    pub text: &'a str,
    pub start: usize,
    pub kind: HabitTokenKind,
}

impl HabitToken<'_> {
    /// Itself, where it says something of what follows: a figure does not, by its size.
    fn sign(&self) -> &str {
        match self.kind {
            HabitTokenKind::Number => "#",
            HabitTokenKind::Date => "D",
            HabitTokenKind::Text => "S",
            HabitTokenKind::Word | HabitTokenKind::Tooth | HabitTokenKind::Sign => self.text,
        }
    }

    fn class(&self) -> &str {
        if self.kind == HabitTokenKind::Tooth { "T" } else { self.sign() }
    }
}

/// The words of a statement.
pub fn tokens(text: &str) -> Vec<HabitToken<'_>> {
    let mut out: Vec<HabitToken<'_>> = Vec::new();
    let mut at = 0;
    while let Some(c) = text[at..].chars().next() {
        let rest = &text[at..];
        if c.is_whitespace() {
            at += c.len_utf8();
            continue;
        }
        if rest.starts_with("//") {
            at += rest.find('\n').unwrap_or(rest.len());
            continue;
        }
        let (length, kind) = token(rest, c);
        out.push(HabitToken { text: &rest[..length], start: at, kind });
        at += length;
    }
    // A number of two digits is a tooth unless a unit follows it.
    for i in 0..out.len() {
        let token = out[i];
        if token.kind == HabitTokenKind::Number && Tooth::parse(token.text).is_some() {
            let mut after = out[i + 1..].iter();
            let range = |w: &&HabitToken<'_>| w.text == ".." || w.kind == HabitTokenKind::Number;
            let next = after.find(|w| !range(w));
            if !next.is_some_and(|w| is_unit(w.text)) {
                out[i].kind = HabitTokenKind::Tooth;
            }
        }
    }
    out
}

fn token(rest: &str, c: char) -> (usize, HabitTokenKind) {
    if c == '"' {
        let end = rest[1..].find(['"', '\n']).map_or(rest.len(), |i| i + 2);
        return (rest.floor_char_boundary(end), HabitTokenKind::Text);
    }
    if rest.starts_with("..") {
        return (2, HabitTokenKind::Sign);
    }
    if !c.is_alphanumeric() && c != '#' {
        return (c.len_utf8(), HabitTokenKind::Sign);
    }
    let digits = c.is_ascii_digit();
    let mut end = 0;
    for (i, c) in rest.char_indices() {
        let next = rest[i + c.len_utf8()..].chars().next();
        let point = c == '.' && digits && next.is_some_and(|n| n.is_ascii_digit());
        if !(c.is_alphanumeric() || point || matches!(c, '-' | '/' | '#')) {
            break;
        }
        end = i + c.len_utf8();
    }
    let text = &rest[..end];
    let kind = match text {
        _ if digits && text.matches('-').count() == 2 => HabitTokenKind::Date,
        _ if digits => HabitTokenKind::Number,
        _ if Tooth::parse(text).is_some() => HabitTokenKind::Tooth,
        _ => HabitTokenKind::Word,
    };
    (end.max(c.len_utf8()), kind)
}

/// The part of a statement that stands before an offset; a line goes on after a comma.
pub fn statement_before(text: &str, at: usize) -> &str {
    let at = text.floor_char_boundary(at);
    let mut start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    while start > 0 && text[..start].trim_end().ends_with(',') {
        let before = text[..start].trim_end().len();
        start = text[..before].rfind('\n').map_or(0, |i| i + 1);
    }
    let part = &text[start..at];
    let open = part.rfind(['{', '}']).map_or(0, |i| i + 1);
    let in_text = part[..open].matches('"').count() % 2 == 1;
    if in_text { part } else { &part[open..] }
}

/// The last statements of a text, which say what this plan itself does most.
pub fn own(parse: &Parse, offset: usize) -> Habits {
    const LAST: usize = 120;
    let end = parse.statements.partition_point(|s| (s.span.end as usize) < offset);
    let mut out = Habits::default();
    out.learn((end.saturating_sub(LAST)..end).filter_map(|id| parse.line(id)));
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use springline_lang::syntax::parse;
    use springline_lang::text::FileId;

    #[test]
    fn what_stands_in_plans_is_expected_in_the_next() {
        let plan = "springline 1\ncase \"x\"\nupper {\n  tooth 12 palatal 2.5 mm, rotated 20 deg mesial-in\n\
            \x20 tooth 22 palatal 1 mm\n  change align, next 6..8 wk\n}\n";
        let tree = parse(FileId(0), plan);
        let mut habits = Habits::default();
        habits.learn(tree.all_lines());
        let after = |text: &str| inside(&tokens(text));
        assert!(
            habits.expects(&after("tooth 13"), "palatal")
                > habits.expects(&after("tooth 13"), "rotated")
        );
        let figures = habits.figures(&after("tooth 21 palatal"));
        assert!(figures.contains(&"1 mm".to_owned()) && figures.contains(&"2.5 mm".to_owned()));
        assert!(habits.figures(&after("change work, next")).contains(&"6..8 wk".to_owned()));
        assert!(habits.expects(&after("tooth 21 palatal 3"), "mm") > 1.0);
    }

    #[test]
    fn a_statement_is_taken_apart() {
        let kinds = |text| tokens(text).iter().map(|t| t.kind).collect::<Vec<_>>();
        use HabitTokenKind::*;
        assert_eq!(kinds("bonded 15..25 with twin"), [Word, Tooth, Sign, Tooth, Word, Word]);
        assert_eq!(kinds("next 10..12 wk"), [Word, Number, Sign, Number, Word]);
        assert_eq!(kinds("seen 2026-11-16 by KM"), [Word, Date, Word, Word]);
        assert_eq!(statement_before("upper {\n  tooth 12,\n    x", 22), "  tooth 12,\n  ");
        assert_eq!(statement_before("upper { tooth 1", 15), " tooth 1");
    }
}
