//! How every request is answered: on the snapshots current when it arrived, on a blocking thread, and
//! with an error instead of a crash should it panic.

use std::sync::Arc;
use std::time::Duration;

use springline_lang::Checked;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::ls_types::Uri;

use crate::analysed_file::AnalysedFile;
use crate::ordered_service::{REQUEST_CONTEXT, content_modified};
use crate::owner_message::Snapshots;
use crate::snapshot::{Reading, Snapshot};

/// The documents as this request is to see them.
pub async fn snapshots() -> Arc<Snapshots> {
    let captured = REQUEST_CONTEXT.try_with(|captured| captured.snapshots.borrow_mut().take());
    match captured {
        Ok(Some(captured)) => captured.await.unwrap_or_default(),
        _ => Arc::default(),
    }
}

/// The documents as they are now.
async fn current_snapshots() -> Arc<Snapshots> {
    match REQUEST_CONTEXT.try_with(|captured| captured.owner.capture()) {
        Ok(captured) => captured.await.unwrap_or_default(),
        Err(_) => Arc::default(),
    }
}

/// A document with as much of its check as is needed; an error where its text has moved on. Where
/// only its house or a setting has changed, the newer state is the better answer.
pub async fn current(
    uri: &Uri,
    need: CheckDepth,
) -> Result<Option<(Arc<Snapshots>, Arc<Snapshot>, Option<Arc<Checked>>)>> {
    let mut snapshots = snapshots().await;
    let Some(mut snapshot) = snapshots.get(uri.as_str()).cloned() else { return Ok(None) };
    loop {
        let checked = match need {
            CheckDepth::Language => snapshot.judged(),
            CheckDepth::Within(patience) => snapshot.wait_judged_for(patience).await,
        };
        if snapshot.is_current() {
            return Ok(Some((snapshots, snapshot, checked)));
        }
        snapshots = current_snapshots().await;
        match snapshots.get(uri.as_str()) {
            Some(newer) if newer.stamp.text == snapshot.stamp.text => snapshot = newer.clone(),
            _ => return Err(content_modified()),
        }
    }
}

/// One document, with what is known of it.
pub struct DocumentView {
    pub snapshot: Arc<Snapshot>,
    pub reading: Arc<Reading>,
    pub checked: Option<Arc<Checked>>,
    pub snapshots: Arc<Snapshots>,
}

impl DocumentView {
    pub fn analysed(&self) -> AnalysedFile<'_> {
        AnalysedFile { read: &self.reading.read, checked: self.checked.as_deref(), habits: None }
    }
}

/// How much a request needs to know.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CheckDepth {
    /// The language is enough.
    Language,
    /// The mechanics too, if they are there in time.
    Within(Duration),
}

impl CheckDepth {
    /// As long as a hover is worth waiting for.
    pub const SOON: CheckDepth = CheckDepth::Within(Duration::from_millis(500));
    /// Nothing can be answered without the mechanics.
    pub const WHOLE: CheckDepth = CheckDepth::Within(Duration::from_secs(10));
}

/// Answers a request about one document. A document that is not open gets an empty answer; one whose text
/// has changed gets "content modified".
pub async fn on<T, F>(uri: &Uri, need: CheckDepth, work: F) -> Result<Option<T>>
where
    T: Send + 'static,
    F: FnOnce(&DocumentView) -> Option<T> + Send + 'static,
{
    let Some((snapshots, snapshot, checked)) = current(uri, need).await? else { return Ok(None) };
    contain(move || {
        let reading = snapshot.reading();
        work(&DocumentView { snapshot, reading, checked, snapshots })
    })
    .await
}

/// Runs work on a blocking thread; a panic in it is logged and becomes an error.
pub async fn contain<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> Result<T> {
    tokio::task::spawn_blocking(work).await.map_err(|error| {
        crate::log(&format!("a request failed: {error}"));
        Error::internal_error()
    })
}

/// Runs work on the current task, where that is faster than handing it to another thread.
pub fn at_once<T>(work: impl FnOnce() -> T) -> Result<T> {
    std::panic::catch_unwind(std::panic::AssertUnwindSafe(work)).map_err(|_| {
        crate::log("a request failed: it panicked");
        Error::internal_error()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_at_once_becomes_an_error_too() {
        let failed: Result<()> = at_once(|| panic!("on purpose"));
        assert_eq!(failed, Err(Error::internal_error()));
        assert_eq!(at_once(|| 7), Ok(7));
    }

    #[tokio::test]
    async fn a_panic_becomes_an_error_and_the_next_request_an_answer() {
        let failed: Result<()> = contain(|| panic!("on purpose")).await;
        assert_eq!(failed, Err(Error::internal_error()));
        assert_eq!(contain(|| 7).await, Ok(7));
    }
}
