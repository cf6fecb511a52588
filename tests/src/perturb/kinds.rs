//! All kinds of perturbation, enumerated from the vocabulary.

use std::collections::BTreeSet;

use springline_lang::syntax::Context;
use springline_lang::syntax::pattern::{PatternNode, Placeholder};
use springline_lang::syntax::patterns::{Pattern, patterns};
use springline_lang::syntax::vocabulary::{Production, SupportLevel};

use super::change::Change;

/// What is changed, and how.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Kind {
    /// The context and the first word of the statement: `step bypass`.
    pub statement: String,
    /// `statement` for the whole of it; a value by the word before it and its label (`until gap length`); an
    /// optional part by its first word; a choice by its words.
    pub part: String,
    pub change: Change,
}

/// The part of a kind that changes a whole statement.
pub const WHOLE: &str = "statement";

/// Blocks of a case. The opening lines of a file and the practice file are not treatment.
const CONTEXTS: [Context; 9] = [
    Context::Case,
    Context::InPlace,
    Context::Bite,
    Context::Goal,
    Context::Elastics,
    Context::Retain,
    Context::Arch,
    Context::Step,
    Context::Seen,
];

/// How a context is called in a kind. The braces of a recorded arch hold what a step's do.
pub fn context_word(context: Context) -> Option<&'static str> {
    Some(match context {
        Context::Case => "case",
        Context::InPlace => "in-place",
        Context::Bite => "bite",
        Context::Goal => "goal",
        Context::Elastics => "elastics",
        Context::Retain => "retain",
        Context::Arch => "arch",
        Context::Step => "step",
        Context::Seen => "seen",
        Context::SeenArch => "seen-arch",
        _ => return None,
    })
}

/// How a statement is called in a kind.
pub fn statement_word(context: Context, row: &'static Production) -> Option<String> {
    let pattern = patterns().all.iter().find(|p| std::ptr::eq(p.row, row))?;
    Some(format!("{} {}", context_word(context)?, pattern.keywords.join("/")))
}

/// Every kind of the vocabulary, in order.
pub fn all() -> BTreeSet<Kind> {
    let mut out = BTreeSet::new();
    for pattern in &patterns().all {
        if pattern.row.stage == SupportLevel::Later {
            continue;
        }
        for context in pattern.row.inside.iter().filter(|c| CONTEXTS.contains(c)) {
            of_statement(*context, pattern, &mut out);
        }
    }
    out
}

fn of_statement(context: Context, pattern: &Pattern, out: &mut BTreeSet<Kind>) {
    let Some(statement) = statement_word(context, pattern.row) else { return };
    let mut add = |part: String, change| {
        out.insert(Kind { statement: statement.clone(), part, change });
    };
    for change in Change::of_statement(context) {
        add(WHOLE.to_owned(), *change);
    }
    let shape = Shape::of(pattern);
    for (before, slot) in &shape.slots {
        for change in Change::of_value(slot.hole) {
            add(value_part(before.as_deref(), slot), *change);
        }
    }
    for word in &shape.optional {
        add((*word).to_owned(), Change::LeftOut);
    }
    for words in &shape.choices {
        add(words.join(" or "), Change::OtherWord);
    }
}

/// How a value is called in a kind.
pub fn value_part(before: Option<&str>, slot: &Placeholder) -> String {
    match before {
        Some(word) if word != slot.label => format!("{word} {}", slot.label),
        _ => slot.label.to_owned(),
    }
}

/// What a pattern has that can be changed.
#[derive(Debug, Default)]
pub struct Shape {
    /// Each value, with the word before it.
    pub slots: Vec<(Option<String>, Placeholder)>,
    /// The first words of what may be left out.
    pub optional: BTreeSet<&'static str>,
    /// Words of which one is said, where each may stand in the others' place.
    pub choices: BTreeSet<Vec<&'static str>>,
}

type Before = BTreeSet<Option<&'static str>>;

impl Shape {
    pub fn of(pattern: &Pattern) -> Shape {
        let mut shape = Shape::default();
        shape.walk(&pattern.node, Before::from([None]));
        shape
    }

    /// Adds what a node has; `before` are the words that may stand before it, returned are those after it.
    fn walk(&mut self, node: &PatternNode, before: Before) -> Before {
        match node {
            PatternNode::Word("of") | PatternNode::Comma => before,
            PatternNode::Word(word) => Before::from([Some(*word)]),
            PatternNode::Slot(slot) => {
                for word in &before {
                    let entry = (word.map(str::to_owned), *slot);
                    if !self.slots.contains(&entry) {
                        self.slots.push(entry);
                    }
                }
                before
            }
            PatternNode::Sequence(parts) => parts.iter().fold(before, |b, part| self.walk(part, b)),
            PatternNode::Choice(parts) => {
                self.choice(parts);
                parts.iter().flat_map(|part| self.walk(part, before.clone())).collect()
            }
            PatternNode::Optional(body) => {
                self.optional.extend(lead(body));
                let after = self.walk(body, before.clone());
                before.into_iter().chain(after).collect()
            }
            PatternNode::Repeat { body, .. } => {
                self.optional.extend(lead(body));
                let after = self.walk(body, before.clone());
                before.into_iter().chain(after).collect()
            }
            PatternNode::Group(_, body) => self.walk(body, before),
        }
    }

    /// Alternatives that differ in their first word alone.
    fn choice(&mut self, parts: &[PatternNode]) {
        let mut by_tail: Vec<(String, Vec<&'static str>)> = Vec::new();
        for part in parts {
            let (Some(word), tail) = split(part) else { continue };
            match by_tail.iter_mut().find(|(t, _)| *t == tail) {
                Some((_, words)) => words.push(word),
                None => by_tail.push((tail, vec![word])),
            }
        }
        self.choices.extend(by_tail.into_iter().map(|(_, words)| words).filter(|w| w.len() > 1));
    }
}

/// The first word of an alternative, and what follows it.
fn split(node: &PatternNode) -> (Option<&'static str>, String) {
    match node {
        PatternNode::Word(word) => (Some(word), String::new()),
        PatternNode::Sequence(parts) => match parts.split_first() {
            Some((PatternNode::Word(word), rest)) => (Some(word), format!("{rest:?}")),
            _ => (None, String::new()),
        },
        _ => (None, String::new()),
    }
}

/// The words that a part can begin with.
fn lead(node: &PatternNode) -> Vec<&'static str> {
    match node {
        PatternNode::Word(word) => vec![word],
        PatternNode::Sequence(parts) => {
            let first = parts.iter().find(|p| !matches!(p, PatternNode::Comma));
            first.map(lead).unwrap_or_default()
        }
        PatternNode::Choice(parts) => parts.iter().flat_map(lead).collect(),
        PatternNode::Group(_, body) | PatternNode::Optional(body) => lead(body),
        PatternNode::Repeat { body, .. } => lead(body),
        PatternNode::Slot(_) | PatternNode::Comma => Vec::new(),
    }
}
