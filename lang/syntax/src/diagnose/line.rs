//! Findings about a statement as a whole: an unknown or misplaced keyword, missing or surplus braces.

use super::super::context::Context;
use super::super::grammar::RawBlock;
use super::super::item::Item;
use super::super::patterns::{Pattern, patterns};
use super::super::split::Split;
use super::super::statement_parser::StatementParser;
use super::super::suggest::{self, either};
use super::super::tree::Parse;
use super::super::vocabulary::{BlockRule, SupportLevel};
use super::trial;
use springline_finding::{Finding, Fix, FixKind};
use springline_text::{Edit, Span};

fn span_of(items: &[Item]) -> Span {
    match (items.first(), items.last()) {
        (Some(first), Some(last)) => first.span.to(last.span),
        _ => Span::default(),
    }
}

/// Spaces or tabs before the line's first word.
fn indent(source: &str, offset: u32) -> &str {
    let before = source.get(..offset as usize).unwrap_or_default();
    let begin = before.rfind(['\n', '\r']).map_or(0, |n| n + 1);
    let line = &before[begin..];
    &line[..line.len() - line.trim_start_matches([' ', '\t']).len()]
}

pub fn split(parse: &Parse, items: &[Item], split: &Split) -> Finding {
    let next = items[split.next].span;
    let word = parse.text(next);
    let last = items[split.end.saturating_sub(1)].span;
    if split.on_new_line {
        let comma = items[split.end].span;
        return Finding::error(
            "syntax/comma-at-line-end",
            parse.place(comma),
            format!("The comma at the end of the line joins it to the next, which begins a statement of its \
                own: `{word}`."),
        )
        .safe_fix("remove the comma", parse.place(comma), "");
    }
    let gap = Span { start: last.end, end: next.start };
    let line_break = format!("\n{}", indent(&parse.source, items[0].span.start));
    Finding::warning(
        "syntax/two-on-a-line",
        parse.place(next),
        format!("`{word}` begins a second statement on this line; write each on its own line."),
    )
    .safe_fix("move it to its own line", parse.place(gap), line_break)
}

pub fn too_long(parse: &Parse, items: &[Item]) -> Option<Finding> {
    let first = items.first()?;
    Some(Finding::error(
        "syntax/line-too-long",
        parse.place(first.span),
        format!("This statement has {} parts, too many to be read as one.", items.len()),
    ))
}

/// No statement of this context begins like this.
pub fn unknown(
    reader: &mut StatementParser<'_>,
    items: &[Item],
    context: Context,
    block: Option<&RawBlock>,
) -> Finding {
    let Some(first) = items.first() else { return stray_braces(reader.out, block) };
    if !first.is_word() {
        return no_keyword(reader, items, context);
    }
    if let Some(keyword) = first.keyword()
        && let Some(finding) = elsewhere(reader, items, keyword, context)
    {
        return finding;
    }
    misspelt(reader, items, context)
}

fn stray_braces(parse: &Parse, block: Option<&RawBlock>) -> Finding {
    let span = block.map_or(Span::default(), |b| b.open.span);
    Finding::error(
        "syntax/braces-alone",
        parse.place(span),
        "These braces belong to no statement: write a word such as `upper` before them.",
    )
}

fn no_keyword(reader: &mut StatementParser<'_>, items: &[Item], context: Context) -> Finding {
    let place = reader.out.place(items[0].span);
    let text = reader.out.text(items[0].span).to_owned();
    let mut finding = Finding::error(
        "syntax/no-keyword",
        place,
        format!("A line begins with the word of a statement; `{text}` cannot begin one."),
    );
    if items[0].teeth().is_some() {
        let start = Span { start: items[0].span.start, end: items[0].span.start };
        for word in ["tooth", "bonded", "bypass", "loose"] {
            let title = format!("write `{word} {text}`");
            let fix = (FixKind::Clinical, title.as_str(), start, &*format!("{word} "));
            finding = trial::offer(reader, finding, items, context, fix);
        }
    }
    finding
}

fn misspelt(reader: &StatementParser<'_>, items: &[Item], context: Context) -> Finding {
    let place = reader.out.place(items[0].span);
    let typed = reader.out.text(items[0].span);
    let opening = (context == reader.base).then(|| suggest::keywords(Context::File));
    let fitting = suggest::keywords(context).chain(opening.into_iter().flatten());
    let near = suggest::nearest(typed, fitting);
    let quoted: Vec<String> = near.words.iter().map(|w| format!("`{w}`")).collect();
    let question = match quoted.is_empty() {
        true => String::new(),
        false => format!(" Did you mean {}?", either(&quoted)),
    };
    let mut finding = Finding::error(
        "syntax/unknown-statement",
        place,
        format!("No statement `{typed}` in {}.{question}", context.describe()),
    );
    for (i, word) in near.words.iter().enumerate() {
        let kind = if near.certain && i == 0 { FixKind::Safe } else { FixKind::Clinical };
        finding = finding.fix(Fix::replace(format!("write `{word}`"), kind, place, *word));
    }
    if near.words.is_empty()
        && let Some(word) = elsewhere_near(typed)
    {
        finding = finding.note(format!("`{}` {}.", word.keywords[0], belongs(word)));
    }
    finding
}

/// A misspelt keyword of another block.
fn elsewhere_near(typed: &str) -> Option<&'static Pattern> {
    let all = patterns().all.iter().flat_map(|p| p.keywords.iter().copied());
    let near = suggest::nearest(typed, all);
    let word = near.certain.then(|| near.words.first().copied()).flatten()?;
    patterns().of(word).next()
}

/// "belongs in `upper { }` or `lower { }`".
fn belongs(pattern: &Pattern) -> String {
    format!("belongs in {}", places(&[pattern]))
}

fn places(found: &[&Pattern]) -> String {
    let mut names: Vec<String> = Vec::new();
    for home in found.iter().flat_map(|p| p.row.inside).flat_map(|c| c.homes()) {
        let name = (*home).to_owned();
        if !names.contains(&name) {
            names.push(name);
        }
    }
    either(&names)
}

/// A statement that the language has, but not here.
fn elsewhere(
    reader: &mut StatementParser<'_>,
    items: &[Item],
    keyword: &'static str,
    context: Context,
) -> Option<Finding> {
    let found: Vec<&Pattern> = patterns().of(keyword).collect();
    let first = found.first()?;
    if first.row.stage == SupportLevel::Later {
        return Some(not_yet(reader, items, first, context));
    }
    let typed = reader.out.text(items[0].span);
    let mut finding = Finding::error(
        "syntax/wrong-block",
        reader.out.place(items[0].span),
        format!("`{typed}` belongs in {}; this is {}.", places(&found), context.describe()),
    );
    // A keyword of another context may still be a misspelling of one that fits here.
    let near = suggest::nearest(typed, suggest::keywords(context));
    for word in near.words {
        let fix = (FixKind::Clinical, &*format!("write `{word}`"), items[0].span, word);
        finding = trial::offer(reader, finding, items, context, fix);
    }
    Some(finding)
}

/// A term of the trade that the language does not support yet.
pub fn not_yet(
    reader: &mut StatementParser<'_>,
    items: &[Item],
    pattern: &Pattern,
    context: Context,
) -> Finding {
    let span = span_of(items);
    let keyword = pattern.keywords.first().copied().unwrap_or_default();
    let line = reader.out.text(span).replace('"', "'");
    let finding = Finding::error(
        "syntax/not-yet",
        reader.out.place(items[0].span),
        format!("Springline knows `{keyword}` but cannot plan with it yet."),
    )
    .why("Nothing would be computed, checked or drawn from this line; a `note` is printed as written.");
    let fix = (FixKind::Clinical, "keep it as a `note`", span, &*format!("note \"{line}\""));
    trial::offer(reader, finding, items, context, fix)
}

/// Braces that a statement needs, or cannot have.
pub fn block(
    parse: &Parse,
    items: &[Item],
    pattern: &Pattern,
    block: Option<&RawBlock>,
) -> Option<Finding> {
    let name = super::file::head(parse.text(span_of(items)));
    match (pattern.row.block, block) {
        (BlockRule::Must(_), None) => {
            let end = span_of(items).end;
            let indent = indent(&parse.source, items[0].span.start);
            let finding = Finding::error(
                "syntax/no-braces",
                parse.place(span_of(items)),
                format!(
                    "`{name}` needs braces after it, with its statements inside, one per line."
                ),
            );
            let fix = Fix::replace(
                "add the braces",
                FixKind::Clinical,
                parse.place(Span { start: end, end }),
                format!(" {{\n{indent}}}"),
            );
            Some(finding.fix(fix))
        }
        (BlockRule::None, Some(block)) => {
            let mut finding = Finding::error(
                "syntax/braces-not-here",
                parse.place(block.open.span),
                format!("`{name}` takes no braces: its details follow on its own line."),
            );
            if block.body.is_empty() {
                let edits = vec![
                    Edit { place: parse.place(block.open.span), text: String::new() },
                    Edit { place: parse.place(block.close.span), text: String::new() },
                ];
                let title = "remove the braces".to_owned();
                finding = finding.fix(Fix { title, kind: FixKind::Safe, edits, outcome: None });
            }
            Some(finding)
        }
        _ => None,
    }
}
