//! Formatter, first step: a statement as a sequence of words and values, each in canonical notation.

use super::super::item::{Amount, DateMark, Item, ItemKind, ItemShape, Measure, ToothSpan};
use super::super::pattern::{Placeholder, PlaceholderKind};
use super::super::program::MatchEventKind;
use super::super::tree::{FragmentMatch, Parse, StatementRef};
use super::super::vocabulary::direction_word;
use super::FormatOptions;
use springline_text::Span;
use springline_units::tooth::{Notation, Tooth};

/// A word or a value; lines are broken only after a comma.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Atom {
    pub text: String,
    /// A comma follows it.
    pub comma: bool,
    /// Its span in the source; `None` for a word that was left out.
    pub at: Option<u32>,
}

struct AtomWriter<'a> {
    parse: &'a Parse,
    options: &'a FormatOptions,
    teeth: Vec<Tooth>,
    out: Vec<Atom>,
    comma: bool,
}

/// The atoms of a statement that matches its pattern, or of a part of one.
pub fn atoms(group: FragmentMatch<'_>, options: &FormatOptions) -> Vec<Atom> {
    let line = group.line;
    let parse = line.parse;
    let teeth = named_teeth(line);
    let mut writer = AtomWriter { parse, options, teeth, out: Vec::new(), comma: false };
    let items = line.items();
    for event in group.events() {
        let covered = items.get(event.first as usize..event.end as usize).unwrap_or_default();
        match event.kind {
            MatchEventKind::Word(word) => {
                let word = direction_word(word, &writer.teeth);
                writer.push(word.to_owned(), covered.first().map(|i| i.span.start));
            }
            MatchEventKind::Slot(slot) => writer.slot(slot, covered),
            MatchEventKind::Comma => writer.comma = true,
            MatchEventKind::Open(_) | MatchEventKind::Close | MatchEventKind::Detail(_) => {}
        }
    }
    writer.out
}

/// The teeth a statement is about, ranges in full; those that do not exist are left out.
pub fn named_teeth(line: StatementRef<'_>) -> Vec<Tooth> {
    let tooth = |span: Span| Tooth::parse(line.parse.text(span));
    let mut teeth = Vec::new();
    let holes = line.group().field_values();
    for span in holes
        .filter(|c| matches!(c.slot.hole, PlaceholderKind::Teeth | PlaceholderKind::Tooth))
        .flat_map(|c| c.teeth())
    {
        match (tooth(span.first), span.last.map(tooth)) {
            (Some(first), Some(Some(last))) => {
                teeth.extend(first.stretch(last).unwrap_or_else(|| vec![first, last]));
            }
            (Some(first), None) => teeth.push(first),
            _ => {}
        }
    }
    teeth
}

impl AtomWriter<'_> {
    fn push(&mut self, text: String, at: Option<u32>) {
        if std::mem::take(&mut self.comma)
            && let Some(last) = self.out.last_mut()
        {
            last.comma = true;
        }
        self.out.push(Atom { text, comma: false, at });
    }

    fn slot(&mut self, slot: Placeholder, items: &[Item]) {
        for item in items {
            if item.is_comma() {
                self.comma = true;
                continue;
            }
            let text = match (slot.hole, item.teeth()) {
                (PlaceholderKind::Teeth | PlaceholderKind::Tooth, Some(teeth)) => self.teeth(teeth),
                _ => self.value(slot.hole, item),
            };
            self.push(text, Some(item.span.start));
        }
    }

    fn text(&self, span: Span) -> &str {
        self.parse.text(span)
    }

    fn value(&self, hole: PlaceholderKind, item: &Item) -> String {
        match &item.kind {
            ItemKind::Measure(measure) => self.measure(measure),
            ItemKind::Text(inner) => self.quoted(*inner, item.span),
            ItemKind::Date(day) => self.date(*day),
            ItemKind::Dates(first, last) => format!("{}..{}", self.date(*first), self.date(*last)),
            ItemKind::Word(Some(word))
                if matches!(hole, PlaceholderKind::Day | PlaceholderKind::Teeth) =>
            {
                (*word).to_owned()
            }
            _ => self.text(item.span).to_owned(),
        }
    }

    fn quoted(&self, inner: Span, whole: Span) -> String {
        let text = self.text(inner);
        if text.contains('"') { self.text(whole).to_owned() } else { format!("\"{text}\"") }
    }

    fn date(&self, mark: DateMark) -> String {
        mark.date.map_or_else(|| self.text(mark.span).to_owned(), |d| d.to_string())
    }

    fn number(&self, amount: &Amount) -> String {
        let text = self.text(amount.span);
        if text.starts_with('.') { format!("0{text}") } else { text.to_owned() }
    }

    /// The unit is written once, at the end, unless the two differ.
    fn measure(&self, measure: &Measure) -> String {
        let first = self.number(&measure.first);
        let unit = measure.unit().map(|u| u.unit);
        let tail = unit.map_or(String::new(), |u| format!(" {u}"));
        let Some(second) = &measure.second else { return format!("{first}{tail}") };
        let own = measure.first.unit.map(|u| u.unit).filter(|own| Some(*own) != unit);
        let own = own.map_or(String::new(), |u| format!(" {u}"));
        let join = if measure.shape == ItemShape::Dims { " x " } else { ".." };
        format!("{first}{own}{join}{}{tail}", self.number(second))
    }

    fn teeth(&self, teeth: ToothSpan) -> String {
        match teeth.last {
            Some(last) => format!("{}..{}", self.tooth(teeth.first), self.tooth(last)),
            None => self.tooth(teeth.first),
        }
    }

    /// In the practice's notation. A bare number in a practice with another notation is not rewritten,
    /// because its meaning is ambiguous.
    fn tooth(&self, span: Span) -> String {
        let text = self.text(span);
        let bare = text.bytes().all(|b| b.is_ascii_digit());
        match (self.options.notation, Tooth::parse(text)) {
            (Some(Notation::Iso), Some(tooth)) => tooth.write(Notation::Iso),
            (Some(notation), Some(tooth)) if !bare => tooth.write(notation),
            (_, Some(_)) if !bare => text.to_ascii_uppercase(),
            _ => text.to_owned(),
        }
    }
}
