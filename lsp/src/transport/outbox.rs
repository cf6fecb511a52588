//! Writes everything that goes to the client, from one task.

use std::sync::Arc;

use futures::{Stream, StreamExt as _};
use serde::Serialize;
use tokio::io::{AsyncWrite, AsyncWriteExt as _};
use tokio::sync::mpsc;
use tokio::task::JoinHandle;
use tower_lsp::jsonrpc::{Request, Response};
use tower_lsp::ls_types::MessageType;

use crate::analysis::Publisher;

/// Where answers are put. Diagnostics do not pass through here: their [`Publisher`] keeps only the
/// newest of each document, so a client that reads slowly costs no memory.
#[derive(Debug, Clone)]
pub struct Outbox {
    send: mpsc::UnboundedSender<Outgoing>,
}

#[derive(Debug)]
enum Outgoing {
    Answer(Box<Response>),
    Note(Box<Request>),
    End,
}

impl Outbox {
    pub fn open<O, R>(output: O, requests: R, publisher: Arc<Publisher>) -> (Outbox, JoinHandle<()>)
    where
        O: AsyncWrite + Unpin + Send + 'static,
        R: Stream<Item = Request> + Unpin + Send + 'static,
    {
        let (send, receive) = mpsc::unbounded_channel();
        let writer = tokio::spawn(write(output, receive, requests, publisher));
        (Outbox { send }, writer)
    }

    pub fn send(&self, response: Response) {
        // Without a writer the client is gone, and the answer is not needed.
        let _ = self.send.send(Outgoing::Answer(Box::new(response)));
    }

    /// Something that the user is to know.
    pub fn show(&self, text: String) {
        let params = serde_json::json!({ "type": MessageType::ERROR, "message": text });
        let note = Request::build("window/showMessage").params(params).finish();
        let _ = self.send.send(Outgoing::Note(Box::new(note)));
    }

    /// Nothing more is coming.
    pub fn end(&self) {
        let _ = self.send.send(Outgoing::End);
    }
}

async fn write<O, R>(
    mut output: O,
    mut answers: mpsc::UnboundedReceiver<Outgoing>,
    requests: R,
    publisher: Arc<Publisher>,
) where
    O: AsyncWrite + Unpin,
    R: Stream<Item = Request> + Unpin,
{
    let mut requests = requests.fuse();
    let mut bytes = Vec::new();
    loop {
        tokio::select! {
            biased;
            // What a request says while it is at work goes before its answer.
            Some(request) = requests.next() => frame::<Request>(&mut bytes, &request),
            answer = answers.recv() => match answer {
                Some(Outgoing::Answer(response)) => frame(&mut bytes, &*response),
                Some(Outgoing::Note(note)) => frame(&mut bytes, &*note),
                Some(Outgoing::End) | None => break,
            },
            () = publisher.due() => {
                for note in publisher.take() {
                    frame(&mut bytes, &note);
                }
            }
        }
        if output.write_all(&bytes).await.is_err() || output.flush().await.is_err() {
            break;
        }
        bytes.clear();
    }
}

fn frame<T: Serialize>(bytes: &mut Vec<u8>, message: &T) {
    // Every message is made of strings, numbers and lists: there is nothing JSON cannot write.
    let Ok(body) = serde_json::to_vec(message) else { return };
    bytes.extend_from_slice(format!("Content-Length: {}\r\n\r\n", body.len()).as_bytes());
    bytes.extend_from_slice(&body);
}
