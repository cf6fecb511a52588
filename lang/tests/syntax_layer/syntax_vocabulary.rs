//! The table of statements against the reader: every example reads, in every place it may stand.

use crate::common::{in_context, read, report};
use springline_lang::syntax::vocabulary::{ROWS, Stage};
use springline_lang::syntax::{Options, format};

#[test]
fn every_example_reads_in_every_context_of_its_row() {
    for row in ROWS {
        for context in row.inside {
            let source = in_context(row, *context, row.example);
            let parse = read(&source);
            if row.stage == Stage::Later {
                let codes: Vec<_> = parse.findings.iter().map(|f| f.code.0).collect();
                assert_eq!(codes, ["syntax/not-yet"], "{source}");
                continue;
            }
            assert_eq!(report(&parse), "", "{source}");
            let own = parse.all_lines().find(|l| l.row().is_some_and(|r| std::ptr::eq(r, row)));
            assert!(own.is_some_and(|l| l.is_read()), "{source}");
        }
    }
}

#[test]
fn every_example_is_written_as_the_formatter_writes_it() {
    for row in ROWS.iter().filter(|r| r.stage != Stage::Later) {
        for context in row.inside {
            let source = in_context(row, *context, row.example);
            let text = format(&read(&source), &Options::default()).unwrap();
            let line = row.example.trim_end_matches(" {");
            assert!(
                text.lines().any(|l| l.trim().trim_end_matches(" {") == line),
                "{line}\n{text}"
            );
        }
    }
}

/// Words whose hole could swallow a keyword of the same pattern would be read in two ways.
#[test]
fn no_two_rows_of_a_context_share_a_keyword() {
    let mut seen = std::collections::HashSet::new();
    for row in ROWS {
        for context in row.inside {
            let first = row.pattern.split_whitespace().next().unwrap();
            if !first.starts_with(['(', '@']) {
                assert!(seen.insert((*context, first)), "{context:?} {first}");
            }
        }
    }
}
