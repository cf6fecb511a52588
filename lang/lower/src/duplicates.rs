//! Reports duplicate statements in one block. Only one of the two could take effect, and a reader cannot
//! know which, so the duplicate is reported even where the program has a rule for it.

use std::collections::{HashMap, HashSet};

use springline_finding::{Finding, Fix, FixKind};
use springline_syntax::TreeEditor;
use springline_syntax::about::{StatementKey, StatementSubject, keys};
use springline_syntax::repeat::{Repeat, SubjectPart, repeat};
use springline_syntax::tree::{Id, Parse, StatementRef};
use springline_text::Place;

/// Reports every duplicate of a file, each once.
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
    let about: Vec<String> = key.iter().filter_map(words).collect();
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

/// The finding without its fixes, common to all kinds of duplicates.
pub fn said_twice(message: &str, second: Place, first: Option<Place>) -> Finding {
    let finding = Finding::error("name/said-twice", second, message)
        .why("Only one of them could count, and a reader could not tell which.");
    match first {
        Some(first) => finding.related(first, "first given here"),
        None => finding,
    }
}

/// Fixes that remove the one or the other, where nothing else is lost with it.
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

/// Removes a whole statement, with its line where it is alone there; a comment stays.
pub fn remove(line: StatementRef<'_>, title: String, kind: FixKind) -> Option<Fix> {
    let mut editor = TreeEditor::new(line.parse);
    editor.remove_but_remark(line.id);
    Some(Fix { title, kind, edits: editor.finish()?, outcome: None })
}

/// The subject of a statement, as the end of a sentence.
fn words(about: &StatementSubject<'_>) -> Option<String> {
    Some(match about {
        StatementSubject::All => return None,
        StatementSubject::Tooth(tooth) => format!(" of {tooth}"),
        StatementSubject::Between(a, b) => format!(" between {a} and {b}"),
        StatementSubject::Beside(side, tooth) => format!(" {side} of {tooth}"),
        StatementSubject::Word(word) => format!(" {word}"),
        StatementSubject::Text(text) => format!(" {text}"),
    })
}
