//! Hover on words of the language and on codes of findings.

use springline_lang::model::limits::Limit;
use springline_lang::rules;
use springline_lang::syntax::ItemAt;
use springline_lang::syntax::ast::StatementKind;
use springline_lang::syntax::format::named_teeth;
use springline_lang::syntax::vocabulary::{Production, SupportLevel, direction_word};

use super::{course, limit};
use crate::analysed_file::AnalysedFile;

pub fn hover(analysed: AnalysedFile<'_>, at: &ItemAt<'_>, offset: usize) -> Option<String> {
    let word = at.word.or(at.item.keyword())?;
    let typed = analysed.parse().text(at.item.span);
    let mut out = meant(analysed, at, offset, word)?;
    let written = direction_word(word, &named_teeth(at.line));
    if typed != written {
        out.push_str(&format!("\n\n`{typed}` is written `{written}`."));
    }
    Some(out)
}

fn meant(analysed: AnalysedFile<'_>, at: &ItemAt<'_>, offset: usize, word: &str) -> Option<String> {
    if at.line.is(StatementKind::Limit)
        && at.index > 0
        && let Some(limit) = Limit::from_word(word)
    {
        return limit::hover(analysed, limit);
    }
    let row = at.line.row()?;
    let mut out = String::new();
    if at.index == 0 {
        out.push_str(&statement(word, row));
        if matches!(word, "step" | "change")
            && let Some(name) = at.line.step_name()
            && let Some(course) = course::step(analysed, name.text(), offset)
        {
            out.push_str("\n\n---\n\n");
            out.push_str(&course);
        }
        if matches!(word, "stop" | "ends")
            && let Some((arch, step)) =
                analysed.step_line_at(offset).and_then(|l| analysed.step_of(l))
        {
            out = super::estimated(out + &course::slides(analysed, arch, step));
        }
        if matches!(word, "upper" | "lower")
            && let Some(course) = course::arch(analysed, word)
        {
            out.push_str("\n\n---\n\n");
            out.push_str(&course);
        }
    } else {
        // The upper jaw has its own word for it.
        let said = match analysed.parse().text(at.item.span) {
            "palatal" => "palatal",
            _ => word,
        };
        out.push_str(&detail(said, at, row));
    }
    Some(out)
}

/// A statement: what it is for, its shape, an example.
pub fn statement(word: &str, row: &Production) -> String {
    let later = match row.stage {
        SupportLevel::Computed => "",
        SupportLevel::Printed => "\n\nPrinted on the card; nothing is computed from it.",
        SupportLevel::Later => "\n\nNot yet part of the language.",
    };
    format!("**{word}**: {}{later}\n\n```springline\n{}\n```", row.doc, row.example)
}

/// A word inside a statement: the meaning it has there.
fn detail(word: &str, at: &ItemAt<'_>, row: &Production) -> String {
    let meaning = springline_lang::meanings::meaning(leading(row), word);
    let inside = at.groups.last().map(|group| group.replace('-', " "));
    let belongs = match inside {
        Some(group) => format!("part of the {group} in `{}`", leading(row)),
        None => format!("part of `{}`", leading(row)),
    };
    let sketch = springline_lang::meanings::sketch(word);
    let sketch = sketch.map_or_else(String::new, |drawn| format!("\n\n```text\n{drawn}```"));
    match meaning {
        Some(meaning) => format!("**{word}**: {meaning}{sketch}\n\n{belongs}: {}", row.doc),
        None => format!("**{word}**, {belongs}: {}", row.doc),
    }
}

/// The word that a statement begins with.
pub fn leading(row: &Production) -> &'static str {
    let words = row.pattern.split(|c: char| " ,()[]{}|".contains(c));
    words.into_iter().find(|w| !w.is_empty()).unwrap_or(row.pattern)
}

/// A finding by its name.
pub fn rule(code: &str) -> Option<String> {
    let page = rules::rule(code)?.page();
    let mut out = format!("**{}**: {}", page.code, page.title);
    let parts = [
        ("Finds", page.finds),
        ("Why", page.why),
        ("What to do", page.what_to_do),
        ("Source", page.source),
        ("When to accept", page.accept_when),
    ];
    for (heading, text) in parts.into_iter().filter(|(_, text)| !text.is_empty()) {
        out.push_str(&format!("\n\n*{heading}*: {text}"));
    }
    Some(super::estimated(out))
}
