//! The newest revision of each open document.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};

use tower_lsp::ls_types::Uri;

/// Written by the owner of the documents, read by everyone who has to know whether a snapshot is still
/// current.
#[derive(Debug, Default)]
pub struct Revisions {
    revisions: Mutex<HashMap<String, Revision>>,
}

/// When a snapshot was made, counted over all documents.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Revision {
    /// When anything changed that it depends on: its text, its house, the settings.
    pub revision: u64,
    /// When its text changed.
    pub text: u64,
}

impl Revisions {
    pub fn set(&self, uri: &Uri, stamp: Revision) {
        self.lock().insert(uri.as_str().to_owned(), stamp);
    }

    pub fn remove(&self, uri: &Uri) {
        self.lock().remove(uri.as_str());
    }

    pub fn is(&self, uri: &Uri, stamp: Revision) -> bool {
        self.lock().get(uri.as_str()) == Some(&stamp)
    }

    /// Whether the text at least is still the same.
    pub fn is_text(&self, uri: &Uri, stamp: Revision) -> bool {
        self.lock().get(uri.as_str()).is_some_and(|now| now.text == stamp.text)
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, HashMap<String, Revision>> {
        self.revisions.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
