//! What could be written at a place: words that fit, teeth not yet used, names from the drawer, units,
//! findings to accept. Works on an empty line and in a file that is broken elsewhere.

mod accept;
mod names;
pub mod snippets;
mod teeth;
mod words;

use springline_lang::finding::Span;
use springline_lang::syntax::pattern::DAYS;
use springline_lang::syntax::{Expected, Hole, Slot, expected};

use crate::facts::Facts;

/// What an offer is, for the editor's icons.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfferKind {
    Keyword,
    Snippet,
    Tooth,
    Name,
    Unit,
    Date,
    Finding,
}

/// One thing that could be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    pub label: String,
    pub kind: OfferKind,
    pub detail: String,
    /// What is written, in place of `replace`.
    pub insert: String,
    /// `insert` has places to fill in, as snippets do.
    pub is_snippet: bool,
    pub replace: Span,
    /// Explained when the editor asks.
    pub about: About,
}

/// How an offer is explained: found again by this, so that a long list stays short to send.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum About {
    Nothing,
    /// A statement's keyword, by the row of the vocabulary.
    Row(usize),
    /// A word inside a statement.
    Word(&'static str),
    /// A name in a namespace.
    Name(&'static str, String),
    Finding(String),
}

/// Everything that could be written at an offset, likeliest first.
pub fn complete(facts: Facts<'_>, offset: usize) -> Vec<Offer> {
    let place = expected(facts.parse(), offset);
    let mut out = Vec::new();
    teeth::begun(facts, offset, &mut out);
    units(facts, &place, offset, &mut out);
    for slot in &place.slots {
        values(facts, &place, *slot, offset, &mut out);
    }
    if place.starts_statement {
        snippets::offers(facts, &place, &mut out);
    }
    words::offers(&place, &mut out);
    out
}

fn values(facts: Facts<'_>, place: &Expected, slot: Slot, offset: usize, out: &mut Vec<Offer>) {
    match slot.hole {
        Hole::Tooth | Hole::Teeth => teeth::offers(facts, place, offset, out),
        Hole::Name if !slot.defines => names::offers(facts, place, slot.label, offset, out),
        Hole::Rule => accept::offers(facts, place, offset, out),
        Hole::Day => out.extend(DAYS.into_iter().map(|day| Offer {
            label: day.to_owned(),
            kind: OfferKind::Date,
            detail: String::new(),
            insert: day.to_owned(),
            is_snippet: false,
            replace: place.replace,
            about: About::Nothing,
        })),
        Hole::Date | Hole::Dates => dates(facts, place, out),
        _ => {}
    }
}

/// Today, and the day of the visit that is due.
fn dates(facts: Facts<'_>, place: &Expected, out: &mut Vec<Offer>) {
    let Some(forecast) = facts.forecast() else { return };
    let next = forecast.next_visit().map(|v| (v.date, "the next visit"));
    for (date, detail) in forecast.today.map(|d| (d, "today")).into_iter().chain(next) {
        out.push(Offer {
            label: date.to_string(),
            kind: OfferKind::Date,
            detail: detail.to_owned(),
            insert: date.to_string(),
            is_snippet: false,
            replace: place.replace,
            about: About::Nothing,
        });
    }
}

fn units(facts: Facts<'_>, place: &Expected, offset: usize, out: &mut Vec<Offer>) {
    let touches =
        facts.text()[..place.replace.start as usize].ends_with(|c: char| c.is_ascii_digit());
    let _ = offset;
    for unit in &place.units {
        let symbol = unit.symbol();
        out.push(Offer {
            label: symbol.to_owned(),
            kind: OfferKind::Unit,
            detail: unit.dimension().describe().to_owned(),
            insert: if touches { format!(" {symbol}") } else { symbol.to_owned() },
            is_snippet: false,
            replace: place.replace,
            about: About::Nothing,
        });
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::Sample;
    use super::*;

    fn labels(sample: &Sample) -> Vec<String> {
        complete(sample.facts(), sample.offset).into_iter().map(|o| o.label).collect()
    }

    fn has(sample: &Sample, wanted: &[&str]) {
        let got = labels(sample);
        for label in wanted {
            assert!(got.iter().any(|l| l == label), "{label} not in {got:?}");
        }
    }

    fn lacks(sample: &Sample, unwanted: &[&str]) {
        let got = labels(sample);
        for label in unwanted {
            assert!(!got.iter().any(|l| l == label), "{label} in {got:?}");
        }
    }

    #[test]
    fn an_empty_line_offers_the_words_of_its_block_and_no_others() {
        let sample = Sample::upper("  ¦");
        has(&sample, &["tooth", "step", "follow", "change", "gap"]);
        lacks(&sample, &["bypass", "seen", "clinic"]);
        has(&Sample::upper("  change align {\n    ¦\n  }"), &["bypass", "stop", "open-coil", "no"]);
        has(&Sample::new("¦"), &["springline"]);
    }

    #[test]
    fn a_broken_file_is_no_hindrance() {
        let sample = Sample::upper("  tooth 13 lingual !!\n  change align {\n    ¦");
        has(&sample, &["bypass", "stop"]);
    }

    #[test]
    fn names_come_from_the_drawer_with_what_they_are() {
        let sample = Sample::upper("  step more, wire ¦");
        has(&sample, &["niti-14", "steel-19x25"]);
        let offers = complete(sample.facts(), sample.offset);
        let niti = offers.iter().find(|o| o.label == "niti-14").unwrap();
        assert_eq!(niti.detail, "superelastic-niti 0.014 in");
        has(&Sample::upper("  change ¦"), &["align", "work"]);
    }

    #[test]
    fn teeth_that_are_described_already_are_not_offered_again() {
        let sample = Sample::upper("  tooth ¦");
        has(&sample, &["13", "11", "16"]);
        lacks(&sample, &["12", "22", "33"]);
        let begun = Sample::upper("  tooth 1¦");
        has(&begun, &["13"]);
        lacks(&begun, &["23", "12"]);
    }

    #[test]
    fn a_number_is_followed_by_the_units_that_fit() {
        let sample = Sample::upper("  tooth 13 labial 2 ¦");
        has(&sample, &["mm", "in"]);
        lacks(&sample, &["deg", "wk"]);
        let touching = Sample::upper("  tooth 13 labial 2¦");
        let offers = complete(touching.facts(), touching.offset);
        assert_eq!(offers.iter().find(|o| o.label == "mm").unwrap().insert, " mm");
    }

    #[test]
    fn nothing_is_offered_inside_a_comment() {
        assert_eq!(labels(&Sample::upper("  // to¦")), Vec::<String>::new());
    }
}
