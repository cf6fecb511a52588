//! What can be sent to the task that owns the documents, and the handle that sends it.

use std::sync::Arc;

use tokio::sync::{mpsc, oneshot};
use tower_lsp::ls_types::{TextDocumentContentChangeEvent, Uri};

use crate::document::Document;
use crate::snapshot::Snapshot;

/// What is open, at one moment.
pub type Snapshots = rpds::RedBlackTreeMapSync<String, Arc<Snapshot>>;

#[derive(Debug)]
pub enum OwnerMessage {
    Open(Document),
    Change {
        uri: Uri,
        version: i32,
        changes: Vec<TextDocumentContentChangeEvent>,
    },
    Close {
        uri: Uri,
    },
    /// Files changed on disk, or their owner thinks so.
    Watched {
        uris: Vec<Uri>,
    },
    /// Settings changed: every document is checked again.
    Reconsider,
    /// The practice files a document asked for.
    Uses {
        uri: Uri,
        houses: Vec<String>,
    },
    /// A request needs the documents as of everything sent before it.
    Capture {
        reply: oneshot::Sender<Arc<Snapshots>>,
    },
}

/// Where messages for the owner are put; never blocks.
#[derive(Debug, Clone)]
pub struct Owner {
    send: mpsc::UnboundedSender<OwnerMessage>,
}

impl Owner {
    pub fn channel() -> (Owner, mpsc::UnboundedReceiver<OwnerMessage>) {
        let (send, receive) = mpsc::unbounded_channel();
        (Owner { send }, receive)
    }

    pub fn send(&self, message: OwnerMessage) {
        // Without a receiver the session is over.
        let _ = self.send.send(message);
    }

    /// The documents as they are after everything sent so far.
    pub fn capture(&self) -> oneshot::Receiver<Arc<Snapshots>> {
        let (reply, receive) = oneshot::channel();
        self.send(OwnerMessage::Capture { reply });
        receive
    }
}
