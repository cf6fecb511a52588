//! The sound texts that faults are put into: every case of `examples/cases/` as it stands, and once
//! more on its first day, with no visit recorded yet; and the house file.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use jiff::civil::{Date, date};
use springline_lang::syntax;
use springline_lang::text::FileId;

/// The day up to which the visits of the examples are written.
pub const TODAY: Date = date(2026, 11, 24);

/// A sound text.
#[derive(Debug, Clone)]
pub struct Base {
    pub name: String,
    pub text: Arc<str>,
    pub today: Date,
    pub is_house: bool,
}

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples")
}

/// The house file that all of them use.
pub fn house() -> Arc<str> {
    fs::read_to_string(examples().join("saltmarsh.spring")).expect("the house file").into()
}

/// Every base, in order of name.
pub fn bases() -> Vec<Base> {
    let mut paths: Vec<PathBuf> = fs::read_dir(examples().join("cases"))
        .expect("the cases")
        .filter_map(|e| e.ok().map(|e| e.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "spring"))
        .collect();
    paths.sort();
    let mut out = Vec::new();
    for path in paths {
        let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let text = fs::read_to_string(&path).expect("a case");
        let first = first_day(&text);
        out.push(Base { name: name.clone(), text: text.into(), today: TODAY, is_house: false });
        if let Some((text, today)) = first {
            let name = format!("{name}, first day");
            out.push(Base { name, text: text.into(), today, is_house: false });
        }
    }
    out.push(Base { name: "saltmarsh".into(), text: house(), today: TODAY, is_house: true });
    out
}

/// The case without its visits, judged on the day it starts; `None` where it has none.
fn first_day(text: &str) -> Option<(String, Date)> {
    let parse = syntax::parse(FileId(0), text);
    let recorded: Vec<_> = parse
        .lines()
        .filter(|l| matches!(l.keyword(), Some("seen" | "missed")))
        .map(|l| l.whole_span())
        .collect();
    let start = parse.lines().find(|l| matches!(l.keyword(), Some("start" | "in-place")))?;
    let today: Date = start.text().split_whitespace().nth(1)?.parse().ok()?;
    if recorded.is_empty() {
        return None;
    }
    let mut out = String::new();
    let mut at = 0;
    for span in recorded {
        out.push_str(text.get(at..span.start as usize)?);
        at = span.end as usize + 1;
    }
    out.push_str(text.get(at..).unwrap_or_default());
    Some((out, today))
}
