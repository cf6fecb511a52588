//! The service in front of tower-lsp's. It runs in the read loop, one message after another, before
//! anything can be awaited. Documents therefore change in the order sent, and a request sees exactly the
//! changes that were sent before it.

use std::cell::RefCell;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::task::{Context, Poll};

use futures::future::{BoxFuture, FutureExt as _, ready};
use serde::de::DeserializeOwned;
use serde_json::Value;
use tokio::sync::oneshot;
use tower::Service;
use tower_lsp::jsonrpc::{Error, ErrorCode, Request, Response};
use tower_lsp::ls_types::{
    DidChangeConfigurationParams, DidChangeTextDocumentParams, DidChangeWatchedFilesParams,
    DidCloseTextDocumentParams, DidOpenTextDocumentParams,
};

use crate::document::Document;
use crate::owner_message::{Owner, OwnerMessage, Snapshots};
use crate::session::Session;
use crate::settings::Settings;

tokio::task_local! {
    /// The documents as a request is to see them.
    pub static REQUEST_CONTEXT: RequestContext;
}

/// Captured in the read loop, taken over by the request.
pub struct RequestContext {
    pub snapshots: RefCell<Option<oneshot::Receiver<Arc<Snapshots>>>>,
    pub owner: Owner,
}

pub struct OrderedService<S> {
    inner: S,
    owner: Owner,
    session: Arc<Session>,
    /// `initialize` was answered well, and `shutdown` not yet said.
    open: Arc<AtomicBool>,
    shut_down: Arc<AtomicBool>,
}

impl<S> OrderedService<S> {
    pub fn new(inner: S, owner: Owner, session: Arc<Session>) -> OrderedService<S> {
        let open = Arc::new(AtomicBool::new(false));
        OrderedService { inner, owner, session, open, shut_down: Arc::default() }
    }

    /// Set once the client has said `shutdown`: then `exit` is in order.
    pub fn shut_down(&self) -> Arc<AtomicBool> {
        self.shut_down.clone()
    }

    /// Deals with a notification; `false` if it is none of those that matter here.
    fn notice(&self, method: &str, params: Option<Value>) {
        if !self.open.load(Ordering::SeqCst) {
            return;
        }
        match method {
            "textDocument/didOpen" => {
                let Some(params) = parse::<DidOpenTextDocumentParams>(method, params) else {
                    return;
                };
                let opened = params.text_document;
                let text = opened.text.into();
                let (uri, version) = (opened.uri, opened.version);
                self.owner.send(OwnerMessage::Open(Document { uri, version, text }));
            }
            "textDocument/didChange" => {
                let Some(params) = parse::<DidChangeTextDocumentParams>(method, params) else {
                    return;
                };
                let (uri, version) = (params.text_document.uri, params.text_document.version);
                self.owner.send(OwnerMessage::Change {
                    uri,
                    version,
                    changes: params.content_changes,
                });
            }
            "textDocument/didClose" => {
                let Some(params) = parse::<DidCloseTextDocumentParams>(method, params) else {
                    return;
                };
                self.owner.send(OwnerMessage::Close { uri: params.text_document.uri });
            }
            "workspace/didChangeWatchedFiles" => {
                let Some(params) = parse::<DidChangeWatchedFilesParams>(method, params) else {
                    return;
                };
                let uris = params.changes.into_iter().map(|c| c.uri).collect();
                self.owner.send(OwnerMessage::Watched { uris });
            }
            "workspace/didChangeConfiguration" => {
                let Some(params) = parse::<DidChangeConfigurationParams>(method, params) else {
                    return;
                };
                // A notification without settings means that they have to be requested.
                if let Some(settings) = Settings::read(Some(&params.settings)) {
                    self.session.set(settings);
                    self.owner.send(OwnerMessage::Reconsider);
                }
            }
            _ => {}
        }
    }
}

fn parse<T: DeserializeOwned>(method: &str, params: Option<Value>) -> Option<T> {
    match serde_json::from_value(params.unwrap_or_default()) {
        Ok(params) => Some(params),
        Err(error) => {
            crate::log(&format!("{method} could not be parsed: {error}"));
            None
        }
    }
}

impl<S> Service<Request> for OrderedService<S>
where
    S: Service<Request, Response = Option<Response>> + Send + 'static,
    S::Future: Send + 'static,
    S::Error: Send + 'static,
{
    type Response = Option<Response>;
    type Error = S::Error;
    type Future = BoxFuture<'static, Result<Self::Response, Self::Error>>;

    fn poll_ready(&mut self, context: &mut Context<'_>) -> Poll<Result<(), Self::Error>> {
        self.inner.poll_ready(context)
    }

    fn call(&mut self, request: Request) -> Self::Future {
        match (request.method(), request.id().cloned()) {
            ("exit", _) => ready(Ok(None)).boxed(),
            ("initialize", Some(_)) => self.initialize(request),
            ("shutdown", Some(_)) => {
                self.shut_down.store(true, Ordering::SeqCst);
                self.open.store(false, Ordering::SeqCst);
                self.inner.call(request).boxed()
            }
            (method, Some(id)) if method.starts_with("$/") => {
                let error = Error::method_not_found();
                ready(Ok(Some(Response::from_error(id, error)))).boxed()
            }
            (_, Some(_)) => {
                let snapshots = RefCell::new(Some(self.owner.capture()));
                let captured = RequestContext { snapshots, owner: self.owner.clone() };
                REQUEST_CONTEXT.scope(captured, self.inner.call(request)).boxed()
            }
            ("$/cancelRequest" | "initialized", None) => {
                // The service acts on these within the call or right after; nothing waits for them.
                let work = self.inner.call(request);
                tokio::spawn(async move { drop(work.await) });
                ready(Ok(None)).boxed()
            }
            (_, None) => {
                let (method, _, params) = request.into_parts();
                self.notice(&method, params);
                ready(Ok(None)).boxed()
            }
        }
    }
}

impl<S> OrderedService<S>
where
    S: Service<Request, Response = Option<Response>> + Send + 'static,
    S::Future: Send + 'static,
{
    fn initialize(
        &mut self,
        request: Request,
    ) -> BoxFuture<'static, Result<Option<Response>, S::Error>> {
        let open = self.open.clone();
        let work = self.inner.call(request);
        async move {
            let answer = work.await?;
            if answer.as_ref().is_some_and(Response::is_ok) {
                open.store(true, Ordering::SeqCst);
            }
            Ok(answer)
        }
        .boxed()
    }
}

/// What a request answers whose text the client has changed since.
pub fn content_modified() -> Error {
    Error::new(ErrorCode::ContentModified)
}
