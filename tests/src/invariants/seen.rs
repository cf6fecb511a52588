//! Recording a visit adds it or refuses; nothing that was written is lost.

use jiff::civil::date;
use springline_lang::record;
use springline_lang::record::VisitEntry;
use springline_lang::syntax;
use springline_lang::text::FileId;

use super::Draw;
use super::text::text;

const LINES: [&str; 12] = [
    "upper passive, kept",
    "lower binds at 33, kept",
    "upper passive, now level with niti-14x25",
    "tooth 12 space 4.5 mm",
    "overjet 3 mm",
    "done as-planned",
    "hygiene poor",
    "loose 22",
    "}",
    "note \"a } brace { in a text\"",
    "upper {",
    "// nothing",
];

pub fn seen(bytes: &[u8]) {
    let mut draw = Draw::new(bytes);
    let day = date(2026, 1 + (draw.byte() % 12) as i8, 1 + (draw.byte() % 28) as i8);
    let lines = (0..1 + draw.below(4)).map(|_| draw.one(&LINES).to_owned()).collect();
    let by = (draw.byte().is_multiple_of(2)).then(|| "MT".to_owned());
    let entry = VisitEntry { on: day, by, kind: None, lines };
    let source = text(draw.rest());
    let Ok((recorded, span)) = record::add(&source, &entry) else { return };
    let before = syntax::parse(FileId(0), &source);
    let after = syntax::parse(FileId(0), &recorded);
    let visits = |p: &syntax::Parse| p.lines().filter(|l| l.keyword() == Some("seen")).count();
    assert_eq!(visits(&before) + 1, visits(&after), "{source}\n---\n{recorded}");
    assert!(recorded.get(span.range()).is_some_and(|t| t.contains(&day.to_string())));
    let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
    let kept = remove(&recorded, span.start as usize, span.end as usize);
    // Where the text was settled it stays settled: only blanks may differ.
    assert_eq!(words(&kept), words(&source), "{source}\n---\n{recorded}");
}

fn remove(text: &str, start: usize, end: usize) -> String {
    format!("{} {}", &text[..start], &text[end..])
}
