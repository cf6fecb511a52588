//! The notation of the vocabulary: what a pattern consists of, and how its text is parsed.

use super::vocabulary::FRAGMENTS;
use springline_units::quantity::Dimension;

/// The kinds of value that a pattern can have a placeholder for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PlaceholderKind {
    Tooth,
    /// One or more teeth and ranges of teeth; `except` leaves some out.
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
    Temperature,
    Ratio,
    Percent,
    /// A figure of any dimension.
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

impl PlaceholderKind {
    fn parse(text: &str) -> Option<PlaceholderKind> {
        Some(match text {
            "TOOTH" => PlaceholderKind::Tooth,
            "TEETH" => PlaceholderKind::Teeth,
            "NAME" => PlaceholderKind::Name,
            "STRING" => PlaceholderKind::Text,
            "DATE" => PlaceholderKind::Date,
            "DATES" => PlaceholderKind::Dates,
            "COUNT" => PlaceholderKind::Count,
            "LENGTH" => PlaceholderKind::Length,
            "FORCE" => PlaceholderKind::Force,
            "STRESS" => PlaceholderKind::Stress,
            "STRESSES" => PlaceholderKind::Stresses,
            "ANGLE" => PlaceholderKind::Angle,
            "TIME" => PlaceholderKind::Time,
            "TIMES" => PlaceholderKind::Times,
            "DIMS" => PlaceholderKind::Dims,
            "TEMPERATURE" => PlaceholderKind::Temperature,
            "RATIO" => PlaceholderKind::Ratio,
            "PERCENT" => PlaceholderKind::Percent,
            "ANY" => PlaceholderKind::Any,
            "RULE" => PlaceholderKind::Rule,
            "DAY" => PlaceholderKind::Day,
            _ => return None,
        })
    }

    /// The label of an unlabelled placeholder: its kind in lower case.
    pub fn label(self) -> &'static str {
        match self {
            PlaceholderKind::Tooth => "tooth",
            PlaceholderKind::Teeth => "teeth",
            PlaceholderKind::Name => "name",
            PlaceholderKind::Text => "text",
            PlaceholderKind::Date => "date",
            PlaceholderKind::Dates => "dates",
            PlaceholderKind::Count => "count",
            PlaceholderKind::Length => "length",
            PlaceholderKind::Force => "force",
            PlaceholderKind::Stress => "stress",
            PlaceholderKind::Stresses => "stresses",
            PlaceholderKind::Angle => "angle",
            PlaceholderKind::Time => "time",
            PlaceholderKind::Times => "times",
            PlaceholderKind::Dims => "dims",
            PlaceholderKind::Temperature => "temperature",
            PlaceholderKind::Ratio => "ratio",
            PlaceholderKind::Percent => "percent",
            PlaceholderKind::Any => "figure",
            PlaceholderKind::Rule => "rule",
            PlaceholderKind::Day => "day",
        }
    }

    /// In a sentence, with its article.
    pub fn describe(self) -> &'static str {
        match self {
            PlaceholderKind::Tooth => "a tooth",
            PlaceholderKind::Teeth => "one or more teeth",
            PlaceholderKind::Name => "a name",
            PlaceholderKind::Text => "a text in quotes",
            PlaceholderKind::Date => "a date such as 2026-09-14",
            PlaceholderKind::Dates => "a date, or two dates with `..` between them",
            PlaceholderKind::Count => "a whole number",
            PlaceholderKind::Length => "a length such as 2.4 mm",
            PlaceholderKind::Force => "a force such as 100 g",
            PlaceholderKind::Stress => "a stress such as 60 GPa",
            PlaceholderKind::Stresses => "a stress or a range of stresses such as 300..400 MPa",
            PlaceholderKind::Angle => "an angle such as 25 deg",
            PlaceholderKind::Time => "a time such as 8 wk",
            PlaceholderKind::Times => "a time or a range of times such as 8..10 wk",
            PlaceholderKind::Dims => "two sizes such as 0.016 x 0.022 in",
            PlaceholderKind::Temperature => "a temperature such as 27 C",
            PlaceholderKind::Ratio => "a factor such as 1.2 times",
            PlaceholderKind::Percent => "a percentage such as 50 %",
            PlaceholderKind::Any => "a figure with its unit",
            PlaceholderKind::Rule => "the name of a finding, such as force/sustained",
            PlaceholderKind::Day => "a day of the week such as mon",
        }
    }

    /// The dimension of a figure at this placeholder; `None` for non-figures and for any dimension.
    pub fn dimension(self) -> Option<Dimension> {
        Some(match self {
            PlaceholderKind::Length | PlaceholderKind::Dims => Dimension::Length,
            PlaceholderKind::Force => Dimension::Force,
            PlaceholderKind::Stress | PlaceholderKind::Stresses => Dimension::Stress,
            PlaceholderKind::Angle => Dimension::Angle,
            PlaceholderKind::Time | PlaceholderKind::Times => Dimension::Time,
            PlaceholderKind::Temperature => Dimension::Temperature,
            PlaceholderKind::Ratio => Dimension::Ratio,
            PlaceholderKind::Percent => Dimension::Percent,
            _ => return None,
        })
    }

    /// Matches a number with a unit.
    pub fn is_figure(self) -> bool {
        self.dimension().is_some() || self == PlaceholderKind::Any
    }
}

/// A placeholder in a pattern.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Placeholder {
    pub hole: PlaceholderKind,
    /// For names the namespace; otherwise the role of the figure.
    pub label: &'static str,
    /// The name is defined here, not looked up.
    pub defines: bool,
}

/// A pattern as a syntax tree.
#[derive(Debug, Clone, PartialEq)]
pub enum PatternNode {
    Word(&'static str),
    Slot(Placeholder),
    Comma,
    Sequence(Vec<PatternNode>),
    Choice(Vec<PatternNode>),
    Optional(Box<PatternNode>),
    Repeat {
        body: Box<PatternNode>,
        /// Each leading word at most once.
        once: bool,
    },
    Group(&'static str, Box<PatternNode>),
}

/// One instruction of a matching program.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Instruction {
    Word(&'static str),
    /// A word that the formatter writes and an author may leave out: `of` after a word.
    Soft(&'static str),
    /// A word, and a synonym that is valid in this statement only.
    Aliased(&'static str, &'static str),
    Slot(Placeholder),
    Comma,
    /// Try the first branch; on failure the second.
    Fork(usize, usize),
    Jump(usize),
    Open(&'static str),
    Close,
    /// The next word leads an entry of this list.
    Detail(u16),
    End,
}

/// Why a pattern of the table is invalid.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PatternError(pub String);

/// Parser of the notation described in [`super::vocabulary`].
pub fn parse_pattern(text: &'static str) -> Result<PatternNode, PatternError> {
    let mut reader = PatternParser { rest: text, whole: text };
    let node = reader.alternatives()?;
    reader.skip();
    if reader.rest.is_empty() { Ok(node) } else { Err(reader.error("left over")) }
}

struct PatternParser {
    rest: &'static str,
    whole: &'static str,
}

impl PatternParser {
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

    fn alternatives(&mut self) -> Result<PatternNode, PatternError> {
        let mut choices = vec![self.sequence()?];
        while self.take("|") {
            choices.push(self.sequence()?);
        }
        Ok(if choices.len() == 1 { choices.remove(0) } else { PatternNode::Choice(choices) })
    }

    fn sequence(&mut self) -> Result<PatternNode, PatternError> {
        let mut parts = Vec::new();
        loop {
            self.skip();
            if self.rest.is_empty() || self.rest.starts_with(['|', ')', ']', '}']) {
                break;
            }
            parts.push(self.part()?);
        }
        Ok(if parts.len() == 1 { parts.remove(0) } else { PatternNode::Sequence(parts) })
    }

    fn part(&mut self) -> Result<PatternNode, PatternError> {
        if self.take(",") {
            return Ok(PatternNode::Comma);
        }
        if self.take("(") {
            let node = self.alternatives()?;
            self.close(")")?;
            return Ok(node);
        }
        if self.take("[") {
            let node = self.alternatives()?;
            self.close("]")?;
            return Ok(PatternNode::Optional(Box::new(node)));
        }
        if self.take("{") {
            let once = !self.take("+");
            let body = Box::new(self.alternatives()?);
            self.close("}")?;
            return Ok(PatternNode::Repeat { body, once });
        }
        self.word()
    }

    fn word(&mut self) -> Result<PatternNode, PatternError> {
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
            return Ok(PatternNode::Group(name, Box::new(parse_pattern(text)?)));
        }
        if !word.starts_with(|c: char| c.is_ascii_uppercase()) {
            return Ok(PatternNode::Word(word));
        }
        let (word, defines) = match word.strip_suffix('!') {
            Some(word) => (word, true),
            None => (word, false),
        };
        let (name, label) = word.split_once(':').unwrap_or((word, ""));
        let hole = PlaceholderKind::parse(name).ok_or_else(|| self.error("no such hole"))?;
        let label = if label.is_empty() { hole.label() } else { label };
        Ok(PatternNode::Slot(Placeholder { hole, label, defines }))
    }
}
