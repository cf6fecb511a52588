//! `springline draft`: what is shown, what is written, what is refused.

use std::path::Path;

use assert_cmd::Command;

/// A crowded lower arch in the practice's drawer.
const CROWDED: &str = "springline 1\ncase \"SM-9801\"\nuse saltmarsh\nstart 2026-11-30\npatient adult\nlower {\n  \
    bonded 45..35 with twin\n  tubes 46, 36 with molar\n  tooth 42 lingual 2 mm, rotated 15 deg mesial-in\n  \
    tooth 33 labial 1.5 mm\n  follow usual\n}\n";

fn springline(folder: &Path, args: &[&str]) -> Command {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("springline");
    command.current_dir(folder).args(args).env("SPRINGLINE_TODAY", "2026-11-25");
    command
}

/// A folder with the practice file and one case.
fn folder(practice: &str, case: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("saltmarsh.spring"), practice).unwrap();
    std::fs::write(folder.path().join("case.spring"), case).unwrap();
    folder
}

const PRACTICE: &str = include_str!("../../examples/saltmarsh.spring");

#[test]
fn a_draft_is_shown_with_its_reasons_and_writes_nothing() {
    let folder = folder(PRACTICE, CROWDED);
    let assert = springline(folder.path(), &["draft", "case.spring", "--why", "--seconds", "2"])
        .assert()
        .code(0);
    let said = String::from_utf8(assert.get_output().stdout.clone()).unwrap();
    for words in ["Lower arch", "booked for", "readings of the same mouth", "decides nothing"] {
        assert!(said.contains(words), "{words}: {said}");
    }
    for word in ["best", "optimal", "optimum"] {
        assert!(!said.to_lowercase().contains(word), "{word}: {said}");
    }
    let json =
        springline(folder.path(), &["draft", "case.spring", "--format", "json", "--seconds", "6"]);
    let json = { json }.assert().code(0);
    let value: serde_json::Value = serde_json::from_slice(&json.get_output().stdout).unwrap();
    assert_eq!(value["schema"], "springline.draft/1");
    assert_eq!(value["arches"][0]["arch"], "lower");
    assert!(value["arches"][0]["why_not"].as_array().is_some_and(|list| list.len() > 2), "{value}");
    let after = std::fs::read_to_string(folder.path().join("case.spring")).unwrap();
    assert_eq!(after, CROWDED);
}

#[test]
fn without_a_drawer_there_is_a_sentence_and_no_plan() {
    let bare: String =
        PRACTICE.lines().filter(|l| !l.contains("-niti, rect")).map(|l| format!("{l}\n")).collect();
    let bare = bare
        .replace("wire niti-16x22,", "wire niti-16,")
        .replace("wire niti-18x25,", "wire niti-18,");
    let folder = folder(&bare, CROWDED);
    let assert = springline(folder.path(), &["draft", "case.spring"]).assert().code(1);
    let said = String::from_utf8(assert.get_output().stdout.clone()).unwrap();
    assert!(said.contains("no rectangular superelastic wire"), "{said}");
    assert!(!said.contains("@@"), "{said}");
}

/// An upper lateral with 4 mm of space for a crown of 6.5 mm, and nothing said of where room comes from.
const SHORT: &str = "springline 1\ncase \"SM-9802\"\nuse saltmarsh\nstart 2026-11-30\npatient growing\nupper {\n  \
    bonded 15..25 with twin\n  tubes 16, 26 with molar\n  tooth 12 palatal 2.5 mm, width 6.5 mm, space 4 mm\n  \
    follow usual\n}\n";

#[test]
fn where_room_comes_from_is_asked_and_drafted_as_chosen() {
    let folder = folder(PRACTICE, SHORT);
    let assert = springline(folder.path(), &["draft", "case.spring"]).assert().code(1);
    let said = String::from_utf8(assert.get_output().stdout.clone()).unwrap();
    assert!(said.contains("2.5 mm missing") && said.contains("doctor's choice"), "{said}");
    let with = ["draft", "case.spring", "--seconds", "2", "--with", "extraction", "14,", "24"];
    let assert = springline(folder.path(), &with).assert().code(0);
    let said = String::from_utf8(assert.get_output().stdout.clone()).unwrap();
    assert!(said.contains("+  extract 14, 24 before"), "{said}");
    let unclear = ["draft", "case.spring", "--with", "patience"];
    springline(folder.path(), &unclear).assert().code(2);
}

#[test]
fn listed_sequences_are_compared() {
    let folder = folder(PRACTICE, CROWDED);
    let list = "sequence light {\n  step align, wire niti-12, ends turned-in slack 2 mm, until passive, next computed\n  \
                step level, wire niti-14x25, ends turned-in slack 2 mm, until passive, next computed\n  \
                step work, wire beta-18x25, ends turned-in slack 1 mm, until doctor-decides, next 6 wk\n}\n";
    std::fs::write(folder.path().join("list.spring"), list).unwrap();
    let args = ["draft", "case.spring", "--among", "list.spring", "--seconds", "2"];
    let assert = springline(folder.path(), &args).assert().code(0);
    let said = String::from_utf8(assert.get_output().stdout.clone()).unwrap();
    assert!(said.contains("of these, light comes first"), "{said}");
}

#[test]
fn a_written_draft_prints_a_hold_card_until_it_is_taken_on() {
    // An arch that has no steps yet: the practice's sequence itself is drafted.
    let folder = folder(PRACTICE, &CROWDED.replace("  follow usual\n", ""));
    let path = folder.path().join("case.spring");
    let args = ["draft", "case.spring", "--write", "--seconds", "1"];
    springline(folder.path(), &args).assert().code(0);
    let drafted = std::fs::read_to_string(&path).unwrap();
    assert!(drafted.contains("  follow usual\n  drafted 2026-11-25\n"), "{drafted}");
    let formatted = springline(folder.path(), &["fmt", "--check", "case.spring"]).assert().code(0);
    drop(formatted);
    springline(folder.path(), &["print", "case.spring", "--to", "held"]).assert().code(1);
    let held: Vec<_> = std::fs::read_dir(folder.path().join("held")).unwrap().flatten().collect();
    let text = std::fs::read_to_string(held[0].path()).unwrap();
    assert!(held.len() == 1 && text.contains("Do not change a wire today"), "{held:?}");
    // What stands is explained, and stays as it is.
    let why = ["draft", "case.spring", "--why", "--seconds", "1"];
    let assert = springline(folder.path(), &why).assert().code(1);
    let said = String::from_utf8(assert.get_output().stdout.clone()).unwrap();
    assert!(said.contains("The lower arch as drafted: "), "{said}");
    assert!(!said.contains("@@"), "{said}");
    // A second draft does not go over the first one.
    springline(folder.path(), &args).assert().code(1);
    assert_eq!(std::fs::read_to_string(&path).unwrap(), drafted);
}
