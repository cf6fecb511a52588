//! Generates the language reference page from the vocabulary.

use std::fmt::Write;

use springline_model::crowding::{PATTERN_ERROR, pattern};
use springline_model::stand::{Grade, Stand, TurnGrade};
use springline_syntax::context::Context;
use springline_syntax::pattern::{PatternNode, Placeholder, PlaceholderKind};
use springline_syntax::patterns::patterns;
use springline_syntax::token::UNIT_SPELLINGS;
use springline_syntax::vocabulary::{
    ALIASES, Alias, BlockRule, FRAGMENTS, Production, ROWS, SupportLevel, is_by_the_tooth,
};
use springline_units::quantity::{Unit, degrees, from_mm, mm, plain};
use springline_units::tooth::{Arch, Notation, Side, Tooth};

/// The blocks in the order a reader meets them.
const ORDER: [Context; 16] = [
    Context::File,
    Context::House,
    Context::Fit,
    Context::Sequence,
    Context::Learned,
    Context::Case,
    Context::InPlace,
    Context::Bite,
    Context::Goal,
    Context::Arch,
    Context::Measured,
    Context::Step,
    Context::Elastics,
    Context::Retain,
    Context::Seen,
    Context::SeenArch,
];

/// The whole page, in Markdown.
pub fn reference() -> String {
    let mut out = String::new();
    out.push_str(INTRODUCTION);
    for context in ORDER {
        section(context, &mut out);
    }
    shared_parts(&mut out);
    graded(&mut out);
    later(&mut out);
    units(&mut out);
    teeth(&mut out);
    aliases(&mut out);
    out
}

const INTRODUCTION: &str = "# The language

This page is generated from the table used by the parser, the formatter, completion and hover
(`lang/syntax/src/vocabulary.rs`); a test fails when it is out of date.

A statement is one line; it continues on the next line after a comma. Braces contain statements, one per
line. `//` starts a comment; `#` is always a tooth number. Left and right are always the patient's. A
range is written with two points and one unit: `8..10 wk`. Dates are year-month-day: `2026-09-14`. There
is no minus sign: a word gives the direction.

How to read the patterns: text in *italics* is a value you write; anything in `[ ]` is optional; `a | b`
means one or the other; `...` means that the part before it may be repeated, separated by commas. A part
in ‹ › is explained under [Shared parts](#shared-parts). A comma before a word may be omitted; the
formatter adds it.

";

fn title(context: Context) -> &'static str {
    match context {
        Context::File => "The first lines of a file",
        Context::House => "A practice file",
        Context::Fit => "Inside `bracket { }` and `tube { }`",
        Context::Sequence => "Inside `sequence { }`",
        Context::Learned => "Inside `learned { }`",
        Context::Case => "A case",
        Context::InPlace => "Inside `in-place { }`",
        Context::Bite => "Inside `bite { }`",
        Context::Goal => "Inside `goal { }`",
        Context::Arch => "Inside `upper { }` and `lower { }`",
        Context::Measured => "Inside `measured { }`",
        Context::Step => "In the braces of a `step` or `change`",
        Context::Elastics => "Inside `elastics { }`",
        Context::Retain => "Inside `retain { }`",
        Context::Seen => "Inside `seen { }`",
        Context::SeenArch => "In the braces of an arch inside `seen { }`",
    }
}

fn section(context: Context, out: &mut String) {
    let _ = writeln!(out, "## {}\n", title(context));
    for row in ROWS.iter().filter(|r| r.inside.contains(&context) && r.stage != SupportLevel::Later)
    {
        // A statement of several blocks is documented in full where it comes first.
        let first = ORDER.into_iter().find(|c| row.inside.contains(c));
        if first == Some(context) {
            statement(row, out);
        } else {
            let also = first.map_or("", title);
            let _ = writeln!(out, "`{}`: as under \"{}\".\n", keyword(row), also.replace('`', ""));
        }
    }
}

fn keyword(row: &Production) -> String {
    let pattern = patterns().all.iter().find(|p| std::ptr::eq(p.row, row));
    pattern.map_or(String::new(), |p| p.keywords.join("`, `"))
}

fn statement(row: &Production, out: &mut String) {
    let Some(pattern) = patterns().all.iter().find(|p| std::ptr::eq(p.row, row)) else { return };
    let _ = writeln!(out, "### `{}`\n", keyword(row));
    let block = match row.block {
        BlockRule::None => "",
        BlockRule::May(_) => " [ { ... } ]",
        BlockRule::Must(_) => " { ... }",
    };
    let _ = writeln!(out, "{}{block}\n", written(&pattern.node));
    let _ = writeln!(out, "{}", row.doc);
    if row.stage == SupportLevel::Printed {
        out.push_str("It is drawn and printed; nothing is computed from it.\n");
    }
    let example = row.example.trim_end_matches(" {");
    let block = if matches!(row.block, BlockRule::Must(_)) { " { ... }" } else { "" };
    let _ = writeln!(out, "\n```\n{example}{block}\n```\n");
}

/// A pattern as a reader understands it.
fn written(node: &PatternNode) -> String {
    match node {
        PatternNode::Word(word) => format!("**{word}**"),
        PatternNode::Slot(slot) => value(*slot),
        PatternNode::Comma => ",".to_owned(),
        PatternNode::Sequence(parts) => {
            let mut out = String::new();
            for (i, part) in parts.iter().enumerate() {
                let text = match part {
                    PatternNode::Choice(_) => format!("( {} )", written(part)),
                    _ if i > 0 && is_repetition_of(part, &parts[i - 1]) => "...".to_owned(),
                    _ => written(part),
                };
                if !out.is_empty() && text != "," {
                    out.push(' ');
                }
                out.push_str(&text);
            }
            out
        }
        PatternNode::Choice(choices) => choices.iter().map(written).collect::<Vec<_>>().join(" | "),
        PatternNode::Optional(body) => format!("[ {} ]", written(body)),
        PatternNode::Repeat { body, .. } => format!("[ {} ] ...", written(body)),
        PatternNode::Group(name, _) => format!("‹{name}›"),
    }
}

/// Whether a repetition only repeats what precedes it: `a {, a}` is written as `a ...`.
fn is_repetition_of(node: &PatternNode, before: &PatternNode) -> bool {
    let PatternNode::Repeat { body, .. } = node else { return false };
    match body.as_ref() {
        PatternNode::Sequence(parts) => {
            matches!(parts.as_slice(), [PatternNode::Comma, again] if again == before)
        }
        _ => false,
    }
}

fn value(slot: Placeholder) -> String {
    let label = slot.label.replace('-', " ");
    match slot.hole {
        PlaceholderKind::Name if slot.defines => format!("*new {label} name*"),
        PlaceholderKind::Name if slot.label == "person" => "*initials*".to_owned(),
        PlaceholderKind::Name => format!("*{label} name*"),
        PlaceholderKind::Text => format!("*\"{label}\"*"),
        PlaceholderKind::Any => "*figure*".to_owned(),
        PlaceholderKind::Times => "*time or range of times*".to_owned(),
        PlaceholderKind::Stresses => "*stress or range of stresses*".to_owned(),
        PlaceholderKind::Dates => "*date or range of dates*".to_owned(),
        PlaceholderKind::Dims => "*two sizes*".to_owned(),
        PlaceholderKind::Ratio => "*factor*".to_owned(),
        PlaceholderKind::Day => "*day of the week*".to_owned(),
        PlaceholderKind::Rule => "*finding*".to_owned(),
        PlaceholderKind::Count => "*number*".to_owned(),
        hole => format!("*{}*", hole.label()),
    }
}

fn shared_parts(out: &mut String) {
    out.push_str("## Shared parts\n\n");
    for (name, text) in FRAGMENTS {
        let Ok(node) = springline_syntax::pattern::parse_pattern(text) else { continue };
        let _ = writeln!(out, "- ‹{name}›: {}", written(&node));
    }
    out.push('\n');
}

/// The figures behind words, and the pattern behind a crowding.
fn graded(out: &mut String) {
    out.push_str("## Words for those who do not measure\n\nEach word has a figure, which hovers, `explain` and cards show; the coarser the word, the wider the range.\nThe formatter keeps the word. Common practice, no source.\n\n| word | taken as | may be |\n| --- | --- | --- |\n");
    for grade in Grade::ALL {
        let (mm, error) = grade.mm();
        let (low, high) = (plain(mm - error), plain(mm + error));
        let _ =
            writeln!(out, "| `{} palatal` | {} mm | {low} to {high} mm |", grade.word(), plain(mm));
    }
    for grade in TurnGrade::ALL {
        let (deg, error) = grade.degrees();
        let (low, high) = (plain(deg - error), plain(deg + error));
        let word = grade.word();
        let _ = writeln!(
            out,
            "| `rotated {word} mesial-in` | {} deg | {low} to {high} deg |",
            plain(deg)
        );
    }
    out.push_str("\n`crowding` spreads a pattern over the anterior teeth of an arch of which no anterior tooth is described:\nlaterals lingual or palatal with their mesial edge in, canines labial, centrals in line. Common practice,\nno source; its irregularity is the one from which the forecast would compute that crowding.\n\n| upper arch | lateral | rotation | canine |\n| --- | --- | --- | --- |\n");
    for by in [2.0, 5.0, 8.0] {
        let spread = pattern(Arch::Upper, from_mm(by), |t| t.side() == Side::Right);
        let of = |position| spread.iter().find(|(t, _)| t.position() == position).map(|(_, s)| *s);
        let in_out = |s: Option<Stand>| {
            s.and_then(|s| s.in_out).map_or(String::new(), |(d, _)| plain(mm(d.length())))
        };
        let turn = of(2).and_then(|s| s.rotated).map_or(0.0, |(r, _)| degrees(r.angle()));
        let _ = writeln!(
            out,
            "| `crowding {} mm` | {} mm | {} deg | {} mm |",
            plain(by),
            in_out(of(2)),
            plain(turn),
            in_out(of(3))
        );
    }
    let (mm, deg) = PATTERN_ERROR;
    let _ = writeln!(
        out,
        "\nEvery anterior tooth of it may be off by {} mm and {} deg either way.\n",
        plain(mm),
        plain(deg)
    );
}

fn later(out: &mut String) {
    out.push_str("## Not yet\n\nThese are terms of the trade that the language does not yet have; a line with \
        one of them gets a finding\nthat says so.\n\n");
    for row in ROWS.iter().filter(|r| r.stage == SupportLevel::Later) {
        let _ = writeln!(out, "- `{}`: {}", keyword(row), row.doc);
    }
    out.push('\n');
}

fn units(out: &mut String) {
    out.push_str(
        "## Units\n\nCase matters: `N` is newton, `n` is nothing. Other spellings are read and \
        rewritten.\n\n| unit | measures | also read |\n| --- | --- | --- |\n",
    );
    for unit in Unit::ALL {
        let also: Vec<String> = ["\"", "°"]
            .iter()
            .chain(&UNIT_SPELLINGS)
            .filter(|s| Unit::parse(s) == Some(unit))
            .map(|s| format!("`{s}`"))
            .collect();
        let _ =
            writeln!(out, "| `{unit}` | {} | {} |", unit.dimension().describe(), also.join(", "));
    }
    out.push('\n');
}

fn teeth(out: &mut String) {
    out.push_str("## Teeth\n\nThree notations are read and recognised by their form; the practice file says \
        which one the formatter writes.\nRanges run along the arch: `13..23` is 13, 12, 11, 21, 22, 23.\n\n| \
        tooth | iso | quadrant | universal |\n| --- | --- | --- | --- |\n");
    for code in [13, 21, 36, 48, 55, 75] {
        let Some(tooth) = Tooth::iso(code) else { continue };
        let [iso, quadrant, universal] =
            [Notation::Iso, Notation::Quadrant, Notation::Universal].map(|n| tooth.write(n));
        let _ = writeln!(out, "| {} | `{iso}` | `{quadrant}` | `{universal}` |", tooth.words());
    }
    out.push('\n');
}

fn aliases(out: &mut String) {
    out.push_str("## Other words that are read\n\nThe formatter writes the word on the right: synonyms of the \
        field, and what an earlier release called it.\nSides of a tooth \
        are written as on a card: palatal\nin the upper arch and lingual in the lower, labial anteriorly and \
        buccal posteriorly.\n\n| read | written |\n| --- | --- |\n");
    for Alias { read, written, only_in } in ALIASES {
        let by_tooth = is_by_the_tooth(read);
        let written = if by_tooth { "by the tooth".to_owned() } else { format!("`{written}`") };
        let place = only_in.map_or(String::new(), |word| format!(" in a `{word}` line"));
        let _ = writeln!(out, "| `{read}`{place} | {written} |");
    }
}
