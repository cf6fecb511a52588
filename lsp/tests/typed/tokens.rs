//! The words, teeth, figures and dates of a plan: each is a place where a menu should know it.

/// What is wanted at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    Word,
    Unit,
    Tooth,
    Figure,
    Date,
}

impl Kind {
    pub fn is_word(self) -> bool {
        matches!(self, Kind::Word | Kind::Unit)
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wanted<'a> {
    pub at: usize,
    pub text: &'a str,
    pub kind: Kind,
}

const UNITS: [&str; 9] = ["mm", "in", "deg", "wk", "mo", "d", "h", "g", "oz"];

/// All of a plan, in order. The name that a step is given is its author's own and in no list.
pub fn wanted(plan: &str) -> Vec<Wanted<'_>> {
    let mut out: Vec<Wanted<'_>> = Vec::new();
    for line in plan.split_inclusive('\n') {
        let from = line.as_ptr() as usize - plan.as_ptr() as usize;
        of_line(line, from, &mut out);
    }
    out
}

fn of_line<'a>(line: &'a str, from: usize, out: &mut Vec<Wanted<'a>>) {
    let first = out.len();
    let mut at = 0;
    while let Some(c) = line[at..].chars().next() {
        let rest = &line[at..];
        if rest.starts_with("//") {
            break;
        } else if c == '"' {
            at += 2 + rest[1..].find('"').unwrap_or(rest.len() - 2);
        } else if c.is_ascii_alphanumeric() {
            let length = length(rest);
            let text = &rest[..length];
            let after_step = out[first..].last().is_some_and(|w| w.text == "step");
            if !after_step {
                out.push(Wanted { at: from + at, text, kind: kind(rest, length) });
            } else {
                // Stands for the name, so that what follows is not taken for it.
                out.push(Wanted { at: usize::MAX, text, kind: Kind::Word });
            }
            at += length;
        } else {
            at += c.len_utf8();
        }
    }
    let kept: Vec<Wanted<'a>> = out.drain(first..).filter(|w| w.at != usize::MAX).collect();
    out.extend(kept);
}

/// Words have hyphens, dates too, figures a point; two points part the ends of a stretch.
fn length(rest: &str) -> usize {
    let bytes = rest.as_bytes();
    let digits = bytes[0].is_ascii_digit();
    let mut end = 0;
    while let Some(b) = bytes.get(end) {
        let joins = match b {
            b'-' => true,
            b'.' => digits && bytes.get(end + 1).is_some_and(u8::is_ascii_digit),
            b => b.is_ascii_alphanumeric(),
        };
        if !joins {
            break;
        }
        end += 1;
    }
    end
}

fn kind(rest: &str, length: usize) -> Kind {
    let text = &rest[..length];
    if !text.starts_with(|c: char| c.is_ascii_digit()) {
        return if UNITS.contains(&text) { Kind::Unit } else { Kind::Word };
    }
    if text.contains('-') {
        return Kind::Date;
    }
    let follows = rest[length..].trim_start_matches('.');
    let follows = follows.trim_start_matches(|c: char| c.is_ascii_digit()).trim_start();
    let unit = follows.split(|c: char| !c.is_ascii_alphanumeric()).next().unwrap_or_default();
    let is_figure = UNITS.contains(&unit) || text.len() != 2 || text == "10";
    if is_figure { Kind::Figure } else { Kind::Tooth }
}

#[test]
fn every_word_of_a_line_is_a_place() {
    let text = "  tooth 12 palatal 2.5 mm // x\n  step a-1 as align, next 6..8 wk\nseen 2026-11-16 by KM {\n bonded 15..13 \"a b\"\n";
    let all: Vec<(&str, Kind)> = wanted(text).iter().map(|w| (w.text, w.kind)).collect();
    use Kind::*;
    let is = [
        ("tooth", Word),
        ("12", Tooth),
        ("palatal", Word),
        ("2.5", Figure),
        ("mm", Unit),
        ("step", Word),
        ("as", Word),
        ("align", Word),
        ("next", Word),
        ("6", Figure),
        ("8", Figure),
        ("wk", Unit),
        ("seen", Word),
        ("2026-11-16", Date),
        ("by", Word),
        ("KM", Word),
        ("bonded", Word),
        ("15", Tooth),
        ("13", Tooth),
    ];
    assert_eq!(all, is);
}
