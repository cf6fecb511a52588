//! Printing through the real program: HTML and PDF say the same, pages can be held against the plan,
//! and while an error stands nothing but the hold card comes out.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command as Tool;

use assert_cmd::Command;

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples")
}

fn springline(args: &[&str]) -> Command {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("springline");
    command.current_dir(examples()).args(args).env("SPRINGLINE_TODAY", "2026-11-25");
    command
}

fn stdout(command: &mut Command, code: i32) -> String {
    let assert = command.assert().code(code);
    String::from_utf8(assert.get_output().stdout.clone()).expect("UTF-8")
}

const CASE: &str = "cases/sm-0417-lateral-blocked-out.spring";
const FAULTY: &str = "unsafe/engaged-without-space.spring";

/// Words only: how they are broken into lines is the page's business.
fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A tool of the machine's own, or `None` with a word about it.
fn tool(name: &str, args: &[&str]) -> Option<String> {
    match Tool::new(name).args(args).output() {
        Ok(out) if out.status.success() => Some(String::from_utf8_lossy(&out.stdout).into_owned()),
        Ok(out) => panic!("{name} {args:?}: {}", String::from_utf8_lossy(&out.stderr)),
        Err(_) if std::env::var_os("SPRINGLINE_DEMAND_TOOLS").is_some() => {
            panic!("{name} is missing")
        }
        Err(_) => {
            eprintln!("skipped: {name} is not installed");
            None
        }
    }
}

#[test]
fn a_page_can_be_held_against_the_plan() {
    let folder = tempfile::tempdir().expect("a folder");
    let to = folder.path().display().to_string();
    stdout(&mut springline(&["print", CASE, "--to", &to]), 0);
    let page = fs::read_to_string(folder.path().join("sm-0417-lateral-blocked-out.html"))
        .expect("printed");
    let stamp = page.split("class=\"stamp\"").nth(1).expect("a stamp").to_owned();
    assert!(stamp.contains("printed 2026-11-25") && stamp.contains("springline 0."), "{stamp}");
    let from = page.find("class=\"stamp\"").expect("a stamp");
    let mark = |word: &str| {
        let at = from + page[from..].find(word).expect(word) + word.len();
        page[at..at + 12].to_owned()
    };
    let (plan, house) = (mark("plan "), mark("\u{b7} practice "));
    let told = stdout(&mut springline(&["verify-print", &plan, CASE, "--house", &house]), 0);
    assert!(told.contains("page matches the current plan"), "{told}");
    let told = stdout(&mut springline(&["verify-print", "0123456789ab", CASE]), 1);
    assert!(told.contains("do not use it"), "{told}");
    stdout(&mut springline(&["verify-print", "nonsense", CASE]), 2);
    let other =
        stdout(&mut springline(&["verify-print", &plan, CASE, "--house", "0123456789ab"]), 1);
    assert!(other.contains("practice file has changed"), "{other}");
}

#[test]
fn a_page_of_an_older_version_is_told_from_its_commit() {
    if tool("git", &["--version"]).is_none() {
        return;
    }
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path();
    let git = |args: &[&str]| {
        let name = ["-c", "user.name=x", "-c", "user.email=x@example.invalid"];
        let out = Tool::new("git").current_dir(here).args(name).args(args).output().expect("git");
        assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    };
    fs::copy(examples().join("saltmarsh.spring"), here.join("saltmarsh.spring")).expect("copied");
    let text = fs::read_to_string(examples().join(CASE)).expect("an example");
    let case = here.join("a.spring");
    fs::write(&case, &text).expect("written");
    git(&["init", "-q"]);
    git(&["add", "."]);
    git(&["commit", "-q", "-m", "plan"]);
    let plan = blake3::hash(text.as_bytes()).to_hex()[..12].to_owned();
    fs::write(&case, format!("{text}\n// later\n")).expect("written");
    let told = stdout(&mut springline(&["verify-print", &plan, case.to_str().expect("a path")]), 1);
    assert!(told.contains("is from commit"), "{told}");
}

#[test]
fn while_an_error_stands_only_the_hold_card_is_printed() {
    let folder = tempfile::tempdir().expect("a folder");
    let to = folder.path().display().to_string();
    for format in ["html", "pdf"] {
        let told = stdout(&mut springline(&["print", FAULTY, "--to", &to, "--format", format]), 1);
        assert!(told.contains("HOLD card only"), "{told}");
    }
    let page =
        fs::read_to_string(folder.path().join("engaged-without-space.html")).expect("printed");
    assert!(page.contains("Do not change a wire today") && !page.contains("Set up"));
    let case = folder.path().join("broken.spring");
    fs::write(&case, "springline 1\ncase \"B-1\"\nuse nowhere\n").expect("written");
    stdout(&mut springline(&["print", case.to_str().expect("a path"), "--to", &to]), 1);
    let page =
        fs::read_to_string(folder.path().join("broken.html")).expect("a hold card all the same");
    assert!(page.contains("HOLD"), "{page}");
}

#[cfg(feature = "pdf")]
#[test]
fn the_pdf_says_what_the_html_says() {
    let folder = tempfile::tempdir().expect("a folder");
    let to = folder.path().display().to_string();
    stdout(&mut springline(&["print", CASE, "--to", &to]), 0);
    for paper in ["a4", "letter"] {
        let began = std::time::Instant::now();
        let told = stdout(
            &mut springline(&["print", CASE, "--to", &to, "--format", "pdf", "--paper", paper]),
            0,
        );
        eprintln!("{paper}: {told} {:?}", began.elapsed());
        let path = folder.path().join("sm-0417-lateral-blocked-out.pdf");
        let bytes = fs::read(&path).expect("printed");
        assert!(bytes.starts_with(b"%PDF-1."));
        let path = path.to_str().expect("a path");
        let Some(text) = tool("pdftotext", &["-raw", path, "-"]) else { return };
        let html = fs::read_to_string(folder.path().join("sm-0417-lateral-blocked-out.html"))
            .expect("printed");
        let pages = html.matches("<section class=\"page").count();
        let info = tool("pdfinfo", &[path]).expect("comes with pdftotext");
        let sheets = info.lines().find_map(|l| l.strip_prefix("Pages:")).expect("a count");
        let sheets: usize = sheets.trim().parse().expect("a number");
        // A visit with much to say goes on overleaf.
        assert!((pages..=pages * 3 / 2).contains(&sheets), "{pages} pages: {info}");
        assert!(info.contains("Tagged:          yes"), "{info}");
        let size =
            if paper == "a4" { "595.276 x 841.89 pts (A4)" } else { "612 x 792 pts (letter)" };
        assert!(info.contains(size), "{info}");
        let fonts = tool("pdffonts", &[path]).expect("comes with pdftotext");
        for line in fonts.lines().skip(2) {
            let columns: Vec<&str> = line.split_whitespace().collect();
            // name, type (two words), encoding, emb, sub, uni, object id
            assert_eq!(
                &columns[columns.len() - 5..columns.len() - 2],
                ["yes", "yes", "yes"],
                "{line}"
            );
        }
        // Every paragraph of the page, in words; only headings are set in capitals.
        let text = words(&text).to_lowercase();
        let mut missing = Vec::new();
        for part in html.split("<p>").skip(1) {
            let part = part.split("</p>").next().unwrap_or_default();
            if part.contains('<') || part.contains('&') {
                continue;
            }
            let part = words(part).to_lowercase();
            if !text.contains(&part) {
                missing.push(part);
            }
        }
        assert!(missing.is_empty(), "{missing:#?}\n\n{text}");
    }
}

#[test]
fn a_practice_brings_its_own_language() {
    let folder = tempfile::tempdir().expect("a folder");
    let to = folder.path().display().to_string();
    let words = folder.path().join("de.words");
    fs::write(
        &words,
        "language = de\nname = Deutsch\ndirection = ltr\nsheet.title = Ihre Zahnspange\n",
    )
    .expect("written");
    let path = words.to_str().expect("a path");
    let mut command = springline(&["print", CASE, "--to", &to, "--words", path]);
    let assert = command.assert().code(0);
    let told = String::from_utf8_lossy(&assert.get_output().stderr).into_owned();
    assert!(told.contains("stay in English"), "{told}");
    let page = fs::read_to_string(folder.path().join("sm-0417-lateral-blocked-out.html"))
        .expect("printed");
    assert!(page.contains("lang=\"de\"") && page.contains("Ihre Zahnspange"));
    fs::write(&words, "language de\n").expect("written");
    stdout(&mut springline(&["print", CASE, "--to", &to, "--words", path]), 2);
}
