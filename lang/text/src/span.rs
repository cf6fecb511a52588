//! Locations in source texts: file, byte range, and the replacement of a range.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

/// One source text, as the caller named it. The core never opens files; names are for display.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct FileId(pub u32);

/// A half-open range of bytes in one source text.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, Default,
)]
pub struct Span {
    pub start: u32,
    pub end: u32,
}

impl Span {
    pub fn new(start: usize, end: usize) -> Self {
        let clamp = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Span { start: clamp(start), end: clamp(end.max(start)) }
    }

    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }

    /// The smallest span that covers both.
    pub fn to(self, other: Span) -> Span {
        Span { start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    pub fn contains(self, offset: usize) -> bool {
        self.range().contains(&offset) || offset == self.end as usize
    }
}

/// A place in one of the files that make up a case.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Place {
    pub file: FileId,
    pub span: Span,
}

/// One replacement of text.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Edit {
    pub place: Place,
    pub text: String,
}

impl Edit {
    /// A text with edits in the order of their places, none of which touches another.
    pub fn all_in(edits: &[Edit], text: &str) -> String {
        let mut out = text.to_owned();
        // From the end, so that the earlier places hold.
        for edit in edits.iter().rev() {
            out.replace_range(edit.place.span.range(), &edit.text);
        }
        out
    }
}

/// One of the files that a check read.
#[derive(Debug, Clone)]
pub struct SourceFile {
    pub id: FileId,
    /// The name for display; the core never opens files.
    pub name: String,
    pub text: Arc<str>,
}
