//! Killed at any moment, and with two at one file: every file is the old one or the new one, whole.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const SPRINGLINE: &str = env!("CARGO_BIN_EXE_springline");
const CASE: &str = include_str!("../../examples/cases/sm-0410-both-arches.spring");
const HOUSE: &str = include_str!("../../examples/saltmarsh.spring");

/// Kills of each command: half of them spread over the whole of its run, half while a file is being
/// written. `SPRINGLINE_KILLS` sets another number.
fn kills(usual: u32) -> u32 {
    std::env::var("SPRINGLINE_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(usual)
}

fn folder() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("saltmarsh.spring"), HOUSE).unwrap();
    let case = folder.path().join("case.spring");
    (folder, case)
}

fn command(arguments: &[&str], folder: &Path) -> Command {
    let mut command = Command::new(SPRINGLINE);
    command
        .args(arguments)
        .current_dir(folder)
        .env("SPRINGLINE_TODAY", "2026-11-24")
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command
}

/// Every file below a folder but those that are still being written.
fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut out = BTreeMap::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(inside) = folders.pop() {
        for entry in std::fs::read_dir(&inside).unwrap().flatten() {
            let path = entry.path();
            if path.is_dir() {
                folders.push(path);
            } else if !entry.file_name().to_string_lossy().starts_with(".springline-") {
                let bytes = std::fs::read(&path).unwrap();
                out.insert(path.strip_prefix(folder).unwrap().to_path_buf(), bytes);
            }
        }
    }
    out
}

/// A file is being written, or one has just been.
fn is_writing(folder: &Path, before: usize) -> bool {
    std::fs::read_dir(folder).is_ok_and(|all| {
        let names: Vec<_> = all.flatten().map(|e| e.file_name()).collect();
        names.len() != before
    })
}

/// Runs a command many times in a folder made anew, kills it, and holds every file against what it was
/// before and what it is when the command is let be. `writes` is where the files go, `moment` when.
fn killed(name: &str, usual: u32, make: impl Fn(&Path), arguments: &[&str], writes: &str) {
    let fresh = || {
        let folder = tempfile::tempdir().unwrap();
        make(folder.path());
        folder
    };
    let folder = fresh();
    let before = files(folder.path());
    let begun = Instant::now();
    let status = command(arguments, folder.path()).status().unwrap();
    let time = begun.elapsed();
    assert!(status.code().is_some_and(|c| c < 2), "{name}: {status}");
    let after = files(folder.path());
    assert_ne!(before, after, "{name} writes nothing");
    let (mut old, mut new, mut some) = (0, 0, 0);
    let kills = kills(usual);
    for n in 0..kills {
        let folder = fresh();
        let place = folder.path().join(writes);
        let entries = std::fs::read_dir(&place).map_or(0, Iterator::count);
        let mut child = command(arguments, folder.path()).spawn().unwrap();
        if n % 2 == 0 {
            std::thread::sleep(time * n / kills * 11 / 10);
        } else {
            while !is_writing(&place, entries) && child.try_wait().unwrap().is_none() {}
            std::thread::sleep(Duration::from_micros(u64::from(n) * 8));
        }
        let _ = child.kill();
        child.wait().unwrap();
        let now = files(folder.path());
        for (path, bytes) in &now {
            let whole = before.get(path) == Some(bytes) || after.get(path) == Some(bytes);
            assert!(whole, "{name}, kill {n}: {} is neither old nor new", path.display());
        }
        for path in before.keys() {
            assert!(now.contains_key(path), "{name}, kill {n}: {} is gone", path.display());
        }
        match () {
            () if now == before => old += 1,
            () if now == after => new += 1,
            () => some += 1,
        }
    }
    println!("{name}: {kills} kills: {old} left all old, {new} all new, {some} some of each");
}

const VISIT: [&str; 7] = [
    "seen",
    "--date=2026-11-23",
    "--by=MT",
    "--upper=kept",
    "--lower=kept",
    "--line=overjet 3 mm",
    "case.spring",
];

fn one_case(text: &str) -> impl Fn(&Path) {
    move |folder| {
        std::fs::write(folder.join("saltmarsh.spring"), HOUSE).unwrap();
        std::fs::write(folder.join("case.spring"), text).unwrap();
    }
}

#[test]
fn recording_is_whole_or_not_at_all() {
    killed("seen", 80, one_case(CASE), &VISIT, "");
}

#[test]
fn laying_out_is_whole_or_not_at_all() {
    killed("fmt", 80, one_case(&CASE.replace("  ", " ")), &["fmt", "case.spring"], "");
}

#[test]
fn printing_is_whole_or_not_at_all() {
    let make = |folder: &Path| {
        one_case(CASE)(folder);
        std::fs::create_dir(folder.join("out")).unwrap();
        std::fs::write(folder.join("out/case.html"), "an old card").unwrap();
    };
    killed("print", 40, make, &["print", "case.spring"], "out");
}

#[test]
fn learning_is_whole_or_not_at_all() {
    let year = Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples/year");
    let mut cases: Vec<PathBuf> =
        std::fs::read_dir(year).unwrap().flatten().map(|e| e.path()).collect();
    cases.sort();
    let make = |folder: &Path| {
        std::fs::write(folder.join("saltmarsh.spring"), HOUSE).unwrap();
        for case in cases.iter().take(6) {
            std::fs::copy(case, folder.join(case.file_name().unwrap())).unwrap();
        }
    };
    killed("learn --write", 20, make, &["learn", "--write", "."], "");
}

#[test]
fn an_invented_practice_is_of_whole_files() {
    let arguments = ["new", "--demo", "200", "--folder", "practice"];
    killed("new --demo", 40, |_| {}, &arguments, "practice/cases");
}

/// Two at one case: each visit is in the file, or its command has failed and said so.
#[test]
fn two_at_one_case_lose_nothing() {
    for _ in 0..5 {
        let (folder, case) = folder();
        std::fs::write(&case, CASE).unwrap();
        let days = ["2026-11-17", "2026-11-19", "2026-11-23"];
        let children = days.map(|day| {
            let date = format!("--date={day}");
            let arguments =
                ["seen", &date, "--by=MT", "--upper=kept", "--lower=kept", "case.spring"];
            (day, command(&arguments, folder.path()).spawn().unwrap())
        });
        let done = children.map(|(day, mut child)| (day, child.wait().unwrap().success()));
        let text = std::fs::read_to_string(&case).unwrap();
        for (day, recorded) in done {
            assert_eq!(text.contains(&format!("seen {day}")), recorded, "{day}\n{text}");
        }
        assert!(done.iter().any(|(_, recorded)| *recorded));
    }
}
