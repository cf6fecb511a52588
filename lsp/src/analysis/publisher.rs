//! Pushes diagnostics to clients that do not pull them: only the newest of each document.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Mutex, MutexGuard, PoisonError};

use serde::Serialize;
use tokio::sync::Notify;
use tower_lsp::ls_types::{Diagnostic, PublishDiagnosticsParams, Uri};

/// How complete the check behind a list of diagnostics is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CheckStage {
    Language,
    Whole,
    /// Typing has paused: findings held back are included.
    Idle,
}

#[derive(Debug, Default)]
pub struct Publisher {
    state: Mutex<PublisherState>,
    due: Notify,
}

#[derive(Debug, Default)]
struct PublisherState {
    /// What was offered last for each open document.
    offered: BTreeMap<String, (u64, CheckStage)>,
    waiting: BTreeMap<String, PublishDiagnosticsParams>,
    /// Closed files with published diagnostics.
    closed: BTreeSet<String>,
}

/// `textDocument/publishDiagnostics`, ready to be written.
#[derive(Debug, Serialize)]
pub struct Note {
    jsonrpc: &'static str,
    method: &'static str,
    params: PublishDiagnosticsParams,
}

impl Publisher {
    /// Diagnostics of a document may be offered, from this revision on.
    pub fn open(&self, uri: &Uri, revision: u64) {
        let before = (revision.saturating_sub(1), CheckStage::Idle);
        let mut state = self.lock();
        state.offered.insert(uri.as_str().to_owned(), before);
        // Diagnostics published while it was closed are replaced by those of the open document.
        if state.closed.remove(uri.as_str()) {
            let cleared = PublishDiagnosticsParams::new(uri.clone(), Vec::new(), None);
            state.waiting.insert(uri.as_str().to_owned(), cleared);
            self.due.notify_one();
        }
    }

    /// Publishes the diagnostics of a closed file; nothing is sent for a file that never had any.
    pub fn closed(&self, uri: &Uri, diagnostics: Vec<Diagnostic>) {
        let mut state = self.lock();
        let key = uri.as_str().to_owned();
        let is_known = state.closed.contains(&key);
        if state.offered.contains_key(&key) || diagnostics.is_empty() && !is_known {
            return;
        }
        if diagnostics.is_empty() {
            state.closed.remove(&key);
        } else {
            state.closed.insert(key.clone());
        }
        state.waiting.insert(key, PublishDiagnosticsParams::new(uri.clone(), diagnostics, None));
        self.due.notify_one();
    }

    /// Clears the document's diagnostics and publishes no more.
    pub fn close(&self, uri: &Uri) {
        let mut state = self.lock();
        if state.offered.remove(uri.as_str()).is_some() {
            let cleared = PublishDiagnosticsParams::new(uri.clone(), Vec::new(), None);
            state.waiting.insert(uri.as_str().to_owned(), cleared);
            self.due.notify_one();
        }
    }

    /// Sends these unless newer or fuller ones were offered already, or the document is closed.
    pub fn offer(
        &self,
        uri: &Uri,
        version: i32,
        revision: u64,
        stage: CheckStage,
        diagnostics: Vec<Diagnostic>,
    ) {
        let mut state = self.lock();
        let Some(last) = state.offered.get_mut(uri.as_str()) else { return };
        if *last >= (revision, stage) {
            return;
        }
        *last = (revision, stage);
        let params = PublishDiagnosticsParams::new(uri.clone(), diagnostics, Some(version));
        state.waiting.insert(uri.as_str().to_owned(), params);
        self.due.notify_one();
    }

    /// Waits until there is something to send.
    pub async fn due(&self) {
        self.due.notified().await;
    }

    pub fn take(&self) -> Vec<Note> {
        let waiting = std::mem::take(&mut self.lock().waiting);
        let note =
            |params| Note { jsonrpc: "2.0", method: "textDocument/publishDiagnostics", params };
        waiting.into_values().map(note).collect()
    }

    fn lock(&self) -> MutexGuard<'_, PublisherState> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn uri() -> Uri {
        "file:///a.spring".parse().unwrap()
    }

    fn versions(publisher: &Publisher) -> Vec<Option<i32>> {
        publisher.take().into_iter().map(|n| n.params.version).collect()
    }

    #[test]
    fn only_the_newest_goes_out_and_never_an_older_one_after_it() {
        let publisher = Publisher::default();
        publisher.open(&uri(), 1);
        publisher.offer(&uri(), 1, 1, CheckStage::Language, Vec::new());
        publisher.offer(&uri(), 2, 2, CheckStage::Language, Vec::new());
        assert_eq!(versions(&publisher), [Some(2)]);
        publisher.offer(&uri(), 1, 1, CheckStage::Whole, Vec::new());
        assert_eq!(versions(&publisher), []);
        publisher.offer(&uri(), 2, 2, CheckStage::Whole, Vec::new());
        publisher.offer(&uri(), 2, 2, CheckStage::Language, Vec::new());
        assert_eq!(versions(&publisher), [Some(2)]);
    }

    #[test]
    fn a_file_that_was_never_open_is_told_of_until_it_is_sound_or_opened() {
        let publisher = Publisher::default();
        publisher.closed(&uri(), Vec::new());
        assert_eq!(versions(&publisher), []);
        publisher.closed(&uri(), vec![Diagnostic::default()]);
        assert_eq!(publisher.take().len(), 1);
        publisher.closed(&uri(), Vec::new());
        assert_eq!(publisher.take().len(), 1);
        publisher.closed(&uri(), vec![Diagnostic::default()]);
        publisher.take();
        publisher.open(&uri(), 1);
        assert_eq!(publisher.take().len(), 1);
        publisher.closed(&uri(), vec![Diagnostic::default()]);
        assert_eq!(publisher.take().len(), 0);
    }

    #[test]
    fn a_closed_document_is_cleared_and_stays_so() {
        let publisher = Publisher::default();
        publisher.open(&uri(), 1);
        publisher.offer(&uri(), 1, 1, CheckStage::Whole, Vec::new());
        publisher.close(&uri());
        publisher.offer(&uri(), 1, 9, CheckStage::Whole, Vec::new());
        assert_eq!(versions(&publisher), [None]);
    }
}
