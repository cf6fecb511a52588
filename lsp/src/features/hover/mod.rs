//! What the thing under the cursor is.

mod course;
mod date;
mod limit;
mod quantity;
mod stock;
mod tooth;
mod word;

use springline_lang::finding::Span;
use springline_lang::syntax::{Hole, ItemAt, ItemKind, item_at};

use crate::facts::Facts;

/// An answer in Markdown, and the words it is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hover {
    pub span: Span,
    pub markdown: String,
}

/// The answer at an offset; `None` where there is nothing to say.
pub fn hover(facts: Facts<'_>, offset: usize) -> Option<Hover> {
    let at = item_at(facts.parse(), offset)?;
    let (span, markdown) = answer(facts, &at, offset)?;
    Some(Hover { span, markdown })
}

fn answer(facts: Facts<'_>, at: &ItemAt<'_>, offset: usize) -> Option<(Span, String)> {
    let span = at.item.span;
    if let Some(slot) = at.slot {
        match slot.hole {
            Hole::Tooth | Hole::Teeth => return tooth::hover(facts, at, offset),
            Hole::Name => {
                let typed = facts.parse().text(span);
                return name(facts, slot.label, typed, offset).map(|text| (span, text));
            }
            Hole::Rule => return word::rule(facts.parse().text(span)).map(|text| (span, text)),
            _ => {}
        }
    }
    match at.item.kind {
        ItemKind::Word(_) => word::hover(facts, at, offset).map(|text| (span, text)),
        ItemKind::Measure(_) if at.slot.is_none() && at.item.measure()?.unit().is_none() => {
            tooth::hover(facts, at, offset)
        }
        ItemKind::Measure(measure) => Some((span, quantity::hover(facts, at, &measure)?)),
        ItemKind::Teeth(_) => tooth::hover(facts, at, offset),
        ItemKind::Date(day) => date::hover(facts, day.date?).map(|text| (span, text)),
        ItemKind::Dates(first, last) => {
            let text = date::range(facts, first.date?, last.date?)?;
            Some((span, text))
        }
        _ => None,
    }
}

pub use word::{rule, statement};

/// A name by its namespace; steps are those around the offset.
pub fn name(facts: Facts<'_>, label: &str, name: &str, offset: usize) -> Option<String> {
    match label {
        "step" => course::step(facts, name, offset),
        _ => stock::hover(facts, label, name),
    }
}
