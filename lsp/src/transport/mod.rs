//! Transport: frames in, frames out, and the loop that reads them in order.
//!
//! tower-lsp's own loop ends at the first malformed message and deadlocks when four handlers wait for the
//! client. This one reports what it cannot read and goes on, and runs every request on a task of its own.

mod frame;
mod outbox;

use std::sync::Arc;
use std::time::Duration;

use futures::SinkExt as _;
use serde_json::Value;
use tokio::io::{AsyncRead, AsyncReadExt as _, AsyncWrite};
use tokio::sync::Semaphore;
use tower::Service;
use tower_lsp::ClientSocket;
use tower_lsp::jsonrpc::{Error, Id, Request, Response};

use crate::analysis::Publisher;
use frame::{Frame, Frames};
pub use outbox::Outbox;

/// Requests under way at once; beyond it reading waits until one is answered.
const UNDER_WAY: usize = 256;

/// How long answers may take to leave once the client has said `exit`.
const LAST_WORDS: Duration = Duration::from_secs(2);

/// Reads and answers until `exit`, or until the input closes. True if `exit` was said.
pub async fn run<I, O, S>(
    mut input: I,
    output: O,
    mut service: S,
    socket: ClientSocket,
    publisher: Arc<Publisher>,
) -> bool
where
    I: AsyncRead + Unpin,
    O: AsyncWrite + Unpin + Send + 'static,
    S: Service<Request, Response = Option<Response>>,
    S::Future: Send + 'static,
    S::Error: Send,
{
    let (requests, mut answers) = socket.split();
    let (outbox, writer) = Outbox::open(output, requests, publisher);
    let under_way = Arc::new(Semaphore::new(UNDER_WAY));
    let mut frames = Frames::default();
    let mut buffer = vec![0u8; 64 * 1024];
    let mut said_exit = false;
    'reading: while let Ok(count) = input.read(&mut buffer).await {
        if count == 0 {
            break;
        }
        frames.push(&buffer[..count]);
        while let Some(frame) = frames.next() {
            if let Frame::TooLarge(bytes) = frame {
                outbox.show(too_large(bytes));
            }
            match message(frame) {
                Ok(Message::Request(request)) => {
                    said_exit = request.method() == "exit";
                    let orderly = request.method() == "initialize";
                    let Ok(permit) = under_way.clone().acquire_owned().await else {
                        break 'reading;
                    };
                    let task = answer(&mut service, request, outbox.clone(), permit);
                    match task {
                        // Whatever follows `initialize` needs its answer first.
                        Some(task) if orderly => drop(task.await),
                        _ => {}
                    }
                    if said_exit {
                        break 'reading;
                    }
                }
                Ok(Message::Answer(response)) => drop(answers.send(response).await),
                Ok(Message::Nothing) => {}
                Err(error) => outbox.send(Response::from_error(Id::Null, error)),
            }
        }
    }
    outbox.end();
    let _ = tokio::time::timeout(LAST_WORDS, writer).await;
    said_exit
}

/// Hands a message to the service, at once and in order, and lets its answer follow when it is ready.
fn answer<S>(
    service: &mut S,
    request: Request,
    outbox: Outbox,
    permit: tokio::sync::OwnedSemaphorePermit,
) -> Option<tokio::task::JoinHandle<()>>
where
    S: Service<Request, Response = Option<Response>>,
    S::Future: Send + 'static,
    S::Error: Send,
{
    let id = request.id().cloned();
    let work = service.call(request);
    // Notifications were dealt with in the call; there is nothing to wait for.
    id.as_ref()?;
    Some(tokio::spawn(async move {
        if let Ok(Some(response)) = work.await {
            outbox.send(response);
        }
        drop(permit);
    }))
}

/// Without a word there would be no findings, and no reason for it.
fn too_large(bytes: u64) -> String {
    let (size, most) = (bytes >> 20, frame::MESSAGE_LIMIT >> 20);
    crate::log(&format!("skipped a message of {size} MiB"));
    format!(
        "Springline was sent a text of {size} MiB and did not accept it: a plan is never over {most} MiB. That \
         file has no findings, or only earlier ones."
    )
}

enum Message {
    Request(Request),
    Answer(Response),
    Nothing,
}

fn message(frame: Frame) -> Result<Message, Error> {
    let body = match frame {
        Frame::Body(body) => body,
        Frame::TooLarge(_) => return Err(Error::parse_error()),
        Frame::Broken(why) => {
            crate::log(&format!("skipped {why}"));
            return Err(Error::parse_error());
        }
    };
    if body.is_empty() {
        return Ok(Message::Nothing);
    }
    let value: Value = serde_json::from_slice(&body).map_err(|error| {
        crate::log(&format!("skipped a message that is not JSON: {error}"));
        Error::parse_error()
    })?;
    let is_request = value.get("method").is_some();
    if is_request {
        serde_json::from_value(value).map(Message::Request).map_err(|_| Error::invalid_request())
    } else {
        serde_json::from_value(value).map(Message::Answer).map_err(|_| Error::invalid_request())
    }
}
