//! The last text of each document that could be drawn, for the preview.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use springline_emit::preview::{Previewed, is_drawable};
use springline_lang::Checked;
use springline_lang::syntax::FileKind;
use tower_lsp::ls_types::Uri;

/// Of each document shown, the last text that could be drawn whole.
#[derive(Debug, Default)]
pub struct Drawn {
    kept: Mutex<HashMap<String, Arc<Checked>>>,
}

/// Documents remembered at most.
const KEPT: usize = 16;

impl Drawn {
    /// What is shown of a document: it as it is, unless a line of it cannot be read just now.
    pub fn of(&self, uri: &Uri, checked: &Arc<Checked>) -> Arc<Checked> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if !is_drawable(&previewed(checked)) {
            return kept.get(uri.as_str()).unwrap_or(checked).clone();
        }
        if kept.len() >= KEPT && !kept.contains_key(uri.as_str()) {
            kept.clear();
        }
        kept.insert(uri.as_str().to_owned(), checked.clone());
        checked.clone()
    }
}

/// What the page is made of.
pub fn previewed(checked: &Checked) -> Previewed<'_> {
    Previewed {
        course: checked.course(),
        findings: &checked.findings,
        is_practice_file: checked.parse.kind == FileKind::House,
    }
}
