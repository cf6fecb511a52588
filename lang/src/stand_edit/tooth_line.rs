//! The lines that say where teeth stand, with the teeth and the parts each of them names.

use super::StandRefusal;
use springline_lower::stand_axis;
use springline_model::stand::StandAxis;
use springline_syntax::ast::{ArchToothLine, SeenToothLine, TeethField};
use springline_syntax::{Parse, StatementRef, ToothSpan};
use springline_text::Span;
use springline_units::tooth::{Notation, Tooth};

/// One `tooth` line.
#[derive(Debug)]
pub struct ToothLine<'p> {
    pub line: StatementRef<'p>,
    field: TeethField<'p>,
    /// Every tooth it is of, ranges expanded, exclusions left out.
    pub teeth: Vec<Tooth>,
    /// Its parts in the order written.
    pub parts: Vec<(Span, StandAxis)>,
}

/// Those of a block, in order.
pub fn tooth_lines(
    block: StatementRef<'_>,
    notation: Notation,
) -> Result<Vec<ToothLine<'_>>, StandRefusal> {
    let found = block.children().filter_map(|line| {
        let (field, positions) = match (ArchToothLine::cast(line), SeenToothLine::cast(line)) {
            (Some(found), _) => (found.teeth, found.positions),
            (_, Some(found)) => (found.teeth, found.positions),
            _ => return None,
        };
        let parts = positions.spanned().map(|(span, part)| (span, stand_axis(part))).collect();
        let teeth = listed(line.parse, field, notation);
        Some(match teeth {
            Some(teeth) => Ok(ToothLine { line, field, teeth, parts }),
            None => Err(StandRefusal::Unreadable(Some(line.place()))),
        })
    });
    found.collect()
}

fn listed(parse: &Parse, field: TeethField<'_>, notation: Notation) -> Option<Vec<Tooth>> {
    let expanded = |spans: Vec<ToothSpan>| -> Option<Vec<Tooth>> {
        let each: Option<Vec<Vec<Tooth>>> =
            spans.into_iter().map(|s| stretch(parse, s, notation)).collect();
        Some(each?.concat())
    };
    let gone = expanded(field.excepted().collect())?;
    let mut teeth = expanded(field.teeth().collect())?;
    teeth.retain(|t| !gone.contains(t));
    Some(teeth)
}

/// A bare number is an ISO tooth only in a practice that writes them so.
fn tooth_of(text: &str, notation: Notation) -> Option<Tooth> {
    let bare = text.chars().all(|c| c.is_ascii_digit());
    Tooth::parse(text).filter(|_| !bare || notation == Notation::Iso)
}

/// The teeth from one end to the other in the order typed.
fn stretch(parse: &Parse, span: ToothSpan, notation: Notation) -> Option<Vec<Tooth>> {
    let first = tooth_of(parse.text(span.first), notation)?;
    let Some(last) = span.last else { return Some(vec![first]) };
    let last = tooth_of(parse.text(last), notation)?;
    let mut teeth = first.stretch(last)?;
    if last.place() < first.place() {
        teeth.reverse();
    }
    Some(teeth)
}

impl ToothLine<'_> {
    /// Its teeth as typed, each with what is left of it without one tooth; a range is split in two.
    pub fn without(&self, tooth: Tooth, notation: Notation) -> (Vec<Span>, Vec<Vec<String>>) {
        let parse = self.line.parse;
        let typed: Vec<ToothSpan> = self.field.teeth().collect();
        let left = typed.iter().map(|span| {
            let whole = || vec![parse.text(span.span()).to_owned()];
            let Some(teeth) = stretch(parse, *span, notation) else { return whole() };
            let Some(at) = teeth.iter().position(|t| *t == tooth) else { return whole() };
            let write = |t: Tooth| typed_end(parse, *span, t).unwrap_or_else(|| t.write(notation));
            let parts = [&teeth[..at], &teeth[at + 1..]];
            parts.iter().flat_map(|part| run(part, write)).collect()
        });
        (typed.iter().map(|s| s.span()).collect(), left.collect())
    }
}

/// An end of a range as it was typed.
fn typed_end(parse: &Parse, span: ToothSpan, tooth: Tooth) -> Option<String> {
    let ends = [Some(span.first), span.last];
    let typed = ends.into_iter().flatten().map(|s| parse.text(s));
    typed.into_iter().find(|text| Tooth::parse(text) == Some(tooth)).map(str::to_owned)
}

/// Teeth beside each other: one or two by themselves, more as a range.
fn run(teeth: &[Tooth], write: impl Fn(Tooth) -> String) -> Vec<String> {
    match teeth {
        [first, _, .., last] => vec![format!("{}..{}", write(*first), write(*last))],
        few => few.iter().map(|t| write(*t)).collect(),
    }
}
