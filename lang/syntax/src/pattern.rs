//! The notation of the vocabulary, read once: patterns, their holes, and the small programs that
//! match them.

use std::collections::HashMap;
use std::sync::LazyLock;

use super::context::Context;
use super::vocabulary::{ALIASES, FRAGMENTS, ROWS, Row};
use crate::model::quantity::Dimension;

/// What may stand in a pattern where a value belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Hole {
    Tooth,
    /// One or more teeth and stretches of teeth; `except` leaves some out.
    Teeth,
    Name,
    Text,
    Date,
    /// A day, or a range of days.
    Dates,
    /// A whole number without a unit.
    Count,
    Length,
    Force,
    Stress,
    /// A stress, or a range of stresses.
    Stresses,
    Angle,
    Time,
    /// A time, or a range of times.
    Times,
    /// Two sizes: `0.016 x 0.022 in`.
    Dims,
    Ratio,
    Percent,
    /// A figure of whatever dimension the place asks for.
    Any,
    /// The name of a finding: `force/sustained`.
    Rule,
    /// A day of the week.
    Day,
}

/// The days of the week, as the house file writes them.
pub const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// Leaves teeth out of a list of them.
pub const EXCEPT: &str = "except";

impl Hole {
    fn parse(text: &str) -> Option<Hole> {
        Some(match text {
            "TOOTH" => Hole::Tooth,
            "TEETH" => Hole::Teeth,
            "NAME" => Hole::Name,
            "STRING" => Hole::Text,
            "DATE" => Hole::Date,
            "DATES" => Hole::Dates,
            "COUNT" => Hole::Count,
            "LENGTH" => Hole::Length,
            "FORCE" => Hole::Force,
            "STRESS" => Hole::Stress,
            "STRESSES" => Hole::Stresses,
            "ANGLE" => Hole::Angle,
            "TIME" => Hole::Time,
            "TIMES" => Hole::Times,
            "DIMS" => Hole::Dims,
            "RATIO" => Hole::Ratio,
            "PERCENT" => Hole::Percent,
            "ANY" => Hole::Any,
            "RULE" => Hole::Rule,
            "DAY" => Hole::Day,
            _ => return None,
        })
    }

    /// The label of a hole that the pattern does not label: its own name, in small letters.
    pub fn label(self) -> &'static str {
        match self {
            Hole::Tooth => "tooth",
            Hole::Teeth => "teeth",
            Hole::Name => "name",
            Hole::Text => "text",
            Hole::Date => "date",
            Hole::Dates => "dates",
            Hole::Count => "count",
            Hole::Length => "length",
            Hole::Force => "force",
            Hole::Stress => "stress",
            Hole::Stresses => "stresses",
            Hole::Angle => "angle",
            Hole::Time => "time",
            Hole::Times => "times",
            Hole::Dims => "dims",
            Hole::Ratio => "ratio",
            Hole::Percent => "percent",
            Hole::Any => "figure",
            Hole::Rule => "rule",
            Hole::Day => "day",
        }
    }

    /// In a sentence, with its article.
    pub fn describe(self) -> &'static str {
        match self {
            Hole::Tooth => "a tooth",
            Hole::Teeth => "one or more teeth",
            Hole::Name => "a name",
            Hole::Text => "a text in quotes",
            Hole::Date => "a date such as 2026-09-14",
            Hole::Dates => "a date, or two dates with `..` between them",
            Hole::Count => "a whole number",
            Hole::Length => "a length such as 2.4 mm",
            Hole::Force => "a force such as 100 g",
            Hole::Stress => "a stress such as 60 GPa",
            Hole::Stresses => "a stress or a range of stresses such as 300..400 MPa",
            Hole::Angle => "an angle such as 25 deg",
            Hole::Time => "a time such as 8 wk",
            Hole::Times => "a time or a range of times such as 8..10 wk",
            Hole::Dims => "two sizes such as 0.016 x 0.022 in",
            Hole::Ratio => "a factor such as 1.2 times",
            Hole::Percent => "a percentage such as 50 %",
            Hole::Any => "a figure with its unit",
            Hole::Rule => "the name of a finding, such as force/sustained",
            Hole::Day => "a day of the week such as mon",
        }
    }

    /// The dimension a figure in this hole should have; `None` where there is no figure, or any.
    pub fn dimension(self) -> Option<Dimension> {
        Some(match self {
            Hole::Length | Hole::Dims => Dimension::Length,
            Hole::Force => Dimension::Force,
            Hole::Stress | Hole::Stresses => Dimension::Stress,
            Hole::Angle => Dimension::Angle,
            Hole::Time | Hole::Times => Dimension::Time,
            Hole::Ratio => Dimension::Ratio,
            Hole::Percent => Dimension::Percent,
            _ => return None,
        })
    }

    /// Takes a number with a unit.
    pub fn is_figure(self) -> bool {
        self.dimension().is_some() || self == Hole::Any
    }
}

/// A hole in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Slot {
    pub hole: Hole,
    /// For names the namespace; otherwise what the figure is for.
    pub label: &'static str,
    /// The name is defined here, not looked up.
    pub defines: bool,
}

/// A pattern as a tree.
#[derive(Debug, Clone, PartialEq)]
pub enum Node {
    Word(&'static str),
    Slot(Slot),
    Comma,
    Sequence(Vec<Node>),
    Choice(Vec<Node>),
    Optional(Box<Node>),
    Repeat {
        body: Box<Node>,
        /// Each leading word at most once.
        once: bool,
    },
    Group(&'static str, Box<Node>),
}

/// One step of a matching program.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Step {
    Word(&'static str),
    /// A word the formatter writes and a reader may leave out: `of` after a word.
    Soft(&'static str),
    /// A word, and another that is read as it in this statement only.
    Aliased(&'static str, &'static str),
    Slot(Slot),
    Comma,
    /// Try the first; come back to the second.
    Fork(usize, usize),
    Jump(usize),
    Open(&'static str),
    Close,
    /// The next word leads a detail of this list.
    Detail(u16),
    End,
}

/// A row of the vocabulary, ready to match.
#[derive(Debug)]
pub struct Pattern {
    pub row: &'static Row,
    pub node: Node,
    pub(super) program: Vec<Step>,
    /// The words it can begin with.
    pub keywords: Vec<&'static str>,
}

impl Pattern {
    /// Whether a word can be said anywhere in it.
    pub fn may_say(&self, word: &str) -> bool {
        let mut words = HashMap::new();
        collect_words(&self.node, &mut words);
        words.contains_key(word) || (word == EXCEPT && self.program.iter().any(takes_teeth))
    }
}

fn takes_teeth(step: &Step) -> bool {
    matches!(step, Step::Slot(slot) if slot.hole == Hole::Teeth)
}

/// All patterns, by context and keyword.
#[derive(Debug)]
pub struct Patterns {
    pub all: Vec<Pattern>,
    by_place: HashMap<(Context, &'static str), Vec<usize>>,
    by_keyword: HashMap<&'static str, Vec<usize>>,
    words: HashMap<&'static str, &'static str>,
}

static PATTERNS: LazyLock<Patterns> = LazyLock::new(Patterns::build);

/// The language, read once.
pub fn patterns() -> &'static Patterns {
    &PATTERNS
}

impl Patterns {
    fn build() -> Patterns {
        let mut all: Vec<Pattern> = Vec::with_capacity(ROWS.len());
        let mut by_place: HashMap<_, Vec<usize>> = HashMap::new();
        let mut by_keyword: HashMap<_, Vec<usize>> = HashMap::new();
        let mut words = HashMap::new();
        for row in ROWS {
            // A pattern that cannot be read is a mistake in the table; a test finds it.
            let Ok(node) = parse_pattern(row.pattern) else { continue };
            let mut keywords = Vec::new();
            leading_words(&node, &mut keywords);
            collect_words(&node, &mut words);
            for keyword in &keywords {
                by_keyword.entry(*keyword).or_default().push(all.len());
                for context in row.inside {
                    by_place.entry((*context, *keyword)).or_default().push(all.len());
                }
            }
            let mut program = super::program::compile(&node);
            for alias in ALIASES.iter().filter(|a| a.only_in.is_some_and(|w| keywords.contains(&w)))
            {
                let reads = |step: &&mut Step| **step == Step::Word(alias.written);
                program.iter_mut().filter(reads).for_each(|step| {
                    *step = Step::Aliased(alias.written, alias.read);
                });
            }
            all.push(Pattern { row, node, program, keywords });
        }
        for day in DAYS {
            words.insert(day, day);
        }
        words.insert(EXCEPT, EXCEPT);
        for alias in ALIASES.iter().filter(|a| a.only_in.is_none()) {
            words.insert(alias.read, alias.written);
        }
        Patterns { all, by_place, by_keyword, words }
    }

    /// The patterns that begin with a keyword in a context.
    pub fn at(&self, context: Context, keyword: &str) -> impl Iterator<Item = &Pattern> {
        // The map's keys are 'static; a lookup by a shorter-lived str goes through the word table.
        let found = self
            .words
            .get(keyword)
            .and_then(|word| self.by_place.get(&(context, *word)))
            .map_or(&[][..], Vec::as_slice);
        found.iter().filter_map(|i| self.all.get(*i))
    }

    /// The patterns that begin with a keyword anywhere.
    pub fn of(&self, keyword: &str) -> impl Iterator<Item = &Pattern> {
        let found = self.by_keyword.get(keyword).map_or(&[][..], Vec::as_slice);
        found.iter().filter_map(|i| self.all.get(*i))
    }

    /// Every pattern of a context, in the order of the vocabulary.
    pub fn inside(&self, context: Context) -> impl Iterator<Item = &Pattern> {
        self.all.iter().filter(move |p| p.row.inside.contains(&context))
    }

    /// The keyword a word is, in its one written form; letters of either case.
    pub fn keyword(&self, text: &str) -> Option<&'static str> {
        if let Some(word) = self.words.get(text) {
            return Some(word);
        }
        if text.bytes().any(|b| b.is_ascii_uppercase()) {
            return self.words.get(text.to_ascii_lowercase().as_str()).copied();
        }
        None
    }

    /// Every word of the language.
    pub fn words(&self) -> impl Iterator<Item = &'static str> {
        self.words.keys().copied()
    }
}

/// Why a pattern of the table cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PatternError(pub String);

/// Reads the notation described in [`super::vocabulary`].
pub fn parse_pattern(text: &'static str) -> Result<Node, PatternError> {
    let mut reader = Reader { rest: text, whole: text };
    let node = reader.alternatives()?;
    reader.skip();
    if reader.rest.is_empty() { Ok(node) } else { Err(reader.error("left over")) }
}

struct Reader {
    rest: &'static str,
    whole: &'static str,
}

impl Reader {
    fn error(&self, what: &str) -> PatternError {
        PatternError(format!("{what} at `{}` in `{}`", self.rest, self.whole))
    }

    fn skip(&mut self) {
        self.rest = self.rest.trim_start();
    }

    fn take(&mut self, text: &str) -> bool {
        self.skip();
        match self.rest.strip_prefix(text) {
            Some(rest) => {
                self.rest = rest;
                true
            }
            None => false,
        }
    }

    fn close(&mut self, text: &str) -> Result<(), PatternError> {
        if self.take(text) { Ok(()) } else { Err(self.error("not closed")) }
    }

    fn alternatives(&mut self) -> Result<Node, PatternError> {
        let mut choices = vec![self.sequence()?];
        while self.take("|") {
            choices.push(self.sequence()?);
        }
        Ok(if choices.len() == 1 { choices.remove(0) } else { Node::Choice(choices) })
    }

    fn sequence(&mut self) -> Result<Node, PatternError> {
        let mut parts = Vec::new();
        loop {
            self.skip();
            if self.rest.is_empty() || self.rest.starts_with(['|', ')', ']', '}']) {
                break;
            }
            parts.push(self.part()?);
        }
        Ok(if parts.len() == 1 { parts.remove(0) } else { Node::Sequence(parts) })
    }

    fn part(&mut self) -> Result<Node, PatternError> {
        if self.take(",") {
            return Ok(Node::Comma);
        }
        if self.take("(") {
            let node = self.alternatives()?;
            self.close(")")?;
            return Ok(node);
        }
        if self.take("[") {
            let node = self.alternatives()?;
            self.close("]")?;
            return Ok(Node::Optional(Box::new(node)));
        }
        if self.take("{") {
            let once = !self.take("+");
            let body = Box::new(self.alternatives()?);
            self.close("}")?;
            return Ok(Node::Repeat { body, once });
        }
        self.word()
    }

    fn word(&mut self) -> Result<Node, PatternError> {
        let end = self.rest.find(|c: char| " ,|()[]{}".contains(c)).unwrap_or(self.rest.len());
        let (word, rest) = self.rest.split_at(end);
        if word.is_empty() {
            return Err(self.error("no word"));
        }
        self.rest = rest;
        if let Some(name) = word.strip_prefix('@') {
            let Some((name, text)) = FRAGMENTS.iter().find(|(n, _)| *n == name) else {
                return Err(self.error("no such fragment"));
            };
            return Ok(Node::Group(name, Box::new(parse_pattern(text)?)));
        }
        if !word.starts_with(|c: char| c.is_ascii_uppercase()) {
            return Ok(Node::Word(word));
        }
        let (word, defines) = match word.strip_suffix('!') {
            Some(word) => (word, true),
            None => (word, false),
        };
        let (name, label) = word.split_once(':').unwrap_or((word, ""));
        let hole = Hole::parse(name).ok_or_else(|| self.error("no such hole"))?;
        let label = if label.is_empty() { hole.label() } else { label };
        Ok(Node::Slot(Slot { hole, label, defines }))
    }
}

/// The words a pattern can begin with.
fn leading_words(node: &Node, out: &mut Vec<&'static str>) {
    match node {
        Node::Word(word) => out.push(word),
        Node::Sequence(parts) => {
            if let Some(first) = parts.first() {
                leading_words(first, out);
            }
        }
        Node::Choice(choices) => choices.iter().for_each(|c| leading_words(c, out)),
        Node::Group(_, body) | Node::Optional(body) | Node::Repeat { body, .. } => {
            leading_words(body, out);
        }
        Node::Slot(_) | Node::Comma => {}
    }
}

fn collect_words(node: &Node, out: &mut HashMap<&'static str, &'static str>) {
    match node {
        Node::Word(word) => {
            out.insert(word, word);
        }
        Node::Sequence(parts) | Node::Choice(parts) => {
            parts.iter().for_each(|p| collect_words(p, out));
        }
        Node::Group(_, body) | Node::Optional(body) | Node::Repeat { body, .. } => {
            collect_words(body, out);
        }
        Node::Slot(_) | Node::Comma => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_pattern_of_the_table_can_be_read() {
        for row in ROWS {
            parse_pattern(row.pattern).unwrap_or_else(|e| panic!("{}", e.0));
        }
        assert_eq!(patterns().all.len(), ROWS.len());
    }

    #[test]
    fn every_pattern_begins_with_a_word() {
        for pattern in &patterns().all {
            assert!(!pattern.keywords.is_empty(), "{}", pattern.row.pattern);
        }
    }
}
