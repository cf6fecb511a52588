//! Formatter, last step: verifies that the formatted text has the same tree and the same comments as the
//! source.

use std::fmt::Write;

use super::super::item::{DateMark, Item, ItemKind, Measure};
use super::super::pattern::{Placeholder, PlaceholderKind};
use super::super::program::MatchEventKind;
use super::super::read::parse;
use super::super::token::TokenKind;
use super::super::tree::{Parse, StatementRef};
use springline_text::Span;
use springline_units::tooth::Tooth;

pub fn reads_the_same(before: &Parse, text: &str) -> bool {
    let after = parse(before.file, text);
    comments(before).eq(comments(&after)) && meaning(before) == meaning(&after)
}

fn comments(parse: &Parse) -> impl Iterator<Item = &str> {
    let tokens = parse.tokens.iter();
    tokens
        .filter(|t| matches!(t.kind, TokenKind::Comment | TokenKind::HashComment))
        .map(|t| parse.text(t.span).trim_end())
}

/// The whole tree as text, with every value by what it means and not by how it was typed.
pub fn meaning(parse: &Parse) -> String {
    let mut out = String::new();
    if parse.edition.is_none() && !parse.lines().any(|l| l.keyword() == Some("springline")) {
        out.push_str("0 springline\n");
    }
    for line in parse.all_lines() {
        let mut depth = 0;
        let mut parent = line.parent();
        while let Some(above) = parent {
            depth += 1;
            parent = above.parent();
        }
        if depth == 0 && line.keyword() == Some("springline") && line.is_read() {
            out.push_str("0 springline\n");
            continue;
        }
        let block = line.block().map_or("", |_| " {}");
        let _ = writeln!(out, "{depth}{}{block}", statement(line));
    }
    out
}

fn statement(line: StatementRef<'_>) -> String {
    let mut out = String::new();
    if !line.is_read() || line.is_faulty() {
        for item in line.items() {
            let _ = write!(out, " {}", line.parse.text(item.span).trim());
        }
        return out;
    }
    let items = line.items();
    for event in line.group().events() {
        let covered = items.get(event.first as usize..event.end as usize).unwrap_or_default();
        match event.kind {
            MatchEventKind::Word(word) => {
                let _ = write!(out, " {word}");
            }
            MatchEventKind::Slot(slot) => {
                for item in covered.iter().filter(|i| !i.is_comma()) {
                    let _ = write!(out, " {}", value(line.parse, slot, item));
                }
            }
            _ => {}
        }
    }
    out
}

fn value(parse: &Parse, slot: Placeholder, item: &Item) -> String {
    let tooth = |span: Span| match Tooth::parse(parse.text(span)) {
        Some(tooth) => tooth.to_string(),
        None => parse.text(span).to_owned(),
    };
    if let (PlaceholderKind::Teeth | PlaceholderKind::Tooth, Some(teeth)) =
        (slot.hole, item.teeth())
    {
        return format!("{}..{:?}", tooth(teeth.first), teeth.last.map(tooth));
    }
    match &item.kind {
        ItemKind::Measure(measure) => figures(measure),
        ItemKind::Text(inner) => format!("{:?}", parse.text(*inner)),
        ItemKind::Date(day) => date(parse, *day),
        ItemKind::Dates(first, last) => format!("{}..{}", date(parse, *first), date(parse, *last)),
        ItemKind::Word(Some(word))
            if matches!(slot.hole, PlaceholderKind::Day | PlaceholderKind::Teeth) =>
        {
            (*word).to_owned()
        }
        _ => parse.text(item.span).to_owned(),
    }
}

fn date(parse: &Parse, mark: DateMark) -> String {
    mark.date.map_or_else(|| parse.text(mark.span).to_owned(), |d| d.to_string())
}

fn figures(measure: &Measure) -> String {
    let unit = measure.unit().map(|u| u.unit);
    let first = measure.first.unit.map(|u| u.unit).or(unit);
    format!(
        "{:?} {} {first:?} {:?} {unit:?}",
        measure.shape,
        measure.first.value,
        measure.second.map(|a| a.value)
    )
}
