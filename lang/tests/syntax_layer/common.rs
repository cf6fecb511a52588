//! What the tests of the syntax layer share.

use springline_lang::syntax::vocabulary::{BlockRule, Production};
use springline_lang::syntax::{Context, Parse, parse};
use springline_lang::text::FileId;

pub const FILE: FileId = FileId(0);

pub fn read(source: &str) -> Parse {
    parse(FILE, source)
}

/// The lines that open a block of this context, and those that close it.
pub fn around(context: Context) -> (&'static str, &'static str) {
    match context {
        Context::File => ("", ""),
        Context::House => ("house \"Saltmarsh\"\n", ""),
        Context::Fit => ("house \"Saltmarsh\"\nbracket twin {\n", "}\n"),
        Context::Learned => ("house \"Saltmarsh\"\nlearned 2026-11-20 {\n", "}\n"),
        Context::Sequence => ("house \"Saltmarsh\"\nsequence usual {\n", "}\n"),
        Context::Case => ("case \"SM-0001\"\n", ""),
        Context::InPlace => ("case \"SM-0001\"\nin-place 2026-09-14 {\n", "}\n"),
        Context::Bite => ("case \"SM-0001\"\nbite {\n", "}\n"),
        Context::Goal => ("case \"SM-0001\"\ngoal {\n", "}\n"),
        Context::Elastics => ("case \"SM-0001\"\nelastics class-2 {\n", "}\n"),
        Context::Retain => ("case \"SM-0001\"\nretain {\n", "}\n"),
        Context::Arch => ("case \"SM-0001\"\nupper {\n", "}\n"),
        Context::Measured => (
            "case \"SM-0001\"\nupper {\nmeasured 2026-11-25 from scan \"a.csv\" as \"7c1e09b2\", within 0.2 mm {\n",
            "}\n}\n",
        ),
        Context::Step => ("case \"SM-0001\"\nupper {\nchange align {\n", "}\n}\n"),
        Context::Seen => ("case \"SM-0001\"\nseen 2026-11-16 {\n", "}\n"),
        Context::SeenArch => {
            ("case \"SM-0001\"\nseen 2026-11-16 {\nupper passive, kept {\n", "}\n}\n")
        }
    }
}

/// A statement of a row as it would stand in a file, with an empty block where it needs one.
pub fn in_context(row: &Production, context: Context, line: &str) -> String {
    let (before, after) = around(context);
    let line = line.trim_end_matches(" {");
    let block = if matches!(row.block, BlockRule::Must(_)) { " {\n}" } else { "" };
    let opening = context == Context::File && line.starts_with("springline");
    let tail = if opening { "case \"SM-0001\"\n" } else { "" };
    format!("{before}{line}{block}\n{after}{tail}")
}

/// Each finding as one line: where (line:column), code, the text it stands on, message, fixes.
pub fn report(parse: &Parse) -> String {
    use std::fmt::Write;
    let mut out = String::new();
    for finding in &parse.findings {
        let start = finding.place.span.start as usize;
        let before = &parse.source[..start];
        let line = before.matches('\n').count() + 1;
        let column = before.len() - before.rfind('\n').map_or(0, |n| n + 1) + 1;
        let text = parse.text(finding.place.span);
        let _ = writeln!(
            out,
            "{line}:{column} {} {} [{text}]\n  {}",
            finding.severity, finding.code, finding.message
        );
        for note in finding.why.iter().chain(&finding.notes) {
            let _ = writeln!(out, "  note: {note}");
        }
        for related in &finding.related {
            let _ = writeln!(out, "  [{}]: {}", parse.text(related.place.span), related.message);
        }
        for fix in &finding.fixes {
            let _ = writeln!(out, "  fix ({:?}): {}", fix.kind, fix.title);
        }
    }
    out
}
