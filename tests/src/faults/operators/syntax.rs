//! Text that does not read.

use fastrand::Rng;
use springline_lang::syntax::{Context, PlaceholderKind};
use springline_lang::text::Span;

use super::one;
use crate::faults::sound_case::SoundCase;
use crate::faults::{Mutant, Operator};

pub const OPERATORS: &[Operator] = &[
    Operator {
        name: "keyword misspelt",
        families: &["syntax"],
        criterion: "the word that begins a statement has a letter left out or two exchanged",
        place: "the changed line, and the line that opens the block it closes",
        make: keyword,
        known: "",
    },
    Operator {
        name: "brace lost",
        families: &["syntax", "name"],
        criterion: "a closing brace is gone",
        place: "the line of the brace that it closed, and the lines that now stand inside",
        make: brace,
        known: "",
    },
    Operator {
        name: "quote lost",
        families: &["syntax"],
        criterion: "a text has no closing quote",
        place: "the changed line and the next, which it may swallow",
        make: quote,
        known: "",
    },
    Operator {
        name: "range with a hyphen",
        families: &["syntax", "unit"],
        criterion: "a range is written with a hyphen, which may be a minus",
        place: "the changed line",
        make: hyphen,
        known: "",
    },
    Operator {
        name: "date the other way round",
        families: &["syntax", "unit"],
        criterion: "a date is written day first or month first, which can be read two ways",
        place: "the changed line",
        make: date,
        known: "",
    },
    Operator {
        name: "direction left out",
        families: &["syntax"],
        criterion: "a rotation, a midline or a stop says no direction",
        place: "the changed line",
        make: direction,
        known: "",
    },
];

fn keyword(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for line in g.lines().filter(|l| l.is_read() && l.context() != Some(Context::File)) {
        let Some(item) = line.items().first() else { continue };
        let chars: Vec<char> = g.checked.parse.text(item.span).chars().collect();
        if chars.len() < 4 {
            continue;
        }
        let at = rng.usize(1..chars.len() - 1);
        let mut word = chars.clone();
        if rng.bool() && word[at] != word[at + 1] && word[at] != '-' && word[at + 1] != '-' {
            word.swap(at, at + 1);
        } else if word[at] != '-' && word[at] != word[at + 1] {
            word.remove(at);
        } else {
            continue;
        }
        let word: String = word.into_iter().collect();
        let parent = line.parent().map(|p| p.span());
        out.extend(g.replace(item.span, &word, &parent.into_iter().collect::<Vec<_>>()));
    }
    out
}

fn brace(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for line in g.lines() {
        let Some(block) = line.block() else { continue };
        let rest = Span::new(line.span().start as usize, g.text().len());
        let head =
            format!("the brace of `{}` is gone", line.text().lines().next().unwrap_or_default());
        let edits = vec![crate::faults::edit::put(block.close, "")];
        out.extend(g.mutant(head, Some(edits), &[rest]));
    }
    out
}

fn quote(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for line in g.lines().filter(|l| l.is_read()) {
        for text in line.holes(PlaceholderKind::Text) {
            let end = text.span().end as usize;
            let next = Span::new(end, (end + 2).min(g.text().len()));
            out.extend(g.replace(Span::new(end - 1, end), "", &[next]));
        }
    }
    out
}

fn hyphen(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for line in g.lines().filter(|l| l.is_read()) {
        for item in line.items().iter().filter(|i| i.measure().is_some_and(|m| m.second.is_some()))
        {
            let text = g.checked.parse.text(item.span);
            if text.contains("..") {
                out.extend(g.replace(item.span, &text.replace("..", "-"), &[]));
            }
        }
    }
    out
}

fn date(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for line in g.lines().filter(|l| l.is_read()) {
        for hole in line.holes(PlaceholderKind::Date) {
            let text = hole.text();
            let parts: Vec<&str> = text.split('-').collect();
            let [y, m, d] = parts.as_slice() else { continue };
            let by = one(rng, &[0, 1, 2]);
            let by = match by {
                0 => format!("{d}/{m}/{y}"),
                1 => format!("{m}/{d}/{y}"),
                _ => format!("{d}.{m}.{y}"),
            };
            out.extend(g.replace(hole.span(), &by, &[]));
        }
    }
    out
}

fn direction(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    const WORDS: [&str; 6] = [
        " mesial-in",
        " mesial-out",
        "mesial of ",
        "distal of ",
        " to patient-right",
        " to patient-left",
    ];
    let mut out = Vec::new();
    for line in g.lines().filter(|l| l.is_read() && l.keyword() != Some("post")) {
        let text = line.text();
        for word in WORDS {
            if let Some(at) = text.find(word) {
                let start = line.span().start as usize + at;
                out.extend(g.replace(Span::new(start, start + word.len()), "", &[]));
            }
        }
    }
    out
}
