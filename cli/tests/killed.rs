//! Killed at any moment, and with two at one file: the old text or the new one, whole.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const SPRINGLINE: &str = env!("CARGO_BIN_EXE_springline");
const CASE: &str = include_str!("../../examples/cases/sm-0410-both-arches.spring");
const HOUSE: &str = include_str!("../../examples/saltmarsh.spring");

/// Kills of each command; the moments spread over the whole of its run.
const KILLS: u32 = 40;

fn folder() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("saltmarsh.spring"), HOUSE).unwrap();
    let case = folder.path().join("case.spring");
    (folder, case)
}

fn command(arguments: &[&str], case: &Path) -> Command {
    let mut command = Command::new(SPRINGLINE);
    command
        .args(arguments)
        .arg(case)
        .env("SPRINGLINE_TODAY", "2026-11-24")
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command
}

/// What a command makes of a text when it is let be, and how long it takes.
fn undisturbed(arguments: &[&str], before: &str) -> (String, Duration) {
    let (_folder, case) = folder();
    std::fs::write(&case, before).unwrap();
    let begun = Instant::now();
    let status = command(arguments, &case).status().unwrap();
    assert!(status.success(), "{arguments:?}");
    (std::fs::read_to_string(&case).unwrap(), begun.elapsed())
}

fn killed(arguments: &[&str], before: &str) {
    let (after, time) = undisturbed(arguments, before);
    assert_ne!(before, after);
    let (folder, case) = folder();
    let (mut old, mut new) = (0, 0);
    for n in 0..KILLS {
        std::fs::write(&case, before).unwrap();
        let mut child = command(arguments, &case).spawn().unwrap();
        std::thread::sleep(time * n / KILLS * 11 / 10);
        let _ = child.kill();
        child.wait().unwrap();
        match std::fs::read_to_string(&case).unwrap() {
            text if text == before => old += 1,
            text if text == after => new += 1,
            text => panic!("half a file after kill {n}:\n{text}"),
        }
        let plans = std::fs::read_dir(folder.path()).unwrap().flatten();
        let plans = plans.filter(|e| e.path().extension().is_some_and(|e| e == "spring")).count();
        assert_eq!(plans, 2, "what is left over must not be taken for a plan");
    }
    println!("{arguments:?}: {KILLS} kills, {old} left the old file, {new} the new one");
}

const VISIT: [&str; 6] =
    ["seen", "--date=2026-11-23", "--by=MT", "--upper=kept", "--lower=kept", "--line=overjet 3 mm"];

#[test]
fn recording_is_whole_or_not_at_all() {
    killed(&VISIT, CASE);
}

#[test]
fn laying_out_is_whole_or_not_at_all() {
    killed(&["fmt"], &CASE.replace("  ", " "));
}

/// Two at one case: each visit is in the file, or its command has failed and said so.
#[test]
fn two_at_one_case_lose_nothing() {
    for _ in 0..5 {
        let (_folder, case) = folder();
        std::fs::write(&case, CASE).unwrap();
        let days = ["2026-11-17", "2026-11-19", "2026-11-23"];
        let children = days.map(|day| {
            let date = format!("--date={day}");
            let child = command(&["seen", &date, "--by=MT", "--upper=kept", "--lower=kept"], &case);
            (day, { child }.spawn().unwrap())
        });
        let done = children.map(|(day, mut child)| (day, child.wait().unwrap().success()));
        let text = std::fs::read_to_string(&case).unwrap();
        for (day, recorded) in done {
            assert_eq!(text.contains(&format!("seen {day}")), recorded, "{day}\n{text}");
        }
        assert!(done.iter().any(|(_, recorded)| *recorded));
    }
}

/// A link is followed: what it points to is written, and it stays a link.
#[cfg(unix)]
#[test]
fn a_link_stays_a_link() {
    let (folder, case) = folder();
    let real = folder.path().join("real.txt");
    std::fs::write(&real, CASE).unwrap();
    std::os::unix::fs::symlink(&real, &case).unwrap();
    assert!(command(&VISIT, &case).status().unwrap().success());
    assert!(std::fs::symlink_metadata(&case).unwrap().is_symlink());
    assert!(std::fs::read_to_string(&real).unwrap().contains("seen 2026-11-23"));
}

/// A full disk: the old text stays, and the reason is told.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_old_file() {
    let place = Path::new("/dev/full");
    if !place.exists() {
        return;
    }
    // A write to this device is refused for want of space; the file system itself cannot be filled here.
    let output = Command::new(SPRINGLINE)
        .args(["explain", "passive"])
        .stdout(std::fs::OpenOptions::new().write(true).open(place).unwrap())
        .output()
        .unwrap();
    assert!(!String::from_utf8_lossy(&output.stderr).contains("panicked"));
}
