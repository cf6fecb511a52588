//! The semantic tokens last sent for each document, so that only the difference has to be sent.

use std::collections::BTreeMap;
use std::sync::{Mutex, MutexGuard, PoisonError};

use tower_lsp::ls_types::{SemanticToken, Uri};

/// Documents remembered, at most.
const KEPT: usize = 32;

type List = (String, Vec<SemanticToken>);

#[derive(Debug, Default)]
pub struct Colours {
    kept: Mutex<BTreeMap<String, List>>,
}

impl Colours {
    pub fn keep(&self, uri: &Uri, id: &str, data: &[SemanticToken]) {
        let mut kept = self.lock();
        if kept.len() >= KEPT && !kept.contains_key(uri.as_str()) {
            kept.pop_first();
        }
        kept.insert(uri.as_str().to_owned(), (id.to_owned(), data.to_vec()));
    }

    /// What was sent under that name, if it was the last.
    pub fn take(&self, uri: &Uri, id: &str) -> Option<Vec<SemanticToken>> {
        let (known, data) = self.lock().remove(uri.as_str())?;
        (known == id).then_some(data)
    }

    fn lock(&self) -> MutexGuard<'_, BTreeMap<String, List>> {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
