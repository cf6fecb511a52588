//! What the chair and the practice write through the program: visits, missed ones, what was learned.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command as Plain, Stdio};

use assert_cmd::Command;

const HOUSE: &str = include_str!("../../examples/saltmarsh.spring");
const CASE: &str = include_str!("../../examples/cases/sm-0392-mild-crowding.spring");

fn practice() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("folder");
    fs::write(folder.path().join("saltmarsh.spring"), HOUSE).expect("house");
    let case = folder.path().join("case.spring");
    fs::write(&case, CASE).expect("case");
    (folder, case)
}

fn springline(folder: &Path, args: &[&str]) -> Command {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("springline");
    command.current_dir(folder).args(args).env("SPRINGLINE_TODAY", "2026-11-25");
    command
}

fn said(folder: &Path, args: &[&str]) -> (String, String) {
    let assert = springline(folder, args).assert().success();
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (text(&assert.get_output().stdout), text(&assert.get_output().stderr))
}

fn year() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples/year")
}

/// The house and the recorded year, in a folder of their own, the house with comments of its own.
fn recorded_practice() -> (tempfile::TempDir, PathBuf, String) {
    let folder = tempfile::tempdir().expect("folder");
    for entry in fs::read_dir(year()).expect("examples").flatten() {
        fs::copy(entry.path(), folder.path().join(entry.file_name())).expect("copied");
    }
    let house = folder.path().join("saltmarsh.spring");
    let text = format!("{}\n// the last word is ours\n", HOUSE.trim_end());
    fs::write(&house, &text).expect("house");
    (folder, house, text)
}

#[test]
fn what_is_learned_is_written_once_and_nothing_else_changes() {
    let (folder, house, before) = recorded_practice();
    // A dry run shows the file as it would be and leaves it alone.
    let (shown, _) = said(folder.path(), &["learn", ".", "--write", "--dry-run"]);
    assert_eq!(fs::read_to_string(&house).expect("house"), before);
    assert!(shown.contains("learned 2026-11-25 {"), "{shown}");

    let (_, told) = said(folder.path(), &["learn", ".", "--write"]);
    assert!(told.contains("saltmarsh.spring") && told.contains("learned 2026-11-25"), "{told}");
    let after = fs::read_to_string(&house).expect("house");
    assert!(
        shown.ends_with(&after) || shown.contains(after.trim_end()),
        "a dry run shows the file"
    );
    // Take the block out again: what is left is what was there, comments and all.
    let start = after.find("learned 2026-11-25 {").expect("block");
    let end = start + after[start..].find('}').expect("end") + 1;
    let rest: String = format!("{}{}", &after[..start], &after[end..]);
    let words = |s: &str| s.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
    assert_eq!(words(&rest), words(&before));
    assert!(after.contains("// the last word is ours"));
    // The same again changes nothing, and no half-written file is left.
    said(folder.path(), &["learn", ".", "--write"]);
    assert_eq!(fs::read_to_string(&house).expect("house"), after);
    let all = fs::read_dir(folder.path()).expect("folder").flatten();
    assert!(all.map(|e| e.path()).all(|p| p.extension().is_some_and(|e| e == "spring")));
    // From then on the course is timed by it, and says so.
    let (course, _) = said(folder.path(), &["course", "sm-0201-lower-incisors.spring"]);
    assert!(course.contains("learned"), "{course}");
}

#[test]
fn too_few_cases_write_nothing() {
    let (folder, case) = practice();
    let house = folder.path().join("saltmarsh.spring");
    let name = case.to_string_lossy().into_owned();
    let output = springline(folder.path(), &["learn", &name, "--write"]).assert().code(1);
    let told = String::from_utf8_lossy(&output.get_output().stderr).into_owned();
    assert!(told.contains("Nothing was written"), "{told}");
    assert_eq!(fs::read_to_string(house).expect("house"), HOUSE);
}

#[test]
fn a_missed_visit_is_one_line_and_is_not_written_twice() {
    let (folder, case) = practice();
    let name = case.to_string_lossy().into_owned();
    let (shown, _) = said(folder.path(), &["seen", &name, "--missed", "--dry-run"]);
    assert!(shown.contains("missed 2026-11-25"));
    assert_eq!(fs::read_to_string(&case).expect("case"), CASE);
    said(folder.path(), &["seen", &name, "--missed"]);
    let after = fs::read_to_string(&case).expect("case");
    let without: Vec<&str> = after.lines().filter(|l| *l != "missed 2026-11-25").collect();
    assert_eq!(without, CASE.lines().collect::<Vec<_>>());
    springline(folder.path(), &["seen", &name, "--missed"]).assert().code(2);
    assert_eq!(fs::read_to_string(&case).expect("case"), after);
}

/// The program at a terminal of its own, by `script`; `None` where that is not installed.
fn at_a_terminal(folder: &Path, args: &str, typed: &str) -> Option<String> {
    use std::io::Write as _;
    let program = assert_cmd::cargo::cargo_bin!("springline");
    let mut child = Plain::new("script")
        .args(["-qec", &format!("'{}' {args}", program.display()), "/dev/null"])
        .current_dir(folder)
        .env("SPRINGLINE_TODAY", "2026-11-25")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .ok()?;
    child.stdin.take()?.write_all(typed.as_bytes()).ok()?;
    let output = child.wait_with_output().ok()?;
    Some(String::from_utf8_lossy(&output.stdout).into_owned())
}

/// Skips, and says so, where there is no `script`; CI demands it.
fn terminal_or_skip(folder: &Path, args: &str, typed: &str) -> Option<String> {
    let said = at_a_terminal(folder, args, typed);
    if said.is_none() {
        assert!(std::env::var_os("SPRINGLINE_DEMAND_TOOLS").is_none(), "`script` is not installed");
        eprintln!("skipped: `script` is not installed");
    }
    said
}

#[test]
fn an_emergency_is_asked_nothing_of_the_wire() {
    for (args, typed) in [
        ("seen case.spring --as emergency", "MT\nbracket of 12 off, back on\n"),
        ("seen case.spring", "MT\ne\nbracket of 12 off, back on\n"),
    ] {
        let (folder, case) = practice();
        let Some(asked) = terminal_or_skip(folder.path(), args, typed) else { return };
        assert!(!asked.contains("passive"), "{asked}");
        let text = fs::read_to_string(&case).expect("case");
        assert!(text.contains("seen 2026-11-25 by MT as emergency {"), "{asked}\n{text}");
        assert!(text.contains("note \"bracket of 12 off, back on\""), "{text}");
    }
}

#[test]
fn a_booked_visit_is_asked_what_its_step_needs() {
    let (folder, case) = practice();
    let Some(asked) = terminal_or_skip(folder.path(), "seen case.spring", "MT\n\n1\n1\n\n\n\n\n")
    else {
        return;
    };
    assert!(asked.contains("Upper: is") && asked.contains("passive"), "{asked}");
    // No elastics are worn in this step, so nothing is asked of them.
    assert!(!asked.contains("Elastics"), "{asked}");
    assert!(fs::read_to_string(&case).expect("case").contains("seen 2026-11-25 by MT"), "{asked}");
}

/// A file that has nothing to do with it is named and passed over.
#[test]
fn an_unreadable_stranger_stops_neither_chart_nor_learn() {
    let (folder, _) = practice();
    fs::write(folder.path().join("stranger.spring"), b"house \"\xff\"").expect("stranger");
    let (out, told) = said(folder.path(), &["chart", "niti-14", "--format", "csv"]);
    assert!(out.lines().count() > 2, "{out}");
    assert!(told.contains("skipped") && told.contains("stranger.spring"), "{told}");

    let (folder, ..) = recorded_practice();
    fs::write(folder.path().join("stranger.spring"), b"\xff").expect("stranger");
    let (out, told) = said(folder.path(), &["learn", "."]);
    assert!(out.contains("case"), "{out}");
    assert!(told.contains("stranger.spring"), "{told}");
}
