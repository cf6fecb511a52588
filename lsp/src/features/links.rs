//! Document links: `use NAME` opens the practice file.

use springline_lang::syntax::ast::{StatementKind, UseLine};
use springline_lang::text::{FileId, Span};

use crate::analysed_file::AnalysedFile;

/// A range of text that links to another file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    pub span: Span,
    pub target: FileId,
}

pub fn links(analysed: AnalysedFile<'_>) -> Vec<Link> {
    let used = analysed.parse().lines().find(|l| l.is(StatementKind::Use));
    let hole = used.and_then(UseLine::cast).map(|line| line.house);
    // The first file after the file itself is the one it uses.
    let target = analysed.read.files.get(1).map(|f| f.id);
    match (hole, target) {
        (Some(hole), Some(target)) => vec![Link { span: hole.span(), target }],
        _ => Vec::new(),
    }
}
