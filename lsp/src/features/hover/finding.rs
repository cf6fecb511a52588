//! Hover on a place with a finding: the rule and its advice. The message itself is in the diagnostic,
//! which the editor shows beside it.

use springline_lang::finding::Finding;
use springline_lang::rules;
use springline_lang::text::{FileId, Span};

use crate::analysed_file::AnalysedFile;

/// Findings named at most.
const MOST: usize = 2;

/// The clinical findings that begin in these words.
pub fn hover(analysed: AnalysedFile<'_>, words: Span) -> Option<String> {
    let here = |f: &&Finding| {
        f.place.file == FileId(0)
            && words.start <= f.place.span.start
            && f.place.span.start < words.end
    };
    let found = analysed.findings().iter().filter(here);
    let mut out: Vec<String> = found.filter_map(one).collect();
    out.dedup();
    out.truncate(MOST);
    (!out.is_empty()).then(|| out.join("\n\n"))
}

fn one(finding: &Finding) -> Option<String> {
    let page = rules::rule(finding.code.as_str())?.page();
    Some(format!("`{}`: {}\n\n*What to do*: {}", page.code, page.title, page.what_to_do))
}
