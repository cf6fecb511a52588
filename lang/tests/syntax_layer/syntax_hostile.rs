//! Texts made to break a reader: each gets a clear answer, and at once.

use std::time::{Duration, Instant};

use springline_lang::syntax::{FINDING_LIMIT, FormatOptions, Parse, format};

use crate::common::read;

/// Far above what is needed, so that a busy machine and an unoptimised build do not fail the test: it
/// finds a reader that hangs. How the time grows is for the bench to show.
fn at_once(source: &str) -> Parse {
    let start = Instant::now();
    let parse = read(source);
    let _ = format(&parse, &FormatOptions::default());
    let took = start.elapsed();
    assert!(took < Duration::from_secs(240), "{took:?}");
    parse
}

fn codes(parse: &Parse) -> Vec<&str> {
    parse.findings.iter().map(|f| f.code.as_str()).collect()
}

#[test]
fn fifty_megabytes_are_refused() {
    let parse = at_once(&"tooth 12 labial 1 mm\n".repeat(50_000_000 / 21));
    assert_eq!(codes(&parse), ["syntax/too-large"]);
    assert!(parse.statements.is_empty());
}

#[test]
fn a_hundred_thousand_open_braces_are_too_deep() {
    for open in ["{", "foo {", "change align {\n", "seen {", "bite { overjet 1 mm "] {
        let parse = at_once(&open.repeat(100_000));
        assert_eq!(codes(&parse), ["syntax/too-deep"], "{open}");
    }
    let nested = format!("case \"SM-0001\"\n{}{}", "a {\n".repeat(127), "}\n".repeat(127));
    assert!(!codes(&at_once(&nested)).contains(&"syntax/too-deep"));
}

#[test]
fn a_small_stack_is_enough() {
    let nested = format!("{}{}", "a {\n".repeat(127), "}\n".repeat(127));
    let thread = std::thread::Builder::new().stack_size(1 << 20);
    let done = thread.spawn(move || drop(read(&nested))).unwrap();
    done.join().unwrap();
}

#[test]
fn a_quarter_megabyte_of_one_mistake_is_listed_up_to_the_limit() {
    for line in [
        "}",
        "@",
        "upper {\n",
        "foo bar\n",
        "bypas 12\n",
        "tooth 12 rotated 25 deg\n",
        "\"\n",
        "-",
        "foo {}\n",
        "seen 2026-01-01 {\n",
        "overjet 6 mm overjet 6 mm ",
        "12,",
        "stop ",
        "{}",
        "# x\n",
        "bite { overjet 1 mm ",
        "\0",
        "until passive and 6 wk or decided\n",
        ",\n",
        "14/09/2026 ",
    ] {
        let source = format!("case \"SM-0001\"\n{}", line.repeat(250_000 / line.len()));
        let parse = at_once(&source);
        assert!(parse.findings.len() <= FINDING_LIMIT + 1, "{line}");
        assert!(!parse.findings.is_empty(), "{line}");
    }
}

#[test]
fn one_statement_of_a_million_parts_is_answered() {
    for bit in ["12, ", "mon, ", "word ", "2.4 mm, ", "13..23, ", "upper "] {
        let source =
            format!("case \"SM-0001\"\nupper {{\nmissing {}", bit.repeat(1_000_000 / bit.len()));
        at_once(&source);
    }
}

#[test]
fn signs_that_text_files_carry_are_taken() {
    let source = "\u{feff}springline 1\r\ncase \"SM-0001\"\r\nstart\u{a0}2026-09-14\r\n";
    assert!(codes(&read(source)).is_empty());
    assert!(codes(&read("case \"SM-0001\"\rstart 2026-09-14\r")).is_empty());
    assert!(codes(&read("")).is_empty());
    assert_eq!(codes(&read("case \"SM-0001\"\n\0\0\n")), ["syntax/nul"]);
    assert_eq!(
        codes(&read("case \"SM-\u{0}0001\" // here \0 too\n")),
        ["syntax/nul", "syntax/nul"]
    );
}
