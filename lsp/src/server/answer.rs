//! How every request is answered: on the documents as they were when it came, on a thread where it
//! may take its time, and with an error instead of an end should it panic.

use std::sync::Arc;

use springline_lang::Checked;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::ls_types::Uri;

use crate::facts::Facts;
use crate::front::{CAPTURED, content_modified};
use crate::owner::World;
use crate::snapshot::{Reading, Snapshot};

/// The documents as this request is to see them.
pub async fn world() -> Arc<World> {
    let captured = CAPTURED.try_with(|captured| captured.borrow_mut().take());
    match captured {
        Ok(Some(captured)) => captured.await.unwrap_or_default(),
        _ => Arc::default(),
    }
}

/// One document, with what is known of it.
pub struct View {
    pub snapshot: Arc<Snapshot>,
    pub reading: Arc<Reading>,
    pub checked: Option<Arc<Checked>>,
    pub world: Arc<World>,
}

impl View {
    pub fn facts(&self) -> Facts<'_> {
        Facts { read: &self.reading.read, checked: self.checked.as_deref() }
    }
}

/// How much a request needs to know.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// The language is enough.
    Language,
    /// The mechanics too, if they are there soon.
    Soon,
    /// Nothing can be said without the mechanics.
    Whole,
}

/// How long a hover is worth waiting for.
const SOON: std::time::Duration = std::time::Duration::from_millis(500);

/// Answers a request about one document. Nothing is said about a document that is not open; one that
/// has moved on gets "content modified".
pub async fn on<T, F>(uri: &Uri, need: Need, work: F) -> Result<Option<T>>
where
    T: Send + 'static,
    F: FnOnce(&View) -> Option<T> + Send + 'static,
{
    let world = world().await;
    let Some(snapshot) = world.get(uri.as_str()).cloned() else { return Ok(None) };
    let checked = match need {
        Need::Language => snapshot.judged(),
        Need::Soon => snapshot.wait_judged_for(SOON).await,
        Need::Whole => snapshot.wait_judged().await,
    };
    if !snapshot.is_current() {
        return Err(content_modified());
    }
    contain(move || {
        let reading = snapshot.reading();
        work(&View { snapshot, reading, checked, world })
    })
    .await
}

/// Runs work where it blocks nobody; a panic in it is logged and becomes an error.
pub async fn contain<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> Result<T> {
    tokio::task::spawn_blocking(work).await.map_err(|error| {
        crate::log(&format!("a request failed: {error}"));
        Error::internal_error()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn a_panic_becomes_an_error_and_the_next_request_an_answer() {
        let failed: Result<()> = contain(|| panic!("on purpose")).await;
        assert_eq!(failed, Err(Error::internal_error()));
        assert_eq!(contain(|| 7).await, Ok(7));
    }
}
