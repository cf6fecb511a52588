//! Which revision of each open document is the newest.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};

use tower_lsp::ls_types::Uri;

/// Written by the owner of the documents, read by everyone who has worked on a snapshot and wants to
/// know whether it still counts.
#[derive(Debug, Default)]
pub struct Currents {
    revisions: Mutex<HashMap<String, u64>>,
}

impl Currents {
    pub fn set(&self, uri: &Uri, revision: u64) {
        self.lock().insert(uri.as_str().to_owned(), revision);
    }

    pub fn remove(&self, uri: &Uri) {
        self.lock().remove(uri.as_str());
    }

    pub fn is(&self, uri: &Uri, revision: u64) -> bool {
        self.lock().get(uri.as_str()) == Some(&revision)
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, HashMap<String, u64>> {
        self.revisions.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
