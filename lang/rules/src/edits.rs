//! Fixes as edits of what was written: where a statement goes, and how a clause is replaced.
//!
//! Nothing here parses; a small scan that knows strings, comments, commas and braces is enough to find
//! the end of a statement and its block, and it answers `None` rather than guess.

use crate::finding::{Edit, FileId, Fix, FixKind, Place, Span};
use crate::model::case::ArchCase;
use crate::model::quantity::plain;
use crate::model::step::{Step, StepSource};

use super::Texts;

/// Words that begin a clause on a step's line.
const CLAUSES: [&str; 7] = ["wire", "form", "ends", "express", "settle", "until", "next"];

/// Where a statement ends and what it opens.
struct Shape {
    /// End of the statement's own words, before any comment or brace.
    head: usize,
    /// Its block, as the offsets of both braces.
    block: Option<(usize, usize)>,
}

impl Texts {
    /// A fix that changes the plan, if its edits could be made out.
    pub fn clinical(&self, title: impl Into<String>, edits: Option<Vec<Edit>>) -> Option<Fix> {
        let edits = edits.filter(|e| !e.is_empty())?;
        Some(Fix { title: title.into(), kind: FixKind::Clinical, edits, outcome: None })
    }

    /// Adds statements inside the step, opening a block or, for a step of the house sequence, a
    /// `change` in the case.
    pub fn add_to_step(&self, arch: &ArchCase, step: &Step, lines: &[String]) -> Option<Vec<Edit>> {
        if has_own_line(arch, step) {
            return self.add_inside(step.place, lines);
        }
        let body: String = lines.iter().map(|l| format!("\n    {l}")).collect();
        self.after_follow(arch, &format!("change {} {{{body}\n  }}", step.name))
    }

    /// Sets a clause on the step's line: `wire`, `next`, `until`, `ends`.
    pub fn set_clause(&self, arch: &ArchCase, step: &Step, clause: &str) -> Option<Vec<Edit>> {
        if !has_own_line(arch, step) {
            return self.after_follow(arch, &format!("change {}, {clause}", step.name));
        }
        let text = self.text(step.place.file);
        let start = step.place.span.start as usize;
        let shape = shape(text, start)?;
        let head = text.get(start..shape.head)?;
        let keyword = clause.split(' ').next()?;
        match clause_range(head, keyword) {
            Some((from, to)) => Some(vec![edit(step.place.file, start + from, start + to, clause)]),
            None => {
                Some(vec![edit(step.place.file, shape.head, shape.head, &format!(", {clause}"))])
            }
        }
    }

    /// Sets several clauses on the step's line.
    pub fn set_clauses(
        &self,
        arch: &ArchCase,
        step: &Step,
        clauses: &[String],
    ) -> Option<Vec<Edit>> {
        if !has_own_line(arch, step) {
            return self.set_clause(arch, step, &clauses.join(", "));
        }
        let each = clauses.iter().map(|clause| self.set_clause(arch, step, clause));
        Some(each.collect::<Option<Vec<_>>>()?.concat())
    }

    /// Adds statements inside the block of the statement at this place, opening one where there is
    /// none.
    pub fn add_inside(&self, at: Place, lines: &[String]) -> Option<Vec<Edit>> {
        let text = self.text(at.file);
        let start = at.span.start as usize;
        let indent = indent_of(text, start);
        let body = |lines: &[String]| -> String {
            lines.iter().map(|l| format!("{indent}  {l}\n")).collect()
        };
        let shape = shape(text, start)?;
        match shape.block {
            Some((open, close)) => {
                let line = line_start(text, close);
                if line > open && text.get(line..close)?.trim().is_empty() {
                    Some(vec![edit(at.file, line, line, &body(lines))])
                } else {
                    Some(vec![edit(at.file, close, close, &format!("\n{}{indent}", body(lines)))])
                }
            }
            None => Some(vec![edit(
                at.file,
                shape.head,
                shape.head,
                &format!(" {{\n{}{indent}}}", body(lines)),
            )]),
        }
    }

    /// Adds statements at the end of an arch's block.
    pub fn add_to_arch(&self, arch: &ArchCase, line: &str) -> Option<Vec<Edit>> {
        self.add_inside(arch.place, &[line.to_owned()])
    }

    /// Adds text at the end of the case.
    pub fn add_to_case(&self, file: FileId, text: &str) -> Option<Vec<Edit>> {
        let source = self.text(file);
        let end = source.len();
        let gap = if source.ends_with('\n') || source.is_empty() { "" } else { "\n" };
        Some(vec![edit(file, end, end, &format!("{gap}{text}\n"))])
    }

    /// Puts whole lines before the statement at this place.
    pub fn before(&self, at: Place, lines: &str) -> Option<Vec<Edit>> {
        let text = self.text(at.file);
        let start = line_start(text, at.span.start as usize);
        text.get(start..)?;
        Some(vec![edit(at.file, start, start, lines)])
    }

    /// What stands before the statement at this place, for lines that go under it.
    pub fn indent(&self, at: Place) -> String {
        indent_of(self.text(at.file), at.span.start as usize)
    }

    /// Puts other text in the place of this.
    pub fn replace(&self, at: Place, text: &str) -> Option<Vec<Edit>> {
        self.text(at.file).get(at.span.range())?;
        Some(vec![Edit { place: at, text: text.to_owned() }])
    }

    /// Replaces a piece of the statement at this place.
    pub fn replace_in(&self, at: Place, from: &str, to: &str) -> Option<Vec<Edit>> {
        let text = self.text(at.file);
        let start = at.span.start as usize;
        let head = text.get(start..shape(text, start)?.head)?;
        let found = head.find(from)?;
        Some(vec![edit(at.file, start + found, start + found + from.len(), to)])
    }

    /// Asks for less at once: the amount in the statement at this place is brought down.
    pub fn less_now(&self, at: Place, from: f64, now: f64, unit: &str) -> Option<Fix> {
        let (from, now) = (plain(from), plain(now));
        let edits = self.replace_in(at, &format!("{from} {unit}"), &format!("{now} {unit}"));
        self.clinical(format!("{now} {unit} now, the rest at later visits"), edits)
    }

    /// Takes a whole statement away, with its line where nothing else stands on it.
    pub fn remove(&self, at: Place) -> Option<Vec<Edit>> {
        let text = self.text(at.file);
        let start = at.span.start as usize;
        let shape = shape(text, start)?;
        let end = shape.block.map_or(shape.head, |(_, close)| close + 1);
        let from = line_start(text, start);
        let rest = text.get(end..)?;
        let to = end + rest.find('\n').map_or(rest.len(), |n| n + 1);
        let alone = text.get(from..start)?.trim().is_empty();
        let tail = text.get(end..to)?.trim();
        if alone && (tail.is_empty() || tail.starts_with("//")) {
            Some(vec![edit(at.file, from, to, "")])
        } else {
            Some(vec![edit(at.file, start, end, "")])
        }
    }

    /// Appends words to the statement at this place.
    pub fn append(&self, at: Place, words: &str) -> Option<Vec<Edit>> {
        let text = self.text(at.file);
        let head = shape(text, at.span.start as usize)?.head;
        Some(vec![edit(at.file, head, head, words)])
    }

    /// A line of the arch after the statement of this step, or after the `follow` that brings it.
    pub fn after_step(&self, arch: &ArchCase, step: &Step, line: &str) -> Option<Vec<Edit>> {
        if !has_own_line(arch, step) {
            return self.after_follow(arch, line);
        }
        let text = self.text(step.place.file);
        let start = step.place.span.start as usize;
        let shape = shape(text, start)?;
        let end = shape.block.map_or(shape.head, |(_, close)| close + 1);
        let rest = text.get(end..)?;
        let to = end + rest.find(['\r', '\n']).unwrap_or(rest.len());
        // Only a remark may stand behind it on the line.
        let tail = text.get(end..to)?.trim();
        if !(tail.is_empty() || tail.starts_with("//")) {
            return None;
        }
        Some(vec![edit(step.place.file, to, to, &format!("\n{}{line}", indent_of(text, start)))])
    }

    /// Statements inside this step (none: it stays as it is), and lines of the arch after it.
    pub fn step_and_more(
        &self,
        arch: &ArchCase,
        step: &Step,
        inside: &[String],
        more: &str,
    ) -> Option<Vec<Edit>> {
        if inside.is_empty() {
            return self.after_step(arch, step, more);
        }
        if !has_own_line(arch, step) {
            let indent = arch.follows.as_ref().map_or(String::new(), |(_, place)| {
                indent_of(self.text(place.file), place.span.start as usize)
            });
            let body: String = inside.iter().map(|l| format!("\n{indent}  {l}")).collect();
            let change = format!("change {} {{{body}\n{indent}}}\n{indent}{more}", step.name);
            return self.after_follow(arch, &change);
        }
        let mut edits = self.add_to_step(arch, step, inside)?;
        edits.extend(self.after_step(arch, step, more)?);
        Some(edits)
    }

    /// A clause of this step said otherwise, and a second step added after it.
    pub fn in_two(
        &self,
        arch: &ArchCase,
        step: &Step,
        clause: &str,
        second: &str,
    ) -> Option<Vec<Edit>> {
        if !has_own_line(arch, step) {
            let indent = arch.follows.as_ref().map_or(String::new(), |(_, place)| {
                indent_of(self.text(place.file), place.span.start as usize)
            });
            let both = format!("change {}, {clause}\n{indent}{second}", step.name);
            return self.after_follow(arch, &both);
        }
        let mut edits = self.set_clause(arch, step, clause)?;
        edits.extend(self.after_step(arch, step, second)?);
        Some(edits)
    }

    /// A line in the arch after its `follow`, or at the arch's end.
    fn after_follow(&self, arch: &ArchCase, line: &str) -> Option<Vec<Edit>> {
        let Some((_, place)) = &arch.follows else {
            return self.add_to_arch(arch, line);
        };
        let text = self.text(place.file);
        let start = place.span.start as usize;
        let rest = text.get(start..)?;
        let end = start + rest.find(['\r', '\n']).unwrap_or(rest.len());
        Some(vec![edit(place.file, end, end, &format!("\n{}{line}", indent_of(text, start)))])
    }
}

/// The step has a line of its own in the case; one that only follows the house has not.
fn has_own_line(arch: &ArchCase, step: &Step) -> bool {
    step.place.file == arch.place.file && !matches!(step.source, StepSource::Sequence { .. })
}

fn edit(file: FileId, start: usize, end: usize, text: &str) -> Edit {
    Edit { place: Place { file, span: Span::new(start, end) }, text: text.to_owned() }
}

fn line_start(text: &str, at: usize) -> usize {
    text.get(..at).and_then(|t| t.rfind('\n')).map_or(0, |n| n + 1)
}

fn indent_of(text: &str, at: usize) -> String {
    let start = line_start(text, at);
    text.get(start..at).unwrap_or_default().chars().take_while(|c| c.is_whitespace()).collect()
}

/// The statement that begins at `start`: a statement ends at the line's end unless a comma stands
/// before it; a brace opens its block.
fn shape(text: &str, start: usize) -> Option<Shape> {
    let bytes = text.as_bytes();
    let mut at = start;
    let mut head = start;
    let mut comma = false;
    while let Some(&b) = bytes.get(at) {
        match b {
            b'"' => {
                at = skip_string(bytes, at);
                head = at;
                comma = false;
                continue;
            }
            b'/' if bytes.get(at + 1) == Some(&b'/') => {
                at = skip_line(bytes, at);
                continue;
            }
            b'\n' if !comma => break,
            b'{' => {
                let close = closing(bytes, at)?;
                return Some(Shape { head, block: Some((at, close)) });
            }
            b'}' => break,
            b' ' | b'\t' | b'\r' | b'\n' => {}
            _ => {
                comma = b == b',';
                head = at + 1;
            }
        }
        at += 1;
    }
    text.is_char_boundary(head).then_some(Shape { head, block: None })
}

fn skip_string(bytes: &[u8], open: usize) -> usize {
    let mut at = open + 1;
    while let Some(&b) = bytes.get(at) {
        match b {
            b'"' => return at + 1,
            b'\n' => return at,
            _ => at += 1,
        }
    }
    at
}

fn skip_line(bytes: &[u8], from: usize) -> usize {
    let mut at = from;
    while bytes.get(at).is_some_and(|b| *b != b'\n') {
        at += 1;
    }
    at
}

fn closing(bytes: &[u8], open: usize) -> Option<usize> {
    let mut depth = 0usize;
    let mut at = open;
    while let Some(&b) = bytes.get(at) {
        match b {
            b'"' => {
                at = skip_string(bytes, at);
                continue;
            }
            b'/' if bytes.get(at + 1) == Some(&b'/') => {
                at = skip_line(bytes, at);
                continue;
            }
            b'{' => depth += 1,
            b'}' => {
                depth -= 1;
                if depth == 0 {
                    return Some(at);
                }
            }
            _ => {}
        }
        at += 1;
    }
    None
}

/// Offsets of a clause in a step's line: from its keyword to before the next comma or clause.
fn clause_range(head: &str, keyword: &str) -> Option<(usize, usize)> {
    let mut words: Vec<(usize, &str)> = Vec::new();
    let mut begin = None;
    for (at, c) in head.char_indices().chain([(head.len(), ' ')]) {
        let inside = !(c.is_whitespace() || c == ',');
        match (begin, inside) {
            (None, true) => begin = Some(at),
            (Some(from), false) => {
                words.push((from, head.get(from..at)?));
                begin = None;
            }
            _ => {}
        }
    }
    // The first two words are `step NAME` or `change NAME`: a step may be named like a clause.
    let first = words.iter().skip(2).position(|(_, w)| *w == keyword)? + 2;
    let from = words.get(first)?.0;
    let mut to = words.get(first)?.0 + keyword.len();
    for (at, word) in words.iter().skip(first + 1) {
        let between = head.get(to..*at)?;
        if between.contains(',') || CLAUSES.contains(word) {
            break;
        }
        to = at + word.len();
    }
    Some((from, to))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;

    fn texts(text: &str) -> Texts {
        Texts { files: vec![(FileId(0), Arc::from(text))] }
    }

    fn place(text: &str, of: &str) -> Place {
        let start = text.find(of).unwrap();
        Place { file: FileId(0), span: Span::new(start, start + of.len()) }
    }

    fn applied(text: &str, edits: Option<Vec<Edit>>) -> String {
        let fix = Fix {
            title: String::new(),
            kind: FixKind::Clinical,
            edits: edits.unwrap(),
            outcome: None,
        };
        fix.apply(FileId(0), text).unwrap()
    }

    #[test]
    fn a_block_is_opened_before_a_comment() {
        let text = "upper {\n  change align, until 4 wk // soon\n}\n";
        let edits = texts(text).add_inside(place(text, "change align"), &["tie 13..23".into()]);
        assert_eq!(
            applied(text, edits),
            "upper {\n  change align, until 4 wk {\n    tie 13..23\n  } // soon\n}\n"
        );
    }

    #[test]
    fn a_block_gets_its_statement_last() {
        let text = "  change align { // the \"}\" in a note\n    note \"}\"\n  }\n";
        let edits = texts(text).add_inside(place(text, "change"), &["hook 13".into()]);
        assert_eq!(
            applied(text, edits),
            "  change align { // the \"}\" in a note\n    note \"}\"\n    hook 13\n  }\n"
        );
    }

    #[test]
    fn a_clause_is_found_between_its_neighbours() {
        let head = "step level-3 as level after level-2, wire niti-14x25, until passive, next 6 wk";
        let range = clause_range(head, "wire").map(|(a, b)| &head[a..b]);
        assert_eq!(range, Some("wire niti-14x25"));
        let range = clause_range(head, "next").map(|(a, b)| &head[a..b]);
        assert_eq!(range, Some("next 6 wk"));
        assert_eq!(clause_range("change wire, next 6 wk", "wire"), None);
    }

    #[test]
    fn a_statement_goes_with_its_line() {
        let text = "a\n  stop mesial of 11 // why\nb\n";
        let edits = texts(text).remove(place(text, "stop mesial of 11"));
        assert_eq!(applied(text, edits), "a\nb\n");
    }
}
