//! Something said a second time in one block. Only one of the two could count, and which one a reader
//! cannot tell: so it is told, whatever the program would make of it.

use std::collections::{HashMap, HashSet};

use super::stand::{axis, lead, parts};
use crate::finding::{Finding, Fix, FixKind, Place, Span};
use crate::model::Tooth;
use crate::syntax::item::ToothSpan;
use crate::syntax::pattern::Hole;
use crate::syntax::repeat::{Part, Repeat, repeat};
use crate::syntax::tree::{Captured, Group, Id, Line, Parse};

/// One thing that a statement is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum About<'a> {
    All,
    Tooth(Tooth),
    Between(Tooth, Tooth),
    Beside(&'static str, Tooth),
    Word(&'static str),
    Text(&'a str),
}

type Key<'a> = [About<'a>; 2];

/// Every second one of a file, each once.
pub fn check(parse: &Parse, findings: &mut Vec<Finding>) {
    let mut said: HashMap<(Option<Id>, &'static str, Key<'_>), Id> = HashMap::new();
    for line in parse.all_lines().filter(|line| line.is_read()) {
        let (Some(inside), Some(keyword)) = (line.context(), line.keyword()) else { continue };
        let parts: &[Part] = match repeat(inside, keyword) {
            Some(Repeat::Once) => &[],
            Some(Repeat::Per(parts)) => parts,
            Some(Repeat::Free | Repeat::Told) | None => continue,
        };
        let mut first = None;
        for key in keys(line, parts) {
            let place = (line.statement.parent, keyword, key);
            match said.get(&place) {
                Some(earlier) if *earlier != line.id => {
                    first.get_or_insert((*earlier, key));
                }
                _ => drop(said.insert(place, line.id)),
            }
        }
        if let Some((earlier, key)) = first
            && let Some(earlier) = parse.line(earlier)
        {
            findings.push(finding(earlier, line, keyword, key, parts));
        }
    }
}

fn finding(
    first: Line<'_>,
    second: Line<'_>,
    keyword: &str,
    key: Key<'_>,
    parts: &[Part],
) -> Finding {
    let about: Vec<String> = key.iter().filter_map(|a| a.words()).collect();
    let about = about.concat();
    let message = format!("`{keyword}`{about} is given twice.");
    let mut finding = said_twice(&message, second.place(), Some(first.place()));
    let teeth = key.iter().flat_map(|about| match about {
        About::Tooth(tooth) | About::Beside(_, tooth) => vec![*tooth],
        About::Between(a, b) => vec![*a, *b],
        _ => Vec::new(),
    });
    finding = finding.teeth(teeth);
    let (a, b): (HashSet<_>, HashSet<_>) =
        (keys(first, parts).into_iter().collect(), keys(second, parts).into_iter().collect());
    finding = fixes(finding, first, second, b.is_subset(&a), a.is_subset(&b));
    if finding.fixes.is_empty() {
        finding = finding.note("Keep one of the two lines.");
    }
    finding
}

/// The finding without its fixes: what is there for every way of saying something twice.
pub fn said_twice(message: &str, second: Place, first: Option<Place>) -> Finding {
    let finding = Finding::error("name/said-twice", second, message)
        .why("Only one of them could count, and a reader could not tell which.");
    match first {
        Some(first) => finding.related(first, "first given here"),
        None => finding,
    }
}

/// Takes out the one or the other, where nothing else goes with it.
pub fn fixes(
    mut finding: Finding,
    first: Line<'_>,
    second: Line<'_>,
    second_may_go: bool,
    first_may_go: bool,
) -> Finding {
    // A whole block is too much to lose by one choice from a menu.
    if first.block().is_some() || second.block().is_some() {
        return finding;
    }
    if first.text() == second.text() {
        return finding.fix(remove(second, "remove this line".to_owned(), FixKind::Safe));
    }
    let keep = |line: Line<'_>| format!("keep `{}`", line.text());
    if second_may_go {
        finding = finding.fix(remove(second, keep(first), FixKind::Clinical));
    }
    if first_may_go {
        finding = finding.fix(remove(first, keep(second), FixKind::Clinical));
    }
    finding
}

/// Takes a whole statement out, with its line end where it stands alone on its lines.
pub fn remove(line: Line<'_>, title: String, kind: FixKind) -> Fix {
    let source = &line.parse.source;
    let range = line.whole_span().range();
    let start = source[..range.start].rfind('\n').map_or(0, |i| i + 1);
    let start = if source[start..range.start].trim().is_empty() { start } else { range.start };
    let rest = &source[range.end..];
    let end = match rest.find('\n') {
        Some(i) if rest[..i].trim().is_empty() && source[..start].ends_with(['\n', '\r']) => {
            range.end + i + 1
        }
        _ => range.end,
    };
    Fix::replace(title, kind, line.parse.place(Span::new(start, end)), "")
}

impl About<'_> {
    fn words(&self) -> Option<String> {
        Some(match self {
            About::All => return None,
            About::Tooth(tooth) => format!(" of {tooth}"),
            About::Between(a, b) => format!(" between {a} and {b}"),
            About::Beside(side, tooth) => format!(" {side} of {tooth}"),
            About::Word(word) => format!(" {word}"),
            About::Text(text) => format!(" {text}"),
        })
    }
}

/// Everything that a statement is about.
fn keys<'a>(line: Line<'a>, parts: &[Part]) -> Vec<Key<'a>> {
    let list =
        |at: usize| parts.get(at).map_or_else(|| vec![About::All], |part| abouts(line, *part));
    let second = list(1);
    list(0).into_iter().flat_map(|a| second.iter().map(move |b| [a, *b])).collect()
}

fn abouts<'a>(line: Line<'a>, part: Part) -> Vec<About<'a>> {
    let group = line.group();
    let out: Vec<About<'a>> = match part {
        Part::Teeth(label) => {
            let hole = line.hole(label);
            hole.map(teeth).unwrap_or_default().into_iter().map(About::Tooth).collect()
        }
        Part::Between => line.groups("between").filter_map(between).collect(),
        Part::Contacts => {
            let ends = line.groups("between").filter_map(ends);
            ends.flat_map(|(a, b)| contacts(&a.stretch(b).unwrap_or_default())).collect()
        }
        Part::Run => match &line.hole("teeth").map(teeth).unwrap_or_default()[..] {
            [one] => vec![About::Tooth(*one)],
            many => contacts(many),
        },
        Part::Pairs => {
            let single: Vec<Tooth> = group.holes(Hole::Tooth).flat_map(teeth).collect();
            single.chunks_exact(2).map(|pair| unordered(pair[0], pair[1])).collect()
        }
        Part::Places => line.groups("place").filter_map(beside).collect(),
        Part::Axes => {
            let words = parts(group).into_iter().filter_map(lead);
            words.map(|w| About::Word(axis(w))).collect()
        }
        Part::Second => group.words().nth(1).map(About::Word).into_iter().collect(),
        Part::Word(words) => group.words().filter(|w| words.contains(w)).map(About::Word).collect(),
        Part::Name(label) => line.hole(label).map(|h| About::Text(h.text())).into_iter().collect(),
        Part::Date => line.hole("date").map(|h| About::Text(h.text())).into_iter().collect(),
        Part::Pulls => {
            line.groups("pull").map(|g| About::Text(line.parse.text(g.span()))).collect()
        }
        Part::Sides => line.groups("worn").flat_map(|g| both(g, "right", "left")).collect(),
        Part::Arches => both(group, "upper", "lower"),
    };
    if out.is_empty() { vec![About::All] } else { out }
}

/// The one that is said, or both where none is.
fn both(group: Group<'_>, one: &'static str, other: &'static str) -> Vec<About<'static>> {
    match (group.has(one), group.has(other)) {
        (true, false) => vec![About::Word(one)],
        (false, true) => vec![About::Word(other)],
        _ => vec![About::Word(one), About::Word(other)],
    }
}

fn teeth(hole: Captured<'_>) -> Vec<Tooth> {
    let parse = hole.line.parse;
    let tooth = |span: Span| Tooth::parse(parse.text(span));
    let stretch = |span: ToothSpan| match (tooth(span.first), span.last.and_then(tooth)) {
        (Some(first), Some(last)) => first.stretch(last).unwrap_or_default(),
        (Some(first), None) => vec![first],
        _ => Vec::new(),
    };
    let except: Vec<Tooth> = hole.excepted().flat_map(stretch).collect();
    hole.teeth().flat_map(stretch).filter(|t| !except.contains(t)).collect()
}

fn one(group: Group<'_>, label: &str) -> Option<Tooth> {
    teeth(group.hole(label)?).first().copied()
}

fn ends(group: Group<'_>) -> Option<(Tooth, Tooth)> {
    Some((one(group, "first")?, one(group, "second")?))
}

fn between(group: Group<'_>) -> Option<About<'static>> {
    ends(group).map(|(a, b)| unordered(a, b))
}

fn beside(group: Group<'_>) -> Option<About<'static>> {
    let side = if group.has("mesial") { "mesial" } else { "distal" };
    Some(About::Beside(side, one(group, "tooth")?))
}

fn unordered(a: Tooth, b: Tooth) -> About<'static> {
    if a <= b { About::Between(a, b) } else { About::Between(b, a) }
}

fn contacts<'a>(teeth: &[Tooth]) -> Vec<About<'a>> {
    teeth.windows(2).map(|pair| unordered(pair[0], pair[1])).collect()
}
