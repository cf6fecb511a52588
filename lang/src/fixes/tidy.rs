//! Extends a fix that would leave a line without effect so that it removes that line as well.

use super::Trial;
use crate::check::{Checked, SourceText};
use springline_finding::{Finding, Fix, FixKind};
use springline_syntax::{Parse, StatementRef, TreeEditor};
use springline_text::{Edit, FileId, Place, Span};

impl Trial<'_> {
    pub(super) fn tidied(&mut self, checked: &Checked, fix: Fix) -> Fix {
        let elsewhere = fix.edits.iter().any(|e| e.place.file != FileId(0));
        let Some(file) = checked.file(FileId(0)).filter(|_| !elsewhere) else { return fix };
        let Some(mended) = fix.apply(FileId(0), &file.text) else { return fix };
        let source = SourceText { name: file.name.clone(), text: mended.as_str().into() };
        let read = (self.read)(&source);
        let before: Vec<&str> =
            idle(&checked.parse, &checked.findings).map(StatementRef::text).collect();
        let mut editor = TreeEditor::new(&read.parse);
        for line in idle(&read.parse, &read.findings) {
            if !before.contains(&line.text()) && is_empty(line) {
                editor.remove(line.id);
            }
        }
        let edits = editor.finish().unwrap_or_default();
        let tidying = Fix { title: String::new(), kind: FixKind::Clinical, edits, outcome: None };
        match tidying.apply(FileId(0), &mended) {
            Some(tidy) if tidy != mended => Fix { edits: vec![between(&file.text, &tidy)], ..fix },
            _ => fix,
        }
    }
}

const IDLE: &str = "name/change-without-effect";

/// The statements that have no effect, as findings have it.
fn idle<'p>(parse: &'p Parse, findings: &'p [Finding]) -> impl Iterator<Item = StatementRef<'p>> {
    let found = findings.iter().filter(|f| f.code.as_str() == IDLE && f.place.file == FileId(0));
    found.filter_map(|f| parse.statement_at(f.place.span))
}

/// Its braces hold nothing, not even a remark.
fn is_empty(line: StatementRef<'_>) -> bool {
    line.block().is_none_or(|block| {
        let inside = Span { start: block.open.end, end: block.close.start };
        line.parse.text(inside).trim().is_empty()
    })
}

/// The one edit that turns a text into another.
fn between(old: &str, new: &str) -> Edit {
    let same = |(a, b): &(char, char)| a == b;
    let head: usize =
        old.chars().zip(new.chars()).take_while(same).map(|(c, _)| c.len_utf8()).sum();
    let (a, b) = (&old[head..], &new[head..]);
    let tail: usize =
        a.chars().rev().zip(b.chars().rev()).take_while(same).map(|(c, _)| c.len_utf8()).sum();
    let place = Place { file: FileId(0), span: Span::new(head, old.len() - tail) };
    Edit { place, text: b[..b.len() - tail].to_owned() }
}
