//! Checks put away and taken out: never wrong, whatever happens to the folder they are in.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

const SPRINGLINE: &str = env!("CARGO_BIN_EXE_springline");
const HOUSE: &str = include_str!("../../examples/saltmarsh.spring");

/// A practice of ten small cases; the house is built on another one.
struct Practice(tempfile::TempDir);

fn case(n: u32) -> String {
    format!(
        "springline 1\ncase \"SM-{n:04}\"\nuse branch\nstart 2026-09-14\npatient adult\nupper {{\n  \
         bonded 15..25 with twin\n  tubes 16, 26 with molar\n  tooth 12 palatal {}.5 mm\n  \
         step align, wire niti-14, ends turned-in slack 2 mm, until passive, next 8 wk\n}}\n\
         retain {{\n  night-time upper\n}}\n",
        n % 3
    )
}

impl Practice {
    fn new() -> Practice {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("saltmarsh.spring"), HOUSE).unwrap();
        std::fs::write(
            folder.path().join("branch.spring"),
            "springline 1\nhouse \"Branch\"\nuse saltmarsh\n",
        )
        .unwrap();
        std::fs::create_dir(folder.path().join("cases")).unwrap();
        let practice = Practice(folder);
        for n in 0..10 {
            std::fs::write(practice.path(&format!("cases/{n}.spring")), case(n)).unwrap();
        }
        practice
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn spawn(&self, more: &[&str], today: &str) -> Child {
        let mut command = Command::new(SPRINGLINE);
        command.current_dir(self.0.path()).args(["check", "cases"]).args(more);
        if !more.contains(&"--format") {
            command.args(["--format", "json"]);
        }
        command.env("SPRINGLINE_TODAY", today).stdout(Stdio::piped()).stderr(Stdio::piped());
        command.spawn().unwrap()
    }

    fn check(&self, more: &[&str]) -> String {
        told(self.spawn(more, "2026-11-24"))
    }

    fn cached(&self) -> String {
        self.check(&["--cache", "put-away"])
    }

    fn fresh(&self) -> String {
        self.check(&["--no-cache"])
    }

    /// Every entry with its bytes and when it was written.
    fn entries(&self) -> BTreeMap<PathBuf, (Vec<u8>, std::time::SystemTime)> {
        let mut out = BTreeMap::new();
        for shard in std::fs::read_dir(self.path("put-away")).unwrap().flatten() {
            for entry in std::fs::read_dir(shard.path()).unwrap().flatten() {
                let written = entry.metadata().unwrap().modified().unwrap();
                out.insert(
                    entry.path(),
                    (std::fs::read(entry.path()).unwrap_or_default(), written),
                );
            }
        }
        out
    }
}

fn told(child: Child) -> String {
    let output = child.wait_with_output().unwrap();
    let error = String::from_utf8_lossy(&output.stderr);
    // The day that the test sets is told; nothing else is.
    let rest = error.lines().filter(|l| !l.contains("SPRINGLINE_TODAY")).count();
    assert!(output.status.code().is_some_and(|c| c < 2) && rest == 0, "{error}");
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn what_has_not_changed_is_taken_out_again() {
    let practice = Practice::new();
    let fresh = practice.fresh();
    assert!(fresh.contains("SM-0009"), "{fresh}");
    assert_eq!(practice.cached(), fresh);
    let entries = practice.entries();
    assert_eq!(entries.len(), 10);
    assert_eq!(practice.cached(), fresh);
    assert_eq!(practice.entries(), entries, "nothing was computed again");
    // Other renderings are made of the same entries.
    practice.check(&["--cache", "put-away", "--format", "sarif"]);
    assert_eq!(practice.entries(), entries);
    std::fs::remove_dir_all(practice.path("put-away")).unwrap();
    assert_eq!(practice.cached(), fresh);
}

#[test]
fn a_change_in_any_text_counts() {
    let practice = Practice::new();
    let first = practice.cached();
    // The house further up, the one between, a case, the name of a case, the day.
    let wire = HOUSE.replace("limit bench 60 g", "limit bench 6 g");
    assert_ne!(wire, HOUSE);
    std::fs::write(practice.path("saltmarsh.spring"), &wire).unwrap();
    let tighter = practice.cached();
    assert_eq!(tighter, practice.fresh());
    std::fs::write(practice.path("saltmarsh.spring"), HOUSE).unwrap();
    assert_eq!(practice.cached(), first);
    std::fs::write(practice.path("branch.spring"), "springline 1\nhouse \"Branch\"\n").unwrap();
    let alone = practice.cached();
    assert_ne!(alone, first, "a house without its wires");
    assert_eq!(alone, practice.fresh());
    std::fs::remove_file(practice.path("branch.spring")).unwrap();
    let gone = practice.cached();
    assert!(gone.contains("name/house-not-found"));
    assert_eq!(gone, practice.fresh());
    // One that is nearer is found first.
    std::fs::write(
        practice.path("cases/branch.spring"),
        "springline 1\nhouse \"Near\"\nuse saltmarsh\n",
    )
    .unwrap();
    assert_eq!(practice.cached(), practice.fresh());
    std::fs::write(practice.path("cases/3.spring"), case(3).replace("0.5 mm", "9 mm")).unwrap();
    std::fs::rename(practice.path("cases/4.spring"), practice.path("cases/four.spring")).unwrap();
    assert_eq!(practice.cached(), practice.fresh());
    let later = told(practice.spawn(&["--cache", "put-away"], "2027-03-01"));
    assert_eq!(later, told(practice.spawn(&["--no-cache"], "2027-03-01")));
}

#[test]
fn damaged_entries_are_computed_again() {
    let practice = Practice::new();
    let fresh = practice.cached();
    let good = practice.entries();
    let damage: [fn(&[u8]) -> Vec<u8>; 5] = [
        |b| b[..b.len() / 2].to_vec(),
        |_| Vec::new(),
        |b| b.iter().enumerate().map(|(i, x)| if i == 40 { x ^ 1 } else { *x }).collect(),
        |b| [b, b"more"].concat(),
        |_| vec![0xff; 5000],
    ];
    for harm in damage {
        for (path, (bytes, _)) in &good {
            std::fs::write(path, harm(bytes)).unwrap();
        }
        assert_eq!(practice.cached(), fresh);
        let mended = practice.entries();
        assert!(good.iter().all(|(path, (bytes, _))| mended[path].0 == *bytes), "mended");
    }
    // An entry under the name of another: its checksum is right, and it says who it is.
    let (first, second) = (good.keys().next().unwrap(), good.keys().nth(1).unwrap());
    std::fs::copy(second, first).unwrap();
    assert_eq!(practice.cached(), fresh);
    // Where an entry should be there is a folder.
    std::fs::remove_file(first).unwrap();
    std::fs::create_dir(first).unwrap();
    let output = practice.spawn(&["--cache", "put-away"], "2026-11-24").wait_with_output().unwrap();
    assert_eq!(String::from_utf8_lossy(&output.stdout), fresh);
    assert!(String::from_utf8_lossy(&output.stderr).contains("cannot be cached"));
}

#[test]
fn many_runs_may_share_a_folder() {
    let practice = Practice::new();
    let fresh = practice.fresh();
    for _ in 0..2 {
        let runs: Vec<Child> =
            (0..4).map(|_| practice.spawn(&["--cache", "put-away"], "2026-11-24")).collect();
        for run in runs {
            assert_eq!(told(run), fresh);
        }
    }
    let names: Vec<PathBuf> = practice.entries().into_keys().collect();
    assert_eq!(names.len(), 10, "{names:?}");
    // One that is killed leaves nothing that another would take for an entry.
    for wait in 0..6 {
        let _ = std::fs::remove_dir_all(practice.path("put-away"));
        let mut run = practice.spawn(&["--cache", "put-away"], "2026-11-24");
        std::thread::sleep(std::time::Duration::from_millis(40 * wait));
        let _ = run.kill();
        run.wait().unwrap();
        assert_eq!(practice.cached(), fresh);
    }
}

#[test]
fn the_folder_may_vanish_at_any_moment() {
    let practice = Practice::new();
    let fresh = practice.fresh();
    for _ in 0..3 {
        let mut run = practice.spawn(&["--cache", "put-away"], "2026-11-24");
        while run.try_wait().unwrap().is_none() {
            let _ = std::fs::remove_dir_all(practice.path("put-away"));
            std::thread::sleep(std::time::Duration::from_millis(3));
        }
        let output = run.wait_with_output().unwrap();
        assert_eq!(String::from_utf8_lossy(&output.stdout), fresh);
    }
}

/// Rows for engines that read tables: a line each, and the same table as CSV.
#[test]
fn rows_are_lines() {
    let practice = Practice::new();
    let lines = practice.check(&["--cache", "put-away", "--format", "jsonl", "--fail-on", "error"]);
    for line in lines.lines() {
        let row: serde_json::Value = serde_json::from_str(line).unwrap();
        assert_eq!(row["schema"], "springline.finding-row/1");
    }
    let steps = |format: &str| {
        let mut command = Command::new(SPRINGLINE);
        command.current_dir(practice.0.path()).args(["practice", "steps", ".", "--format", format]);
        command.args(["--cache", "put-away"]).env("SPRINGLINE_TODAY", "2026-11-24");
        command.stdout(Stdio::piped()).stderr(Stdio::piped());
        told(command.spawn().unwrap())
    };
    let rows = steps("jsonl");
    assert_eq!(rows.lines().count(), 10, "{rows}");
    let row: serde_json::Value = serde_json::from_str(rows.lines().next().unwrap()).unwrap();
    assert_eq!((&row["schema"], &row["step"]), (&"springline.step-row/1".into(), &"align".into()));
    assert!(row["peak_g"].as_f64().is_some_and(|g| g > 0.0));
    assert_eq!(steps("csv").lines().count(), 11);
    assert!(steps("human").contains("highest force"));
    assert!(Path::new(&practice.path("put-away")).is_dir());
}
