//! Plans as they were first written for an invented practice by someone new to the language, and the same plans as they
//! should be: what is said of each now. Everything unsafe in the first must be found; of the second nothing is an error.

use springline_lang::finding::Severity;
use springline_lang::{CheckOptions, Checked, SourceText, check};
use springline_test_support::Practices;

const BROOK: &str = include_str!("data/first_plans/brook.spring");

fn plans(folder: &str) -> Vec<(String, String)> {
    let folder = format!("{}/tests/data/first_plans/{folder}", env!("CARGO_MANIFEST_DIR"));
    let read = |path: std::path::PathBuf| {
        let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
        (name, std::fs::read_to_string(path).expect("a plan"))
    };
    let mut out: Vec<_> = std::fs::read_dir(folder)
        .expect("a folder")
        .map(|e| read(e.expect("a file").path()))
        .collect();
    out.sort();
    assert!(out.len() >= 14);
    out
}

fn checked(text: &str) -> Checked {
    let options = CheckOptions { today: Some(jiff::civil::date(2026, 11, 30)) };
    check(
        &SourceText { name: "plan.spring".into(), text: text.into() },
        &Practices::any(BROOK),
        &options,
    )
}

fn said(name: &str, text: &str, checked: &Checked) -> String {
    let mut out = format!("{name}: {}\n", text.lines().nth(1).unwrap_or_default());
    for finding in &checked.findings {
        let line = text[..finding.place.span.start as usize].matches('\n').count() + 1;
        out.push_str(&format!(
            "  {} {} line {line}: {}\n",
            finding.severity, finding.code, finding.message
        ));
    }
    out
}

#[test]
fn as_they_were_written() {
    let all = plans("as_written");
    let each = all.iter().map(|(name, text)| said(name, text, &checked(text)));
    insta::assert_snapshot!("first_plans_as_written", each.collect::<String>());
}

#[test]
fn as_they_should_be() {
    let mut told = String::new();
    for (name, text) in plans("as_they_should_be") {
        let checked = checked(&text);
        let grave =
            |s| checked.findings.iter().filter(|f| f.severity == s && f.accepted.is_none()).count();
        assert_eq!(grave(Severity::Error), 0, "{}", said(&name, &text, &checked));
        assert!(grave(Severity::Warning) <= 2, "{}", said(&name, &text, &checked));
        told.push_str(&said(&name, &text, &checked));
    }
    insta::assert_snapshot!("first_plans_as_they_should_be", told);
}
