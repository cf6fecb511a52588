//! Access to the matches of a pattern by the words and labels of the vocabulary. Only generated code uses
//! it, so that a misspelt word anywhere else does not compile.

use std::marker::PhantomData;

use super::super::program::{MatchEvent, MatchEventKind};
use super::super::tree::{FieldValue, FragmentMatch, StatementRef, closing};
use super::field::kind::FieldKind;
use super::{Field, StatementKind};
use springline_text::Span;

/// What a pattern found in a statement, in a fragment, or from the alternative of a choice on.
#[derive(Debug, Clone, Copy)]
pub struct MatchScope<'a> {
    statement: StatementRef<'a>,
    events: &'a [MatchEvent],
}

/// What an alternative begins with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lead {
    Word(&'static str),
    /// A value, by its label.
    Field(&'static str),
    Fragment(&'static str),
}

/// One of several words.
pub(super) trait ReadWord: Sized {
    fn from_word(word: &str) -> Option<Self>;
}

/// A shape that several statements share.
pub trait ReadFragment<'a>: Sized {
    const NAME: &'static str;
    fn read(found: MatchScope<'a>) -> Option<Self>;
}

/// One of several alternatives that are more than words; read from where it begins.
pub trait ReadChoice<'a>: Sized {
    fn read(found: MatchScope<'a>) -> Option<Self>;
}

impl<'a> MatchScope<'a> {
    /// In a statement that was read as one of this kind.
    pub(super) fn in_statement(statement: StatementRef<'a>, kind: StatementKind) -> Option<Self> {
        let is_that = statement.is_read() && statement.is(kind);
        is_that.then(|| MatchScope { statement, events: statement.group().events() })
    }

    /// The whole fragment, for its place and for writing it again.
    pub(super) fn group(self, name: &'static str) -> FragmentMatch<'a> {
        FragmentMatch::new(self.statement, name, self.events)
    }

    /// The indices of what was found here itself; of a fragment in it that of its opening alone.
    fn own(self) -> impl Iterator<Item = usize> + use<'a> {
        let events = self.events;
        let after = move |at: usize| match events.get(at)?.kind {
            MatchEventKind::Open(_) => Some(closing(events, at) + 1),
            _ => Some(at + 1),
        };
        std::iter::successors(Some(0), move |at| after(*at))
            .take_while(move |at| *at < events.len())
    }

    fn from(self, at: usize) -> Self {
        MatchScope { events: self.events.get(at..).unwrap_or_default(), ..self }
    }

    /// What it begins with.
    pub(super) fn lead(self) -> Option<Lead> {
        Some(match self.events.first()?.kind {
            MatchEventKind::Word(word) => Lead::Word(word),
            MatchEventKind::Slot(slot) => Lead::Field(slot.label),
            MatchEventKind::Open(name) => Lead::Fragment(name),
            MatchEventKind::Comma | MatchEventKind::Close | MatchEventKind::Detail(_) => {
                return None;
            }
        })
    }

    fn words(self) -> impl Iterator<Item = &'static str> {
        self.own().filter_map(move |at| match self.events[at].kind {
            MatchEventKind::Word(word) => Some(word),
            _ => None,
        })
    }

    fn labelled(self, label: &'static str) -> impl Iterator<Item = FieldValue<'a>> {
        self.own()
            .filter_map(move |at| FieldValue::of(self.statement, &self.events[at]))
            .filter(move |value| value.slot.label == label)
    }

    /// What is found in the fragments of that name.
    fn inside(self, name: &'static str) -> impl Iterator<Item = MatchScope<'a>> {
        self.own().filter_map(move |at| match self.events[at].kind {
            MatchEventKind::Open(open) if open == name => {
                let events = self.events.get(at + 1..closing(self.events, at))?;
                Some(MatchScope { events, ..self })
            }
            _ => None,
        })
    }

    /// Whether this word occurs.
    pub(super) fn says(self, word: &str) -> bool {
        self.words().any(|said| said == word)
    }

    /// Which of several words occurs.
    pub(super) fn word<T: ReadWord>(self) -> Option<T> {
        self.words().find_map(T::from_word)
    }

    pub(super) fn field<K: FieldKind>(self, label: &'static str) -> Option<Field<'a, K>> {
        self.labelled(label).find_map(Field::cast)
    }

    /// The second value of a label, which its pattern has only after the first.
    pub(super) fn second_field<K: FieldKind>(self, label: &'static str) -> Option<Field<'a, K>> {
        self.labelled(label).filter_map(Field::cast).nth(1)
    }

    pub(super) fn fields<K: FieldKind>(self, label: &'static str) -> FieldList<'a, K> {
        FieldList { found: self, label, kind: PhantomData }
    }

    pub(super) fn part<T: ReadFragment<'a>>(self) -> Option<T> {
        self.inside(T::NAME).find_map(T::read)
    }

    pub(super) fn parts<T: ReadFragment<'a>>(self) -> PartList<'a, T> {
        PartList { found: self, kind: PhantomData }
    }

    /// What is found in the one fragment of that name; nothing where it is left out.
    pub(super) fn list(self, name: &'static str) -> Self {
        self.inside(name).next().unwrap_or(MatchScope { events: &[], ..self })
    }

    pub(super) fn choice<T: ReadChoice<'a>>(self) -> Option<T> {
        self.own().find_map(|at| T::read(self.from(at)))
    }

    pub(super) fn choices<T: ReadChoice<'a>>(self) -> ChoiceList<'a, T> {
        ChoiceList { found: self, kind: PhantomData }
    }
}

/// The values of a label that may be written several times, in order.
#[derive(Debug, Clone, Copy)]
pub struct FieldList<'a, K> {
    found: MatchScope<'a>,
    label: &'static str,
    kind: PhantomData<K>,
}

/// The fragments of a kind that may be written several times, in order.
#[derive(Debug, Clone, Copy)]
pub struct PartList<'a, T> {
    found: MatchScope<'a>,
    kind: PhantomData<T>,
}

/// The alternatives of a choice that may be made several times, in order.
#[derive(Debug, Clone, Copy)]
pub struct ChoiceList<'a, T> {
    found: MatchScope<'a>,
    kind: PhantomData<T>,
}

impl<'a, K: FieldKind> FieldList<'a, K> {
    pub fn iter(self) -> impl Iterator<Item = Field<'a, K>> {
        self.found.labelled(self.label).filter_map(Field::cast)
    }
}

impl<'a, T: ReadFragment<'a>> PartList<'a, T> {
    pub fn iter(self) -> impl Iterator<Item = T> {
        self.found.inside(T::NAME).filter_map(T::read)
    }

    /// Each with the text it covers.
    pub fn spanned(self) -> impl Iterator<Item = (Span, T)> {
        let inside = self.found.inside(T::NAME);
        inside.filter_map(|found| Some((found.group(T::NAME).span(), T::read(found)?)))
    }
}

impl<'a, T: ReadChoice<'a>> ChoiceList<'a, T> {
    pub fn iter(self) -> impl Iterator<Item = T> {
        self.found.own().filter_map(move |at| T::read(self.found.from(at)))
    }

    /// Each with the word or the value that it begins with.
    pub fn with_leads(self) -> impl Iterator<Item = (Span, T)> {
        let found = self.found;
        found.own().filter_map(move |at| {
            let event = found.events.get(at..=at)?;
            let lead = FragmentMatch::new(found.statement, "", event).span();
            Some((lead, T::read(found.from(at))?))
        })
    }
}

impl<'a, K: FieldKind> IntoIterator for FieldList<'a, K> {
    type Item = Field<'a, K>;
    type IntoIter = std::vec::IntoIter<Self::Item>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter().collect::<Vec<_>>().into_iter()
    }
}

impl<'a, T: ReadFragment<'a>> IntoIterator for PartList<'a, T> {
    type Item = T;
    type IntoIter = std::vec::IntoIter<T>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter().collect::<Vec<_>>().into_iter()
    }
}

impl<'a, T: ReadChoice<'a>> IntoIterator for ChoiceList<'a, T> {
    type Item = T;
    type IntoIter = std::vec::IntoIter<T>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter().collect::<Vec<_>>().into_iter()
    }
}
