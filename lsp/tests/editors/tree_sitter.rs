//! The tree-sitter grammar beside the parser: on every example and on careless edits of each.

use std::process::Command;

use serde_json::{Value, json};
use springline_lang::finding::Severity;
use springline_lang::syntax::parse;
use springline_lang::text::FileId;

use crate::session::{script, skip};
use crate::{mutants, project};

/// Faults that the grammar sees as the parser does. Of the others it knows nothing: it takes every word
/// and figure in any order after a keyword, so holes, units, directions, commas, two statements on a
/// line and whatever needs a meaning are left to the parser.
const SEEN: [&str; 10] = [
    "syntax/braces-alone",
    "syntax/braces-not-here",
    "syntax/edition-twice",
    "syntax/extra-brace",
    "syntax/no-braces",
    "syntax/no-opening",
    "syntax/open-text",
    "syntax/unclosed-brace",
    "syntax/unknown-statement",
    "syntax/wrong-block",
];

/// What the parser makes of a text: a fault that the grammar must see, any fault, and the blocks.
struct Parsed {
    seen: Vec<&'static str>,
    any: bool,
    /// `practice` or `case` comes first, as it should; the parser takes it anywhere, the grammar does not.
    opens: bool,
    blocks: Vec<Value>,
}

fn parsed(text: &str) -> Parsed {
    let parse = parse(FileId(0), text);
    let line = |at: u32| text[..at as usize].matches('\n').count();
    let blocks = parse.all_lines().filter_map(|statement| {
        let close = statement.block()?.close;
        let word = statement.text().split_whitespace().next()?;
        Some(json!([word, line(statement.span().start), line(close.start)]))
    });
    let errors: Vec<String> = parse
        .findings
        .iter()
        .filter(|f| f.severity == Severity::Error)
        .map(|f| f.code.to_string())
        .collect();
    let mut words = parse.lines().filter_map(|line| line.keyword());
    let opens = words.find(|w| *w != "springline").is_some_and(|w| w == "practice" || w == "case");
    Parsed {
        opens,
        seen: SEEN.into_iter().filter(|code| errors.iter().any(|e| e == code)).collect(),
        any: !parse.findings.is_empty(),
        blocks: blocks.collect(),
    }
}

/// Every plan among the examples, sound ones first.
fn examples() -> Vec<(String, String)> {
    let mut out = Vec::new();
    for folder in ["examples", "examples/cases", "examples/year", "examples/unsafe"] {
        for entry in std::fs::read_dir(project().join(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|e| e == "spring") {
                let name = path.file_name().unwrap().to_string_lossy().into_owned();
                out.push((name, std::fs::read_to_string(path).unwrap()));
            }
        }
    }
    assert!(out.len() > 40);
    out
}

/// What the grammar makes of texts; `None` where it cannot be asked.
fn trees(texts: &[String]) -> Option<Vec<Value>> {
    let python = std::env::var("SPRINGLINE_TREE_SITTER").unwrap_or("python3".to_owned());
    let knows = Command::new(&python).args(["-c", "import tree_sitter"]).output();
    if !knows.is_ok_and(|o| o.status.success()) {
        skip("the Python package tree-sitter");
        return None;
    }
    let folder = tempfile::tempdir().unwrap();
    let source = project().join("editors/tree-sitter/src");
    let library = folder.path().join("springline.so");
    let built = Command::new("cc")
        .args(["-shared", "-fPIC", "-O1", "-I"])
        .args([&source, &source.join("parser.c")])
        .arg("-o")
        .arg(&library)
        .status();
    assert!(built.is_ok_and(|s| s.success()), "the parser in C does not build");
    let input = folder.path().join("texts.json");
    std::fs::write(&input, serde_json::to_string(texts).unwrap()).unwrap();
    let output = Command::new(&python)
        .arg(script("trees.py"))
        .arg(&library)
        .stdin(std::fs::File::open(&input).unwrap())
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    Some(serde_json::from_slice(&output.stdout).unwrap_or_else(|e| panic!("{e}: {said}")))
}

#[test]
fn it_agrees_with_the_parser_on_every_example_and_on_mutants() {
    const MUTANTS: u64 = 40;
    let mut texts = Vec::new();
    for (name, text) in examples() {
        texts.push((name.clone(), text.clone()));
        for seed in 0..MUTANTS {
            texts.push((format!("{name}, mutant {seed}"), mutants::mutant(&text, seed)));
        }
    }
    let bare: Vec<String> = texts.iter().map(|(_, text)| text.clone()).collect();
    let Some(trees) = trees(&bare) else { return };
    let (mut both, mut neither, mut lenient, mut strict) = (0, 0, 0, 0);
    let mut wrong = Vec::new();
    for ((name, text), tree) in texts.iter().zip(&trees) {
        let parsed = parsed(text);
        let error = tree["error"] == true;
        match (error, parsed.any) {
            (true, true) => both += 1,
            (false, true) if parsed.seen.is_empty() => lenient += 1,
            (false, true) => wrong.push(format!("{name}: unseen {:?}", parsed.seen)),
            (true, false) if !parsed.opens => strict += 1,
            (true, false) => wrong.push(format!("{name}: an error where there is none")),
            (false, false) => neither += 1,
        }
        if !error && !parsed.any && tree["blocks"] != json!(parsed.blocks) {
            wrong.push(format!("{name}: {} but {:?}", tree["blocks"], parsed.blocks));
        }
    }
    println!(
        "an error in both {both}, in neither {neither}, in the parser only {lenient}, in the grammar only {strict}"
    );
    assert!(wrong.is_empty(), "{} of {}:\n{}", wrong.len(), texts.len(), wrong.join("\n"));
    assert!(both > 200 && neither > 100);
}
