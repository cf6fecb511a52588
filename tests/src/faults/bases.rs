//! The sound texts that faults are put into: every case of `examples/cases/` as it stands, and once
//! more on its first day, with no visit recorded yet; and the house file.

use std::sync::Arc;

use jiff::civil::{Date, date};
use springline_lang::syntax;
use springline_lang::text::FileId;
use springline_test_support::{SALTMARSH, examples_in};

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

/// The house file that all of them use.
pub fn house() -> Arc<str> {
    SALTMARSH.into()
}

/// Every base, in order of name.
pub fn bases() -> Vec<Base> {
    let mut out = Vec::new();
    for (name, text) in examples_in("cases") {
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
