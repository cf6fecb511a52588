//! What a statement is about, so that two of them can be told to say the same thing (see [`super::repeat`]).

use super::diagnose::detail::GRADES;
use super::item::ToothSpan;
use super::pattern::PlaceholderKind;
use super::repeat::SubjectPart;
use super::tree::{FieldValue, FragmentMatch, StatementRef};
use springline_text::Span;
use springline_units::tooth::Tooth;

/// One thing that a statement is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StatementSubject<'a> {
    All,
    Tooth(Tooth),
    Between(Tooth, Tooth),
    Beside(&'static str, Tooth),
    Word(&'static str),
    Text(&'a str),
}

/// A pair of them: a tooth and a direction, a kind of work and a day.
pub type StatementKey<'a> = [StatementSubject<'a>; 2];

/// Everything that a statement is about.
pub fn keys<'a>(line: StatementRef<'a>, parts: &[SubjectPart]) -> Vec<StatementKey<'a>> {
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
            let stands = line.groups("stand").chain(line.groups("graded")).filter_map(direction);
            stands.map(|w| StatementSubject::Word(axis(w))).collect()
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

/// The word that says what a part of a tooth's place is about, behind the one that grades it.
fn direction(part: FragmentMatch<'_>) -> Option<&'static str> {
    part.words().find(|w| part.name != "graded" || !GRADES.contains(w))
}

/// Labial and lingual are two directions of one displacement.
fn axis(word: &'static str) -> &'static str {
    match word {
        "lingual" => "labial",
        "occlusal" => "gingival",
        other => other,
    }
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
