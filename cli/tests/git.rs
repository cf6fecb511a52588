//! What a folder of plans under git has: the hook, the diff driver and the commands of the sample job, each
//! used in a real repository.

use std::path::Path;
use std::process::{Command, Output};

const PROJECT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/..");

/// The program under test is the first `springline` on the path.
fn path_with_springline() -> std::ffi::OsString {
    let mine = Path::new(env!("CARGO_BIN_EXE_springline")).parent().unwrap().to_path_buf();
    let theirs = std::env::var_os("PATH").unwrap_or_default();
    std::env::join_paths(std::iter::once(mine).chain(std::env::split_paths(&theirs))).unwrap()
}

fn run(folder: &Path, program: &str, args: &[&str]) -> Output {
    Command::new(program)
        .args(args)
        .current_dir(folder)
        .env("SPRINGLINE", env!("CARGO_BIN_EXE_springline"))
        .env("SPRINGLINE_TODAY", "2026-11-24")
        .env("PATH", path_with_springline())
        .output()
        .unwrap_or_else(|e| panic!("{program}: {e}"))
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&[&output.stdout[..], &output.stderr[..]].concat()).into_owned()
}

const CASE: &str = "cases/a b.spring";

/// A repository with a case and its house, committed.
fn repository() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    let read = |name: &str| std::fs::read_to_string(format!("{PROJECT}/{name}")).unwrap();
    git(here, &["init", "-q"]);
    git(here, &["config", "user.email", "desk@saltmarsh.example"]);
    git(here, &["config", "user.name", "desk"]);
    std::fs::create_dir(here.join("cases")).unwrap();
    let text = read("examples/cases/sm-0392-mild-crowding.spring");
    std::fs::write(here.join("saltmarsh.spring"), read("examples/saltmarsh.spring")).unwrap();
    std::fs::write(here.join(CASE), &text).unwrap();
    git(here, &["add", "."]);
    git(here, &["commit", "-q", "-m", "first"]);
    (folder, text)
}

/// What a command of git said; it succeeds.
fn git(folder: &Path, args: &[&str]) -> String {
    let output = run(folder, "git", args);
    assert!(output.status.success(), "{args:?}: {}", said(&output));
    said(&output)
}

#[test]
fn what_is_staged_is_judged_before_it_is_committed() {
    let (folder, text) = repository();
    let here = folder.path();
    let case = here.join(CASE);
    let hook = format!("{PROJECT}/editors/git/pre-commit.sh");
    std::fs::copy(hook, here.join(".git/hooks/pre-commit")).unwrap();

    // A mistake that is staged stops the commit, even when the folder's file is sound again.
    std::fs::write(&case, text.replace("follow usual", "folow usual")).unwrap();
    git(here, &["add", "."]);
    std::fs::write(&case, &text).unwrap();
    let refused = run(here, "git", &["commit", "-q", "-m", "second"]);
    assert!(!refused.status.success() && said(&refused).contains("folow"), "{}", said(&refused));

    // One that is not staged does not.
    std::fs::write(&case, format!("{text}note \"asked again\"\n")).unwrap();
    git(here, &["add", "."]);
    std::fs::write(&case, text.replace("follow usual", "folow usual")).unwrap();
    git(here, &["commit", "-q", "-m", "third"]);
}

#[test]
fn changes_are_told_in_clinical_terms() {
    let (folder, text) = repository();
    let here = folder.path();
    git(here, &["config", "diff.springline.command", "springline diff"]);
    std::fs::write(here.join(".gitattributes"), "*.spring diff=springline\n").unwrap();
    let changed = text.replace("palatal 1 mm", "palatal 1.5 mm");
    assert_ne!(changed, text);
    std::fs::write(here.join(CASE), changed).unwrap();
    // Git hands the driver a copy in a folder of its own; the house is found all the same.
    let told = git(here, &["--no-pager", "diff"]);
    for part in
        ["Upper, tooth 12", "- position: 1 mm palatal", "+ position: 1.5 mm palatal", "Forces"]
    {
        assert!(told.contains(part), "{part}: {told}");
    }
    // A file that is new, one that is gone, and one that is no case are no trouble to git.
    std::fs::remove_file(here.join(CASE)).unwrap();
    std::fs::write(here.join("cases/new.spring"), &text).unwrap();
    std::fs::write(here.join("saltmarsh.spring"), "springline 1\nhouse \"Saltmarsh\"\n").unwrap();
    git(here, &["add", "-A"]);
    let told = git(here, &["--no-pager", "diff", "--cached", "--no-renames"]);
    assert!(told.contains("new plan") && told.contains("plan deleted"), "{told}");
}

#[test]
fn the_commands_of_the_sample_job_do_what_they_say() {
    let (folder, text) = repository();
    let here = folder.path();
    let job = std::fs::read_to_string(format!("{PROJECT}/editors/git/ci.yml")).unwrap();
    let commands: Vec<&str> =
        job.lines().filter_map(|l| l.trim().strip_prefix("- run: springline")).collect();
    assert!(commands.len() >= 4, "{job}");
    let passes = || -> Vec<bool> {
        let shell = |c: &&str| run(here, "sh", &["-c", &format!("springline{c}")]).status.success();
        commands.iter().map(shell).collect()
    };
    assert!(passes().iter().all(|passed| *passed), "{commands:?}");
    let written = |name: &str| std::fs::read_to_string(here.join(name)).unwrap();
    assert!(written("findings.xml").starts_with("<?xml"));
    assert!(written("visits.csv").contains("SM-0392"));
    std::fs::write(here.join(CASE), text.replace("follow usual", "folow usual")).unwrap();
    assert!(!passes().iter().all(|passed| *passed), "a mistake stops the job");
    assert!(written("findings.xml").contains("folow"));
}
