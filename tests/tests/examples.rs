//! The practice of Saltmarsh in `examples/`: every file reads, and the short ones stay short.

use std::fs;
use std::path::{Path, PathBuf};

use springline_lang::syntax;
use springline_lang::text::FileId;
use springline_lang::units::tooth::Notation;

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples")
}

/// Every `.spring` file of a folder, by name.
fn files(folder: &str) -> Vec<(String, String)> {
    let mut paths: Vec<PathBuf> = fs::read_dir(examples().join(folder))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "spring"))
        .collect();
    paths.sort();
    let name = |path: &Path| path.file_name().unwrap().to_string_lossy().into_owned();
    paths.iter().map(|path| (name(path), fs::read_to_string(path).unwrap())).collect()
}

fn line_of(text: &str, offset: u32) -> usize {
    text[..offset as usize].matches('\n').count() + 1
}

#[test]
fn every_example_reads_without_a_finding_about_how_it_is_written() {
    let mut wrong = Vec::new();
    for folder in [".", "cases", "year", "unsafe"] {
        for (name, text) in files(folder) {
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
        for (name, text) in files(folder) {
            let laid_out = syntax::format(&syntax::parse(FileId(0), &text), &options);
            assert!(laid_out.is_ok_and(|laid_out| laid_out == text), "{name}");
        }
    }
}

#[test]
fn there_are_enough_cases_and_visits() {
    let cases = files("cases");
    assert!(cases.len() >= 10);
    let with_visits = cases.iter().filter(|(_, text)| text.contains("\nseen ")).count();
    assert!(with_visits >= 12, "{with_visits} cases with visits");
    assert!(files("unsafe").len() >= 16);
}

#[test]
fn a_plain_case_is_short() {
    for (name, most) in [("sm-0392-mild-crowding", 20), ("sm-0410-both-arches", 70)] {
        let path = examples().join("cases").join(name).with_extension("spring");
        let lines = fs::read_to_string(path).unwrap().lines().count();
        assert!(lines <= most, "{name} has {lines} lines");
    }
}
