//! The compiled vocabulary: every pattern ready to match, indexed by context and keyword.

use std::collections::HashMap;
use std::sync::LazyLock;

use super::context::Context;
use super::pattern::{DAYS, EXCEPT, Instruction, PatternNode, PlaceholderKind, parse_pattern};
use super::program;
use super::vocabulary::{ALIASES, Production, ROWS};

/// A row of the vocabulary, ready to match.
#[derive(Debug)]
pub struct Pattern {
    pub row: &'static Production,
    pub node: PatternNode,
    pub(super) program: Vec<Instruction>,
    /// The words it can begin with.
    pub keywords: Vec<&'static str>,
}

impl Pattern {
    /// Whether a word can occur in it.
    pub fn may_say(&self, word: &str) -> bool {
        let mut words = HashMap::new();
        collect_words(&self.node, &mut words);
        words.contains_key(word) || (word == EXCEPT && self.program.iter().any(takes_teeth))
    }
}

fn takes_teeth(step: &Instruction) -> bool {
    matches!(step, Instruction::Slot(slot) if slot.hole == PlaceholderKind::Teeth)
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

/// The compiled vocabulary, built once.
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
            // An invalid pattern is a mistake in the table; a test finds it.
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
            let mut program = program::compile(&node);
            for alias in ALIASES.iter().filter(|a| a.only_in.is_some_and(|w| keywords.contains(&w)))
            {
                let reads = |step: &&mut Instruction| **step == Instruction::Word(alias.written);
                program.iter_mut().filter(reads).for_each(|step| {
                    *step = Instruction::Aliased(alias.written, alias.read);
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

    /// The keyword of a word, in canonical form; case is ignored.
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

/// The words a pattern can begin with.
fn leading_words(node: &PatternNode, out: &mut Vec<&'static str>) {
    match node {
        PatternNode::Word(word) => out.push(word),
        PatternNode::Sequence(parts) => {
            if let Some(first) = parts.first() {
                leading_words(first, out);
            }
        }
        PatternNode::Choice(choices) => choices.iter().for_each(|c| leading_words(c, out)),
        PatternNode::Group(_, body)
        | PatternNode::Optional(body)
        | PatternNode::Repeat { body, .. } => {
            leading_words(body, out);
        }
        PatternNode::Slot(_) | PatternNode::Comma => {}
    }
}

fn collect_words(node: &PatternNode, out: &mut HashMap<&'static str, &'static str>) {
    match node {
        PatternNode::Word(word) => {
            out.insert(word, word);
        }
        PatternNode::Sequence(parts) | PatternNode::Choice(parts) => {
            parts.iter().for_each(|p| collect_words(p, out));
        }
        PatternNode::Group(_, body)
        | PatternNode::Optional(body)
        | PatternNode::Repeat { body, .. } => {
            collect_words(body, out);
        }
        PatternNode::Slot(_) | PatternNode::Comma => {}
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
