//! The formatter settles a text once and for all, keeps every comment, or leaves the text alone.

use springline_lang::syntax;
use springline_lang::syntax::token::TokenKind;
use springline_lang::syntax::{FormatOptions, Parse};
use springline_lang::text::FileId;

use super::text::text;

pub fn format(bytes: &[u8]) {
    let source = text(bytes);
    let parse = syntax::parse(FileId(0), &source);
    let Ok(once) = syntax::format(&parse, &FormatOptions::default()) else { return };
    let settled = syntax::parse(FileId(0), &once);
    assert_eq!(outline(&parse), outline(&settled), "{source}\n---\n{once}");
    assert_eq!(comments(&parse), comments(&settled), "{source}\n---\n{once}");
    let twice =
        syntax::format(&settled, &FormatOptions::default()).expect("what is settled is settled");
    assert_eq!(once, twice);
}

fn comments(parse: &Parse) -> Vec<String> {
    let comments = parse.tokens.iter().filter(|t| t.kind == TokenKind::Comment);
    comments.map(|t| parse.text(t.span).trim_end().to_owned()).collect()
}

/// Rows and words in order, and how many statements each holds.
fn outline(parse: &Parse) -> Vec<(Option<&'static str>, Vec<&'static str>, usize)> {
    let lines = parse.all_lines().filter(|l| l.keyword() != Some("springline"));
    lines
        .map(|l| (l.row().map(|r| r.pattern), l.group().words().collect(), l.children().count()))
        .collect()
}
