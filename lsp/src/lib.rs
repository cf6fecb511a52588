//! The language server, built on the same checks as the terminal.
//!
//! Bytes come in through `transport`; `ordered_service` handles messages that change documents, in the order sent;
//! one `owner` task holds the documents and hands out `snapshot`s; `analysis` checks each new snapshot
//! and publishes findings; `server` answers requests, each by a pure function in `features` whose result
//! `convert` turns into protocol types. The crate must not know the command line, and judges nothing itself.

mod analysed_file;
mod analysis;
mod convert;
mod disk_texts;
mod document;
mod drawn;
pub mod features;
pub mod fingerprint;
mod habits_cache;
mod lifecycle;
mod ordered_service;
mod owner;
mod owner_message;
mod pages;
pub mod position;
pub mod practice_files;
mod project;
mod server;
mod session;
mod settings;
mod snapshot;
mod transport;

use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::Ordering;

use tokio::io::{AsyncRead, AsyncWrite};
use tower_lsp::LspService;

use crate::analysis::{Analysis, RefreshRequests};
use crate::ordered_service::OrderedService;
use crate::owner::Documents;
use crate::owner_message::Owner;
use crate::server::Server;
use crate::session::Session;

pub use analysed_file::AnalysedFile;
pub use drawn::previewed;
pub use owner::address_of;

/// Serves one client until it says `exit` or closes its end. The process's exit code: 0 after
/// `shutdown`, 1 without.
pub async fn serve<I, O>(input: I, output: O) -> u8
where
    I: AsyncRead + Unpin,
    O: AsyncWrite + Unpin + Send + 'static,
{
    let session = Arc::new(Session::default());
    let (owner, messages) = Owner::channel();
    let (refresh, refreshes) = tokio::sync::mpsc::unbounded_channel();
    let refresh_requests = RefreshRequests { refresh };
    let analysis = Analysis::start(owner.clone(), refresh_requests.clone());
    let documents =
        tokio::spawn(Documents::new(session.clone(), analysis, refresh_requests).run(messages));
    let (service, socket) = LspService::build(|client| {
        tokio::spawn(lifecycle::pass_on_refreshes(client.clone(), session.clone(), refreshes));
        Server::new(client, session.clone(), owner.clone())
    })
    .custom_method("springline/preview", Server::preview)
    .custom_method("springline/moments", Server::moments)
    .custom_method("springline/picture", Server::picture)
    .custom_method("springline/stand", Server::stand)
    .custom_method("springline/forces", Server::forces)
    .custom_method("springline/drafts", Server::drafts)
    .custom_method("springline/draft", Server::draft)
    .custom_method("springline/visitForm", Server::visit_form)
    .custom_method("springline/visit", Server::visit)
    .custom_method("springline/newForm", Server::new_form)
    .custom_method("springline/new", Server::new_text)
    .finish();
    let service_in_order = OrderedService::new(service, owner, session.clone());
    let shut_down = service_in_order.shut_down();
    let editor_gone = lifecycle::editor_gone(session.clone());
    let publisher = session.publisher.clone();
    tokio::select! {
        _ = transport::run(input, output, service_in_order, socket, publisher) => {}
        () = editor_gone => {}
    }
    documents.abort();
    u8::from(!shut_down.load(Ordering::SeqCst))
}

/// Serves the client on standard input and output; what a binary's `main` returns.
pub fn run_stdio() -> ExitCode {
    let runtime =
        match tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_time().build() {
            Ok(runtime) => runtime,
            Err(error) => {
                log(&format!("the server cannot start: {error}"));
                return ExitCode::from(2);
            }
        };
    let code = runtime.block_on(serve(tokio::io::stdin(), tokio::io::stdout()));
    // A read of standard input cannot be cancelled, so it is not awaited.
    runtime.shutdown_background();
    ExitCode::from(code)
}

/// Standard error is the server's log in every editor.
fn log(message: &str) {
    use std::io::Write as _;
    // A closed standard error does not stop the server.
    let _ = writeln!(std::io::stderr(), "springline: {message}");
}
