//! `springline fix` through the real program: what it shows, what it writes, what it refuses.

use std::fs;
use std::path::{Path, PathBuf};

use assert_cmd::Command;

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples")
}

/// A folder with the house file and one example in it.
fn practice(example: &str) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    fs::copy(examples().join("saltmarsh.spring"), folder.path().join("saltmarsh.spring"))
        .expect("the house file");
    let path = folder.path().join("case.spring");
    fs::copy(examples().join(example), &path).expect("the case");
    (folder, path)
}

fn springline(folder: &Path, args: &[&str]) -> Command {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("springline");
    command.current_dir(folder).args(args).env("SPRINGLINE_TODAY", "2026-11-25");
    command.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE");
    command
}

/// Standard output and standard error, the exit code held against the one expected.
fn said(folder: &Path, args: &[&str], code: i32) -> (String, String) {
    let assert = springline(folder, args).assert().code(code);
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).expect("UTF-8");
    (text(&assert.get_output().stdout), text(&assert.get_output().stderr))
}

/// Names and titles of the fixes, as the machine-readable list has them.
fn names(folder: &Path) -> Vec<(String, String)> {
    let (out, _) = said(folder, &["fix", "case.spring", "--format", "json"], 0);
    let value: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    let findings = value["cases"][0]["findings"].as_array().expect("findings").clone();
    let fixes = findings.iter().flat_map(|f| f["fixes"].as_array().expect("fixes").clone());
    fixes
        .map(|f| (f["id"].as_str().expect("id").into(), f["title"].as_str().expect("title").into()))
        .collect()
}

const HEAVY: &str = "unsafe/heavy-wire-in-crowding.spring";
const FAULTS: &str = "unsafe/several-faults.spring";

#[test]
fn the_list_shows_every_fix_as_a_difference_and_writes_nothing() {
    let (folder, path) = practice(FAULTS);
    let before = fs::read_to_string(&path).expect("text");
    let (out, _) = said(folder.path(), &["fix", "case.spring"], 0);
    assert_eq!(fs::read_to_string(&path).expect("text"), before);
    for part in
        ["--- case.spring", "+++ case.spring with ", "@@ ", "[slide/stop-blocks]", "\n1. error"]
    {
        assert!(out.contains(part), "{part}: {out}");
    }
    assert!(
        out.contains("-    stop mesial of 26") && out.contains("+    stop mesial of 16"),
        "{out}"
    );
    assert!(out.contains("needs the doctor's approval"), "{out}");
    assert!(out.contains("checked: resolves this finding"), "{out}");
    assert!(out.contains("Nothing was written"), "{out}");
    for (name, title) in names(folder.path()) {
        assert!(out.contains(&format!("{name}  {title}")), "{name} {title}: {out}");
    }
}

#[test]
fn check_names_the_command() {
    let (folder, _) = practice(FAULTS);
    let fixes = names(folder.path()).len();
    let (out, _) = said(folder.path(), &["check", "case.spring"], 1);
    assert!(
        out.contains(&format!("`springline fix case.spring` shows {fixes} fixes as a diff.")),
        "{out}"
    );
    let (sound, _) = practice("cases/sm-0392-mild-crowding.spring");
    let (out, _) = said(sound.path(), &["check", "case.spring"], 0);
    assert!(!out.contains("springline fix"), "{out}");
    let (out, _) = said(sound.path(), &["fix", "case.spring"], 0);
    assert!(out.contains("no fix is offered"), "{out}");
}

#[test]
fn a_chosen_fix_is_written_and_nothing_else_is() {
    let (folder, path) = practice(FAULTS);
    let before = fs::read_to_string(&path).expect("text");
    let all = names(folder.path());
    let (name, _) = all.iter().find(|(_, t)| t.contains("put the stop")).expect("it is offered");
    let (out, told) = said(folder.path(), &["fix", "case.spring", "--apply", name], 0);
    assert!(told.contains(&format!("{name} applied: put the stop mesial of 16")), "{told}");
    assert!(out.contains("gone: error") && out.contains("[slide/stop-blocks]"), "{out}");
    assert!(out.contains("remains: "), "{out}");
    let after = fs::read_to_string(&path).expect("text");
    assert_eq!(after, before.replace("stop mesial of 26", "stop mesial of 16"));
    // The name was good for the text as it was.
    let (_, told) = said(folder.path(), &["fix", "case.spring", "--apply", name], 2);
    assert!(told.contains("may have changed"), "{told}");
    assert_eq!(fs::read_to_string(&path).expect("text"), after);
}

#[test]
fn names_of_another_text_and_numbers_write_nothing() {
    let (folder, path) = practice(FAULTS);
    let all = names(folder.path());
    let changed = fs::read_to_string(&path).expect("text") + "// changed since\n";
    fs::write(&path, &changed).expect("written");
    for (name, _) in &all {
        said(folder.path(), &["fix", "case.spring", "--apply", name], 2);
    }
    let (_, told) = said(folder.path(), &["fix", "case.spring", "--apply", "1"], 2);
    assert!(told.contains("a number of the list"), "{told}");
    assert_eq!(fs::read_to_string(&path).expect("text"), changed);
}

#[test]
fn several_are_applied_one_after_the_other_and_refused_where_they_meet() {
    let (folder, path) = practice(FAULTS);
    let all = names(folder.path());
    let of = |part: &str| {
        let found = all.iter().find(|(_, title)| title.contains(part));
        found.unwrap_or_else(|| panic!("{part}: {all:?}")).0.clone()
    };
    let both = format!("{},{}", of("put the stop"), of("a night-time retainer"));
    said(folder.path(), &["fix", "case.spring", "--apply", &both], 0);
    let text = fs::read_to_string(&path).expect("text");
    assert!(text.contains("stop mesial of 16") && text.contains("night-time"), "{text}");

    // Two answers to one finding: the first takes it away.
    let (folder, path) = practice(HEAVY);
    let before = fs::read_to_string(&path).expect("text");
    let (out, _) = said(folder.path(), &["fix", "case.spring"], 0);
    let all = names(folder.path());
    if let [(first, _), (second, _), ..] = all.as_slice() {
        let both = format!("{first},{second}");
        let (_, told) = said(folder.path(), &["fix", "case.spring", "--apply", &both], 1);
        assert!(told.contains(&format!("{first} applied")), "{told}");
        assert!(told.contains(&format!("{second} refused")), "{told}");
    } else {
        assert!(!all.is_empty(), "{out}");
    }
    assert!(fs::read_to_string(&path).is_ok_and(|t| t == before || t.contains("niti-14")));
}

/// Slips of writing, with a clinical fault beside them, in lines that end as on Windows.
const SLIPS: &str = "springline 1\r\ncase \"SM-9901\"\r\nuse saltmarsh\r\nstart 2026-11-23\r\nupper {\r\n  \
                     bonded 15..25 with twin\r\n  tubes 16, 26 with molar\r\n  tooth 12 palatal 1,5 mm\r\n  \
                     tooth 22 palatal 0,5 mm\r\n  follow usual\r\n}\r\n";

#[test]
fn all_safe_ones_leave_the_plan_to_the_doctor() {
    let (folder, path) = practice(FAULTS);
    fs::write(&path, SLIPS).expect("written");
    let (out, told) = said(folder.path(), &["fix", "case.spring", "--all-safe"], 0);
    assert_eq!(told.matches("applied: ").count(), 2, "{told}");
    assert!(out.contains("gone: error"), "{out}");
    let text = fs::read_to_string(&path).expect("text");
    assert_eq!(text, SLIPS.replace("1,5", "1.5").replace("0,5", "0.5"));
    // The retainer that is missing changes the plan.
    let (out, _) = said(folder.path(), &["fix", "case.spring", "--all-safe"], 0);
    assert!(out.contains("no fix is offered that only changes"), "{out}");
    assert!(!names(folder.path()).is_empty(), "the retainer is still offered");
    assert_eq!(fs::read_to_string(&path).expect("text"), text);
}

#[test]
fn each_finding_is_asked_about() {
    let (folder, path) = practice(FAULTS);
    let before = fs::read_to_string(&path).expect("text");
    let asked = springline(folder.path(), &["fix", "case.spring", "--ask"])
        .write_stdin("q\n")
        .assert()
        .code(0);
    let out = String::from_utf8_lossy(&asked.get_output().stdout).into_owned();
    assert!(out.contains("s skips, q ends") && out.contains("0 fixes applied"), "{out}");
    assert_eq!(fs::read_to_string(&path).expect("text"), before);
    // A wrong answer is asked again; skipped findings are not; input that ends is an end.
    let asked = springline(folder.path(), &["fix", "case.spring", "--ask"])
        .write_stdin("99\n1\ns\n")
        .assert()
        .code(0);
    let out = String::from_utf8_lossy(&asked.get_output().stdout).into_owned();
    assert!(out.contains("Please type 1") && out.contains("1 fix applied, 1 skipped"), "{out}");
    assert_ne!(fs::read_to_string(&path).expect("text"), before);
}

#[test]
fn what_cannot_be_done_is_said() {
    let (folder, _) = practice(FAULTS);
    said(folder.path(), &["fix"], 2);
    said(folder.path(), &["fix", "no-such.spring"], 2);
    let (_, told) = said(folder.path(), &["fix", ".", "--ask"], 2);
    assert!(told.contains("one file at a time"), "{told}");
    let input =
        springline(folder.path(), &["fix", "-", "--all-safe"]).write_stdin(SLIPS).assert().code(2);
    let told = String::from_utf8_lossy(&input.get_output().stderr).into_owned();
    assert!(told.contains("cannot be written"), "{told}");
    // Shown, it is.
    let input = springline(folder.path(), &["fix", "-"]).write_stdin(SLIPS).assert().code(0);
    let out = String::from_utf8_lossy(&input.get_output().stdout).into_owned();
    assert!(out.contains("changes only how it is written"), "{out}");
}
