//! The table of statements against the reader: every example reads, in every place it may stand.

use crate::common::{in_context, read, report};
use springline_lang::lower::NoLibrary;
use springline_lang::syntax::repeat::{Repeat, repeat};
use springline_lang::syntax::vocabulary::{FRAGMENTS, ROWS, SupportLevel};
use springline_lang::syntax::{FormatOptions, format};
use springline_lang::{Checker, SourceText};

#[test]
fn every_example_reads_in_every_context_of_its_row() {
    for row in ROWS {
        for context in row.inside {
            let source = in_context(row, *context, row.example);
            let parse = read(&source);
            if row.stage == SupportLevel::Later {
                let codes: Vec<_> = parse.findings.iter().map(|f| f.code.as_str()).collect();
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
    for row in ROWS.iter().filter(|r| r.stage != SupportLevel::Later) {
        for context in row.inside {
            let source = in_context(row, *context, row.example);
            let text = format(&read(&source), &FormatOptions::default()).unwrap();
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

/// The words that a row's statement may begin with.
fn begins(pattern: &'static str) -> Vec<&'static str> {
    if let Some(rest) = pattern.strip_prefix('(') {
        let (words, _) = rest.split_once(')').expect("a closing bracket");
        return words.split('|').map(str::trim).collect();
    }
    let first = pattern.split_whitespace().next().expect("a word");
    match first.strip_prefix('@') {
        Some(name) => {
            let fragment = FRAGMENTS.iter().find(|(n, _)| *n == name).expect("a fragment");
            begins(fragment.1)
        }
        None => vec![first],
    }
}

/// A word added to the language cannot forget to say what a second one of it means.
#[test]
fn every_statement_says_how_often_it_may_stand() {
    for row in ROWS.iter().filter(|r| r.stage != SupportLevel::Later) {
        for context in row.inside {
            for word in begins(row.pattern) {
                let said = repeat(*context, word);
                assert!(said.is_some(), "{context:?} `{word}`: a line in syntax/repeat.rs");
            }
        }
    }
}

/// A duplicate is reported wherever only one is allowed.
#[test]
fn whatever_can_be_said_once_only_is_told_when_it_is_said_twice() {
    for row in ROWS.iter().filter(|r| r.stage != SupportLevel::Later) {
        for context in row.inside {
            let source = in_context(row, *context, row.example);
            let parse = read(&source);
            let own = parse.all_lines().find(|l| l.row().is_some_and(|r| std::ptr::eq(r, row)));
            let own = own.expect("the example");
            let once = match repeat(*context, own.keyword().expect("a keyword")) {
                Some(Repeat::Once | Repeat::Per(_)) => true,
                Some(Repeat::Free) => false,
                Some(Repeat::Told) | None => continue,
            };
            let whole = own.whole_span().range();
            let (before, after) = source.split_at(whole.end);
            let twice = format!("{before}\n{}{after}", &source[whole]);
            let source = SourceText { name: "x".to_owned(), text: twice.as_str().into() };
            let found = Checker::new().read(&source, &NoLibrary).findings;
            let told = found.iter().filter(|f| f.code.as_str() == "name/said-twice").count();
            // Where the house is not to be had nothing is resolved.
            if found.iter().any(|f| f.code.as_str() == "name/house-not-found") {
                continue;
            }
            assert_eq!(told, usize::from(once), "{context:?}:\n{twice}\n{found:#?}");
        }
    }
}
