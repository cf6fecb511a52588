//! Findings about a minus sign. Amounts in the language are never negative; a word gives the direction.
//! The fix replaces the sign with that word. Where sign and word contradict each other, or no convention
//! tells what the sign means, both directions are offered or none: no fix may drop the sign and keep the
//! wrong direction.

use super::super::context::Context;
use super::super::item::Item;
use super::super::statement_parser::StatementParser;
use super::trial;
use springline_finding::{Finding, FixKind};
use springline_text::Span;
use springline_units::quantity::Dimension;

pub const NO_MINUS: &str = "There is no minus sign here: a word gives the direction.";

/// Measures of the bite whose minus has a name of its own.
const BITE: &[(&str, &str, &str)] = &[
    ("overbite", "open-bite", "A negative overbite is an open bite."),
    ("open-bite", "overbite", "A negative open bite is an overbite."),
    (
        "overjet",
        "reverse-overjet",
        "A negative overjet is a reverse overjet: the lower incisors bite in front.",
    ),
    ("reverse-overjet", "overjet", "A negative reverse overjet is an overjet."),
];

/// Direction words and their opposites.
const OPPOSITES: &[(&str, &str)] = &[
    ("labial", "lingual"),
    ("gingival", "occlusal"),
    ("mesial", "distal"),
    ("mesial-in", "mesial-out"),
    ("crown-labial", "crown-lingual"),
    ("root-labial", "root-lingual"),
    ("patient-right", "patient-left"),
];

pub fn opposite(word: &str) -> Option<&'static str> {
    OPPOSITES.iter().find_map(|(a, b)| match word {
        w if w == *a => Some(*b),
        w if w == *b => Some(*a),
        _ => None,
    })
}

/// The language's notation for a negative figure.
pub fn minus(
    reader: &mut StatementParser<'_>,
    items: &[Item],
    at: usize,
    context: Option<Context>,
) -> Finding {
    let item = &items[at];
    let place = reader.out.place(item.span);
    let finding = Finding::error("syntax/minus", place, NO_MINUS);
    let Some(context) = context else { return finding };
    let typed = reader.out.text(item.span);
    let amount = typed.trim_start_matches(|c: char| !c.is_ascii_digit() && c != '.').to_owned();
    let sign = Sign { items, at, context, amount };
    let dimension = item.measure().and_then(|m| m.unit()).map(|mark| mark.unit.dimension());
    let directed = matches!(dimension, Some(Dimension::Length | Dimension::Angle));
    if directed {
        for answer in [bite, halt, written_way, table] {
            if let Some(found) = answer(reader, &sign, finding.clone()) {
                return found;
            }
        }
    } else if dimension.is_some_and(|d| d != Dimension::Temperature) {
        // A force or a time has no opposite direction.
        let title = format!("write `{}`", sign.amount);
        return finding.clinical_fix(title, place, sign.amount);
    }
    finding.note("No fix is offered: only the doctor knows what the sign means.")
}

struct Sign<'a> {
    items: &'a [Item],
    at: usize,
    context: Context,
    /// The figure without its sign, as typed.
    amount: String,
}

impl Sign<'_> {
    fn span(&self) -> Span {
        self.items[self.at].span
    }

    fn word(&self, index: Option<usize>) -> Option<&'static str> {
        self.items.get(index?)?.keyword()
    }

    fn before(&self) -> Option<&'static str> {
        self.word(self.at.checked_sub(1))
    }

    /// The detail that the figure belongs to; teeth may come between.
    fn detail(&self) -> Option<&'static str> {
        let earlier = self.items[..self.at].iter().rev();
        earlier
            .take_while(|i| i.is_word() || i.is_comma() || i.teeth().is_some())
            .find_map(Item::keyword)
    }

    fn offer(
        &self,
        reader: &mut StatementParser<'_>,
        finding: Finding,
        title: String,
        edits: Vec<(Span, String)>,
    ) -> Finding {
        let fix = (FixKind::Clinical, title, edits);
        trial::offer_edits(reader, finding, self.items, self.context, fix)
    }
}

/// `overbite -2 mm` is an open bite of 2 mm.
fn bite(
    reader: &mut StatementParser<'_>,
    sign: &Sign<'_>,
    mut finding: Finding,
) -> Option<Finding> {
    let before = sign.before()?;
    let (_, other, why) = BITE.iter().find(|(word, ..)| *word == before)?;
    finding = finding.why(*why);
    let written = format!("{other} {}", sign.amount);
    let whole = sign.items[sign.at - 1].span.to(sign.span());
    let title = format!("write `{written}`");
    Some(sign.offer(reader, finding, title, vec![(whole, written)]))
}

/// `halt-if overjet under -1 mm` is a reverse overjet of more than 1 mm.
fn halt(reader: &mut StatementParser<'_>, sign: &Sign<'_>, finding: Finding) -> Option<Finding> {
    let way = sign.before().filter(|w| matches!(*w, "under" | "over"))?;
    let measure = sign.word(sign.at.checked_sub(2))?;
    let (_, other, why) = BITE.iter().find(|(word, ..)| *word == measure)?;
    let turned = if way == "under" { "over" } else { "under" };
    let written = format!("{other} {turned} {}", sign.amount);
    let whole = sign.items[sign.at - 2].span.to(sign.span());
    let title = format!("write `{written}`");
    Some(sign.offer(reader, finding.why(*why), title, vec![(whole, written)]))
}

/// A direction is given as well: the sign either reverses it or is redundant. Both are offered.
fn written_way(
    reader: &mut StatementParser<'_>,
    sign: &Sign<'_>,
    mut finding: Finding,
) -> Option<Finding> {
    let near = [sign.at.checked_sub(1), Some(sign.at + 1), Some(sign.at + 2)];
    let (index, word, other) = near.into_iter().flatten().find_map(|i| {
        let word = sign.word(Some(i))?;
        // After `to` only the side of a midline belongs to the figure.
        let beyond = i == sign.at + 2 && sign.word(Some(sign.at + 1)) != Some("to");
        if beyond { None } else { Some((i, word, opposite(word)?)) }
    })?;
    for way in [other, word] {
        let mut edits =
            vec![(sign.span(), sign.amount.clone()), (sign.items[index].span, way.to_owned())];
        edits.sort_by_key(|(span, _)| span.start);
        let title = match index < sign.at {
            true => format!("write `{way} {}`", sign.amount),
            false => format!("write `{} {way}`", sign.amount),
        };
        finding = sign.offer(reader, finding, title, edits);
    }
    Some(finding)
}

/// A figure in the notation of prescription tables, without a direction word. Negative torque means
/// crown-lingual, negative tip means distal.
fn table(
    reader: &mut StatementParser<'_>,
    sign: &Sign<'_>,
    mut finding: Finding,
) -> Option<Finding> {
    let (why, ways): (&str, &[&str]) = match sign.detail()? {
        "torque" => (
            "In prescription tables a minus sign before torque means lingual crown torque; a figure without a \
             sign means labial crown torque.",
            &["crown-lingual"],
        ),
        "tipped" | "tip" if sign.context == Context::Fit => (
            "In prescription tables a minus sign before tip means distal; a figure without a sign means mesial.",
            &["distal"],
        ),
        "tipped" => {
            ("A minus sign for the tip of a tooth has no agreed meaning.", &["distal", "mesial"])
        }
        "rotated" => {
            ("A minus sign for a rotation has no agreed meaning.", &["mesial-in", "mesial-out"])
        }
        _ => return None,
    };
    finding = finding.why(why);
    for way in ways {
        let written = format!("{} {way}", sign.amount);
        let title = format!("write `{written}`");
        finding = sign.offer(reader, finding, title, vec![(sign.span(), written)]);
    }
    Some(finding)
}
