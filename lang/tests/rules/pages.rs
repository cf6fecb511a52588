//! A rule is one Rust file and one page beside it, and the page says all that it must.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use springline_lang::model::limits::SIMULATION;
use springline_lang::rules::register::RULES;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("rules/src")
}

/// `family/fault` of every file of a family's folder that ends so and whose text holds.
fn named(extension: &str, holds: impl Fn(&str) -> bool) -> BTreeSet<String> {
    let families = fs::read_dir(folder()).unwrap().map(|e| e.unwrap().path());
    let files = families
        .filter(|family| family.is_dir())
        .flat_map(|family| fs::read_dir(family).unwrap().map(|e| e.unwrap().path()));
    files
        .filter(|file| file.extension().is_some_and(|e| e == extension))
        .filter(|file| holds(&fs::read_to_string(file).unwrap()))
        .map(|file| {
            let path = file.strip_prefix(folder()).unwrap().with_extension("");
            let names = path.iter().map(|n| n.to_string_lossy().replace('_', "-"));
            names.collect::<Vec<_>>().join("/")
        })
        .collect()
}

#[test]
fn a_rule_is_one_rust_file_and_one_page_named_as_it_is() {
    let register: BTreeSet<String> = RULES.iter().map(|r| r.code.to_owned()).collect();
    assert_eq!(register.len(), RULES.len(), "a code stands twice");
    assert_eq!(named("md", |_| true), register, "pages, register");
    assert_eq!(named("rs", |text| text.contains(": Rule =")), register, "files, register");
    for rule in RULES {
        let file = folder().join(rule.code.replace('-', "_")).with_extension("md");
        assert_eq!(fs::read_to_string(&file).unwrap(), rule.page, "{}: another's page", rule.code);
        assert_eq!(rule.page().code, rule.code, "the heading of {}", file.display());
    }
}

#[test]
fn every_page_says_what_it_must() {
    for rule in RULES {
        let page = rule.page();
        for (what, text) in [
            ("title", page.title),
            ("Finds", page.finds),
            ("Why it matters", page.why),
            ("What to do", page.what_to_do),
            ("Accept when", page.accept_when),
            ("Source", page.source),
        ] {
            assert!(!text.trim().is_empty(), "{}: no {what}", rule.code);
            assert!(!text.contains("  "), "{}: double blank in {what}", rule.code);
        }
        assert!(!page.examples.is_empty(), "{}: no example", rule.code);
        for example in &page.examples {
            let marks = example.failing.matches("// <-").count();
            assert!(marks == 1 && example.marked_line().is_some(), "{}: one mark", rule.code);
            assert!(!example.changes.is_empty(), "{}: nothing that passes", rule.code);
        }
        // The sentence that many share is written in one way.
        if page.source.starts_with("our own simulation") {
            assert_eq!(page.source, SIMULATION, "{}", rule.code);
        }
    }
}

/// Nothing of the text before the first example is left unread: an item that goes on in a second line would be cut.
#[test]
fn the_head_of_a_page_is_read_whole() {
    for rule in RULES {
        let head = rule.page.split("```").next().unwrap();
        let lines: Vec<&str> = head.lines().filter(|l| !l.is_empty()).collect();
        let known = |l: &&&str| l.starts_with("# ") || l.starts_with("- **");
        assert_eq!(lines.iter().filter(known).count(), 6, "{}: heading, five items", rule.code);
        assert!(lines.len() == 7 && lines[6].ends_with(':'), "{}: {lines:#?}", rule.code);
    }
}

#[test]
fn a_rule_yields_only_to_rules_that_say_how_gravely_they_speak() {
    for rule in RULES {
        for code in rule.yields_to {
            let other = RULES.iter().find(|r| r.code == *code);
            let other = other.unwrap_or_else(|| panic!("{} yields to {code}: no rule", rule.code));
            assert!(
                other.verdict.is_some(),
                "{} yields to {code}, which says no verdict",
                rule.code
            );
        }
    }
}
