//! The hook for git, in a real repository: it judges what is staged, with the house beside it.

use std::path::Path;
use std::process::{Command, Output};

const PROJECT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/..");

fn run(folder: &Path, program: &str, args: &[&str]) -> Output {
    Command::new(program)
        .args(args)
        .current_dir(folder)
        .env("SPRINGLINE", env!("CARGO_BIN_EXE_springline"))
        .env("SPRINGLINE_TODAY", "2026-11-24")
        .output()
        .unwrap_or_else(|e| panic!("{program}: {e}"))
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&[&output.stdout[..], &output.stderr[..]].concat()).into_owned()
}

#[test]
fn what_is_staged_is_judged_before_it_is_committed() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    let read = |name: &str| std::fs::read_to_string(format!("{PROJECT}/{name}")).unwrap();
    let git = |args: &[&str]| {
        let output = run(here, "git", args);
        assert!(output.status.success(), "{args:?}: {}", said(&output));
    };
    git(&["init", "-q"]);
    git(&["config", "user.email", "desk@saltmarsh.example"]);
    git(&["config", "user.name", "desk"]);
    let hook = format!("{PROJECT}/editors/git/pre-commit.sh");
    std::fs::copy(hook, here.join(".git/hooks/pre-commit")).unwrap();
    std::fs::create_dir(here.join("cases")).unwrap();
    let case = here.join("cases/a b.spring");
    let text = read("examples/cases/sm-0392-mild-crowding.spring");
    std::fs::write(here.join("saltmarsh.spring"), read("examples/saltmarsh.spring")).unwrap();
    std::fs::write(&case, &text).unwrap();
    git(&["add", "."]);
    git(&["commit", "-q", "-m", "first"]);

    // A mistake that is staged stops the commit, even when the folder's file is sound again.
    std::fs::write(&case, text.replace("follow usual", "folow usual")).unwrap();
    git(&["add", "."]);
    std::fs::write(&case, &text).unwrap();
    let refused = run(here, "git", &["commit", "-q", "-m", "second"]);
    assert!(!refused.status.success() && said(&refused).contains("folow"), "{}", said(&refused));

    // One that is not staged does not.
    std::fs::write(&case, format!("{text}note \"asked again\"\n")).unwrap();
    git(&["add", "."]);
    std::fs::write(&case, text.replace("follow usual", "folow usual")).unwrap();
    git(&["commit", "-q", "-m", "third"]);
}
