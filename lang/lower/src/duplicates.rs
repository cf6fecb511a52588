//! Something said a second time in one block. Only one of the two could count, and which one a reader
//! cannot tell: so it is told, whatever the program would make of it.

use std::collections::{HashMap, HashSet};

use super::stand::{axis, lead, parts};
use springline_finding::{Finding, Fix, FixKind};
use springline_syntax::TreeEditor;
use springline_syntax::item::ToothSpan;
use springline_syntax::pattern::PlaceholderKind;
use springline_syntax::repeat::{Repeat, SubjectPart, repeat};
use springline_syntax::tree::{FieldValue, FragmentMatch, Id, Parse, StatementRef};
use springline_text::{Place, Span};
use springline_units::tooth::Tooth;

/// One thing that a statement is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum StatementSubject<'a> {
    All,
    Tooth(Tooth),
    Between(Tooth, Tooth),
    Beside(&'static str, Tooth),
    Word(&'static str),
    Text(&'a str),
}

type StatementKey<'a> = [StatementSubject<'a>; 2];

/// Every second one of a file, each once.
pub fn check(parse: &Parse, findings: &mut Vec<Finding>) {
    let mut said: HashMap<(Option<Id>, &'static str, StatementKey<'_>), Id> = HashMap::new();
    for line in parse.all_lines().filter(|line| line.is_read()) {
        let (Some(inside), Some(keyword)) = (line.context(), line.keyword()) else { continue };
        let parts: &[SubjectPart] = match repeat(inside, keyword) {
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
    first: StatementRef<'_>,
    second: StatementRef<'_>,
    keyword: &str,
    key: StatementKey<'_>,
    parts: &[SubjectPart],
) -> Finding {
    let about: Vec<String> = key.iter().filter_map(|a| a.words()).collect();
    let about = about.concat();
    let message = format!("`{keyword}`{about} is given twice.");
    let mut finding = said_twice(&message, second.place(), Some(first.place()));
    let teeth = key.iter().flat_map(|about| match about {
        StatementSubject::Tooth(tooth) | StatementSubject::Beside(_, tooth) => vec![*tooth],
        StatementSubject::Between(a, b) => vec![*a, *b],
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
    first: StatementRef<'_>,
    second: StatementRef<'_>,
    second_may_go: bool,
    first_may_go: bool,
) -> Finding {
    // A whole block is too much to lose by one choice from a menu.
    if first.block().is_some() || second.block().is_some() {
        return finding;
    }
    if first.text() == second.text() {
        finding.fixes.extend(remove(second, "remove this line".to_owned(), FixKind::Safe));
        return finding;
    }
    let keep = |line: StatementRef<'_>| format!("keep `{}`", line.text());
    if second_may_go {
        finding.fixes.extend(remove(second, keep(first), FixKind::Clinical));
    }
    if first_may_go {
        finding.fixes.extend(remove(first, keep(second), FixKind::Clinical));
    }
    finding
}

/// Takes a whole statement out, with its line where it stands alone there; a remark stays.
pub fn remove(line: StatementRef<'_>, title: String, kind: FixKind) -> Option<Fix> {
    let mut editor = TreeEditor::new(line.parse);
    editor.remove_but_remark(line.id);
    Some(Fix { title, kind, edits: editor.finish()?, outcome: None })
}

impl StatementSubject<'_> {
    fn words(&self) -> Option<String> {
        Some(match self {
            StatementSubject::All => return None,
            StatementSubject::Tooth(tooth) => format!(" of {tooth}"),
            StatementSubject::Between(a, b) => format!(" between {a} and {b}"),
            StatementSubject::Beside(side, tooth) => format!(" {side} of {tooth}"),
            StatementSubject::Word(word) => format!(" {word}"),
            StatementSubject::Text(text) => format!(" {text}"),
        })
    }
}

/// Everything that a statement is about.
fn keys<'a>(line: StatementRef<'a>, parts: &[SubjectPart]) -> Vec<StatementKey<'a>> {
    let list = |at: usize| {
        parts.get(at).map_or_else(|| vec![StatementSubject::All], |part| abouts(line, *part))
    };
    let second = list(1);
    list(0).into_iter().flat_map(|a| second.iter().map(move |b| [a, *b])).collect()
}

fn abouts<'a>(line: StatementRef<'a>, part: SubjectPart) -> Vec<StatementSubject<'a>> {
    let group = line.group();
    let out: Vec<StatementSubject<'a>> = match part {
        SubjectPart::Teeth(label) => {
            let hole = line.hole(label);
            hole.map(teeth).unwrap_or_default().into_iter().map(StatementSubject::Tooth).collect()
        }
        SubjectPart::Between => line.groups("between").filter_map(between).collect(),
        SubjectPart::Contacts => {
            let ends = line.groups("between").filter_map(ends);
            ends.flat_map(|(a, b)| contacts(&a.stretch(b).unwrap_or_default())).collect()
        }
        SubjectPart::Run => match &line.hole("teeth").map(teeth).unwrap_or_default()[..] {
            [one] => vec![StatementSubject::Tooth(*one)],
            many => contacts(many),
        },
        SubjectPart::Pairs => {
            let single: Vec<Tooth> = group.holes(PlaceholderKind::Tooth).flat_map(teeth).collect();
            single.chunks_exact(2).map(|pair| unordered(pair[0], pair[1])).collect()
        }
        SubjectPart::Places => line.groups("place").filter_map(beside).collect(),
        SubjectPart::Axes => {
            let words = parts(group).into_iter().filter_map(lead);
            words.map(|w| StatementSubject::Word(axis(w))).collect()
        }
        SubjectPart::Second => {
            group.words().nth(1).map(StatementSubject::Word).into_iter().collect()
        }
        SubjectPart::Word(words) => {
            group.words().filter(|w| words.contains(w)).map(StatementSubject::Word).collect()
        }
        SubjectPart::Name(label) => {
            line.hole(label).map(|h| StatementSubject::Text(h.text())).into_iter().collect()
        }
        SubjectPart::Date => {
            line.hole("date").map(|h| StatementSubject::Text(h.text())).into_iter().collect()
        }
        SubjectPart::Pulls => {
            line.groups("pull").map(|g| StatementSubject::Text(line.parse.text(g.span()))).collect()
        }
        SubjectPart::Sides => line.groups("worn").flat_map(|g| both(g, "right", "left")).collect(),
        SubjectPart::Arches => both(group, "upper", "lower"),
    };
    if out.is_empty() { vec![StatementSubject::All] } else { out }
}

/// The one that is said, or both where none is.
fn both(
    group: FragmentMatch<'_>,
    one: &'static str,
    other: &'static str,
) -> Vec<StatementSubject<'static>> {
    match (group.has(one), group.has(other)) {
        (true, false) => vec![StatementSubject::Word(one)],
        (false, true) => vec![StatementSubject::Word(other)],
        _ => vec![StatementSubject::Word(one), StatementSubject::Word(other)],
    }
}

fn teeth(hole: FieldValue<'_>) -> Vec<Tooth> {
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

fn one(group: FragmentMatch<'_>, label: &str) -> Option<Tooth> {
    teeth(group.hole(label)?).first().copied()
}

fn ends(group: FragmentMatch<'_>) -> Option<(Tooth, Tooth)> {
    Some((one(group, "first")?, one(group, "second")?))
}

fn between(group: FragmentMatch<'_>) -> Option<StatementSubject<'static>> {
    ends(group).map(|(a, b)| unordered(a, b))
}

fn beside(group: FragmentMatch<'_>) -> Option<StatementSubject<'static>> {
    let side = if group.has("mesial") { "mesial" } else { "distal" };
    Some(StatementSubject::Beside(side, one(group, "tooth")?))
}

fn unordered(a: Tooth, b: Tooth) -> StatementSubject<'static> {
    if a <= b { StatementSubject::Between(a, b) } else { StatementSubject::Between(b, a) }
}

fn contacts<'a>(teeth: &[Tooth]) -> Vec<StatementSubject<'a>> {
    teeth.windows(2).map(|pair| unordered(pair[0], pair[1])).collect()
}
