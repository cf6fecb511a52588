//! The table of statements against the reader: every example reads, in every place it may stand.

mod syntax_common;

use springline_lang::syntax::vocabulary::{ROWS, Stage};
use syntax_common::{in_context, read, report};

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
