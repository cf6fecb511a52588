//! The practice of Saltmarsh in `examples/`: every file reads, and the short ones stay short.

use springline_lang::syntax;
use springline_lang::text::FileId;
use springline_lang::units::tooth::Notation;
use springline_test_support::{example, examples_in};

fn line_of(text: &str, offset: u32) -> usize {
    text[..offset as usize].matches('\n').count() + 1
}

#[test]
fn every_example_reads_without_a_finding_about_how_it_is_written() {
    let mut wrong = Vec::new();
    for folder in [".", "cases", "year", "unsafe"] {
        for (name, text) in examples_in(folder) {
            for finding in syntax::parse(FileId(0), &text).findings {
                let line = line_of(&text, finding.place.span.start);
                wrong.push(format!("{name}:{line}: {}: {}", finding.code, finding.message));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_example_is_laid_out_as_the_formatter_would() {
    let options = syntax::FormatOptions { notation: Some(Notation::Iso) };
    for folder in [".", "cases", "year", "unsafe"] {
        for (name, text) in examples_in(folder) {
            let laid_out = syntax::format(&syntax::parse(FileId(0), &text), &options);
            assert!(laid_out.is_ok_and(|laid_out| laid_out == text), "{name}");
        }
    }
}

#[test]
fn there_are_enough_cases_and_visits() {
    let cases = examples_in("cases");
    assert!(cases.len() >= 10);
    let with_visits = cases.iter().filter(|(_, text)| text.contains("\nseen ")).count();
    assert!(with_visits >= 12, "{with_visits} cases with visits");
    assert!(examples_in("unsafe").len() >= 16);
}

#[test]
fn a_plain_case_is_short() {
    for (name, most) in [("sm-0392-mild-crowding", 20), ("sm-0410-both-arches", 70)] {
        let lines = example(&format!("cases/{name}.spring")).lines().count();
        assert!(lines <= most, "{name} has {lines} lines");
    }
}
