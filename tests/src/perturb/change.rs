//! Ways to change a statement or a value.

use std::fmt;
use std::str::FromStr;

use springline_lang::syntax::{Context, PlaceholderKind};

/// One way to change something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Change {
    LeftOut,
    SaidTwice,
    EarlierStep,
    LaterStep,
    OtherSide,
    Neighbour,
    OtherJaw,
    Doubled,
    Halved,
    /// By 60 days.
    Earlier,
    /// By 60 days.
    Later,
    AnotherName,
    OtherWord,
}

const WORDS: [(Change, &str); 13] = [
    (Change::LeftOut, "left out"),
    (Change::SaidTwice, "said twice"),
    (Change::EarlierStep, "in the step before"),
    (Change::LaterStep, "in the step after"),
    (Change::OtherSide, "other side"),
    (Change::Neighbour, "neighbour"),
    (Change::OtherJaw, "other jaw"),
    (Change::Doubled, "doubled"),
    (Change::Halved, "halved"),
    (Change::Earlier, "earlier"),
    (Change::Later, "later"),
    (Change::AnotherName, "another"),
    (Change::OtherWord, "other word"),
];

impl Change {
    /// What can be done to a whole statement.
    pub fn of_statement(context: Context) -> &'static [Change] {
        match context {
            Context::Step => {
                &[Change::LeftOut, Change::SaidTwice, Change::EarlierStep, Change::LaterStep]
            }
            _ => &[Change::LeftOut, Change::SaidTwice],
        }
    }

    /// What can be done to a value.
    pub fn of_value(kind: PlaceholderKind) -> &'static [Change] {
        match kind {
            PlaceholderKind::Tooth | PlaceholderKind::Teeth => {
                &[Change::OtherSide, Change::Neighbour, Change::OtherJaw]
            }
            PlaceholderKind::Name => &[Change::AnotherName],
            PlaceholderKind::Date | PlaceholderKind::Dates => &[Change::Earlier, Change::Later],
            PlaceholderKind::Text | PlaceholderKind::Rule | PlaceholderKind::Day => &[],
            PlaceholderKind::Count
            | PlaceholderKind::Length
            | PlaceholderKind::Force
            | PlaceholderKind::Stress
            | PlaceholderKind::Stresses
            | PlaceholderKind::Angle
            | PlaceholderKind::Time
            | PlaceholderKind::Times
            | PlaceholderKind::Dims
            | PlaceholderKind::Ratio
            | PlaceholderKind::Percent
            | PlaceholderKind::Temperature
            | PlaceholderKind::Any => &[Change::Doubled, Change::Halved],
        }
    }
}

impl fmt::Display for Change {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = WORDS.iter().find(|(change, _)| change == self).map_or("", |(_, word)| word);
        f.write_str(word)
    }
}

impl FromStr for Change {
    type Err = String;

    fn from_str(text: &str) -> Result<Change, String> {
        let found = WORDS.iter().find(|(_, word)| *word == text);
        found.map(|(change, _)| *change).ok_or_else(|| format!("no such change: {text}"))
    }
}
