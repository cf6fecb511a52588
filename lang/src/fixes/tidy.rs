//! A fix that would leave a line without effect takes that line out as well.

use super::Trial;
use crate::check::{Checked, SourceText};
use springline_finding::{Finding, Fix};
use springline_text::{Edit, FileId, Place, Span};

impl Trial<'_> {
    pub(super) fn tidied(&mut self, checked: &Checked, fix: Fix) -> Fix {
        let elsewhere = fix.edits.iter().any(|e| e.place.file != FileId(0));
        let Some(file) = checked.file(FileId(0)).filter(|_| !elsewhere) else { return fix };
        let Some(mended) = fix.apply(FileId(0), &file.text) else { return fix };
        let idle = |text: &str, findings: &[Finding]| -> Vec<(Span, String)> {
            let found = findings.iter().filter(|f| f.code.0 == IDLE && f.place.file == FileId(0));
            let line = |f: &Finding| whole_line(text, f.place.span);
            found.map(|f| (line(f), text[line(f).range()].to_owned())).collect()
        };
        let before = idle(&file.text, &checked.findings);
        let source = SourceText { name: file.name.clone(), text: mended.as_str().into() };
        let read = (self.read)(&source);
        let mut tidy = mended.clone();
        for (span, line) in idle(&mended, &read.findings).into_iter().rev() {
            if before.iter().all(|(_, known)| *known != line)
                && let Some(range) = alone(&mended, span)
            {
                tidy.replace_range(range, "");
            }
        }
        if tidy == mended {
            return fix;
        }
        Fix { edits: vec![between(&file.text, &tidy)], ..fix }
    }
}

/// The whole of a statement's lines; `None` where its braces still hold something.
fn alone(text: &str, line: Span) -> Option<std::ops::Range<usize>> {
    let Some(open) = text[line.range()].find('{') else { return Some(line.range()) };
    let inside = &text[line.start as usize + open + 1..];
    let close = inside.len() - inside.trim_start().len();
    let rest = inside[close..].strip_prefix('}')?;
    let end = rest.find('\n').map_or(rest.len(), |i| i + 1);
    rest[..end].trim().is_empty().then(|| line.start as usize..text.len() - rest.len() + end)
}

const IDLE: &str = "name/change-without-effect";

/// The line or lines of a stretch of text, with the last one's end.
fn whole_line(text: &str, span: Span) -> Span {
    let start = text[..span.start as usize].rfind('\n').map_or(0, |i| i + 1);
    let rest = &text[span.end as usize..];
    let end = span.end as usize + rest.find('\n').map_or(rest.len(), |i| i + 1);
    Span::new(start, end)
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
