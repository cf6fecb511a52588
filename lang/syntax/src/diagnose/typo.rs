//! Findings about recoverable typing errors: the meaning is certain, the notation is not the language's.

use super::super::context::Context;
use super::super::item::{DateMark, Item, ItemKind, Measure, RecoverableTypo};
use super::super::item_builder::{parse_date, readings};
use super::super::statement_parser::StatementParser;
use super::super::tree::Parse;
use springline_finding::{Finding, Fix, FixKind};
use springline_text::{Place, Span};

/// A byte that never occurs in a text.
pub fn nul(place: Place) -> Finding {
    Finding::error("syntax/nul", place, "There is a NUL byte here; text contains none.")
        .why("The file may be damaged, or not a text file.")
        .clinical_fix("remove it", place, "")
}

/// A character that is not part of the language.
pub fn bad(parse: &Parse, item: &Item) -> Finding {
    let text = parse.text(item.span);
    let place = parse.place(item.span);
    if text.contains('\0') {
        return nul(place);
    }
    match text {
        ";" => Finding::error(
            "syntax/unexpected-sign",
            place,
            "No semicolon is needed: a statement ends with its line.",
        )
        .safe_fix("remove it", place, ""),
        "-" | "\u{2013}" | "\u{2014}" => Finding::error(
            "syntax/unexpected-sign",
            place,
            "A dash has no meaning here; a range is written with two points, as in 8..10 wk.",
        ),
        "x" | "X" | "\u{D7}" => Finding::error(
            "syntax/unexpected-sign",
            place,
            "`x` goes between two sizes, as in 0.016 x 0.022 in; a name does not begin with `x` and a digit.",
        ),
        _ => Finding::error(
            "syntax/unexpected-sign",
            place,
            format!(
                "`{}` has no meaning in this language.",
                springline_text::visible::line(&short(text))
            ),
        ),
    }
}

fn short(text: &str) -> String {
    text.chars().take(20).collect()
}

pub fn finding(
    reader: &mut StatementParser<'_>,
    items: &[Item],
    at: usize,
    slip: RecoverableTypo,
    context: Option<Context>,
) -> Finding {
    if slip == RecoverableTypo::Minus {
        return super::sign::minus(reader, items, at, context);
    }
    let parse = &*reader.out;
    let item = &items[at];
    let place = parse.place(item.span);
    let text = parse.text(item.span);
    match slip {
        RecoverableTypo::DecimalComma => decimal_comma(parse, item),
        RecoverableTypo::DashRange => {
            let written = two_points(parse, item);
            Finding::error("syntax/dash-range", place, "A range is written with two points.")
                .safe_fix(format!("write `{written}`"), place, written)
        }
        RecoverableTypo::Minus => Finding::error("syntax/minus", place, super::sign::NO_MINUS),
        RecoverableTypo::InchMark => {
            let written = text.replace(['"', '\u{201C}', '\u{201D}'], " in");
            Finding::advice("syntax/inch-mark", place, "The inch mark is written `in`.").safe_fix(
                format!("write `{written}`"),
                place,
                written,
            )
        }
        RecoverableTypo::UnitCase => unit_case(parse, item),
        RecoverableTypo::DateForm => date_form(parse, item),
        RecoverableTypo::NoSuchDay => Finding::error(
            "syntax/no-such-day",
            place,
            format!("There is no {text} in the calendar."),
        ),
        RecoverableTypo::OpenText => {
            let quote = if text.starts_with('\u{AB}') { "\u{BB}" } else { "\"" };
            let end = item.span.start as usize + text.trim_end().len();
            let end = parse.place(Span::new(end, end));
            Finding::error(
                "syntax/open-text",
                place,
                "This text has no closing quote; it must end on the line it begins on.",
            )
            .safe_fix("close it at the end of the line", end, quote)
        }
        RecoverableTypo::ThreeSizes => Finding::error(
            "syntax/three-sizes",
            place,
            "A section has two sizes, the smaller first: 0.016 x 0.022 in.",
        ),
    }
}

/// Replaces the decimal commas of a figure by points.
fn decimal_comma(parse: &Parse, item: &Item) -> Finding {
    let place = parse.place(item.span);
    let written = parse.text(item.span).replace(',', ".");
    Finding::error("syntax/decimal-comma", place, "The decimal sign is a point.").safe_fix(
        format!("write `{written}`"),
        place,
        written,
    )
}

fn two_points(parse: &Parse, item: &Item) -> String {
    let join = |first: Span, last: Span| {
        format!("{}..{}", parse.text(first).trim_end(), parse.text(last).trim_start())
    };
    match item.kind {
        ItemKind::Measure(Measure { first, second: Some(second), .. }) => {
            let end = first.unit.map_or(first.span, |u| first.span.to(u.span));
            join(end, Span { start: second.span.start, end: item.span.end })
        }
        ItemKind::Teeth(teeth) => join(teeth.first, teeth.last.unwrap_or(teeth.first)),
        ItemKind::Dates(first, last) => join(first.span, last.span),
        _ => parse.text(item.span).to_owned(),
    }
}

fn unit_case(parse: &Parse, item: &Item) -> Finding {
    let place = parse.place(item.span);
    let mut finding = None;
    let amounts = item.measure().map(|m| [Some(m.first), m.second]).into_iter().flatten();
    let mut written = parse.text(item.span).to_owned();
    for mark in amounts.flatten().filter_map(|a| a.unit) {
        let typed = parse.text(mark.span);
        if typed != mark.unit.symbol() {
            written = written.replace(typed, mark.unit.symbol());
            finding.get_or_insert(format!(
                "The unit is written `{}`; capital and small letters are different units.",
                mark.unit.symbol()
            ));
        }
    }
    let message = finding.unwrap_or_else(|| "The case of a unit matters.".to_owned());
    Finding::error("syntax/unit-case", place, message).safe_fix(
        format!("write `{written}`"),
        place,
        written,
    )
}

/// Every date the calendar allows; for a range, every pair.
fn date_form(parse: &Parse, item: &Item) -> Finding {
    let place = parse.place(item.span);
    let finding = Finding::error("syntax/date-form", place, "Dates are written year-month-day.");
    let days = |mark: DateMark| {
        let text = parse.text(mark.span);
        parse_date(text).map_or_else(|| readings(text), |day| vec![day])
    };
    let written: Vec<String> = match item.kind {
        ItemKind::Date(day) => days(day).iter().map(ToString::to_string).collect(),
        ItemKind::Dates(first, last) => {
            let lasts = days(last);
            let pair = |a| lasts.iter().map(move |b| format!("{a}..{b}"));
            days(first).into_iter().flat_map(pair).collect()
        }
        _ => Vec::new(),
    };
    let kind = if written.len() == 1 { FixKind::Safe } else { FixKind::Clinical };
    written.into_iter().fold(finding, |finding, text| {
        finding.fix(Fix::replace(format!("write `{text}`"), kind, place, text))
    })
}
