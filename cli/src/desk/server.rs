//! Answers the browser: the page's files, papers, and one socket a tab.

use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::ws::{WebSocket, WebSocketUpgrade};
use axum::extract::{Path, Request, State};
use axum::http::{Method, StatusCode, header};
use axum::middleware;
use axum::response::{IntoResponse, Response};
use axum::routing::{any, get};
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::TcpListener;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use super::assets;
use super::guard::{OwnAddress, guard};
use super::session;
use super::state::Desk;

/// How long the head of a request may take, and how long it may be.
const PATIENCE: Duration = Duration::from_secs(5);
const HEAD: usize = 8 * 1024;

/// Connections at a time; others wait until one ends.
const CONNECTIONS: usize = 128;

/// Tabs at a time.
const TABS: usize = 16;

/// The largest message of a page: the largest plan that is read, and what stands around it.
const MESSAGE: usize = 9 << 20;

#[derive(Debug, Clone)]
struct Served {
    desk: Arc<Desk>,
    own: OwnAddress,
    tabs: Arc<Semaphore>,
}

/// Serves until the program ends.
pub async fn serve(listener: TcpListener, desk: Arc<Desk>) -> std::io::Result<()> {
    let own = OwnAddress { port: listener.local_addr()?.port() };
    let served = Served { desk, own, tabs: Arc::new(Semaphore::new(TABS)) };
    let router = Router::new()
        .route("/", get(first_page))
        .route("/pick", get(async || assets::pick_page()))
        .route("/socket", any(socket))
        .route("/print/{word}", any(paper))
        .fallback(other)
        .layer(middleware::from_fn_with_state(own, guard))
        .with_state(served);
    let connections = Arc::new(Semaphore::new(CONNECTIONS));
    loop {
        let Ok(permit) = connections.clone().acquire_owned().await else { return Ok(()) };
        let Ok((stream, _)) = listener.accept().await else {
            // Too many files are open: some of them will be closed.
            tokio::time::sleep(Duration::from_millis(100)).await;
            continue;
        };
        // Messages are short and answered at once: none is to wait for another.
        let _ = stream.set_nodelay(true);
        let service = TowerToHyperService::new(router.clone());
        tokio::spawn(async move {
            let _permit = permit;
            let served = http1::Builder::new()
                .timer(TokioTimer::new())
                .header_read_timeout(PATIENCE)
                .max_buf_size(HEAD)
                .serve_connection(TokioIo::new(stream), service)
                .with_upgrades();
            // A browser that goes away is no error of ours.
            let _ = served.await;
        });
    }
}

/// The desk, or where points of one file are picked that page alone.
async fn first_page(State(served): State<Served>) -> Response {
    if served.desk.task.is_some() { assets::pick_page() } else { assets::page() }
}

async fn other(request: Request) -> Response {
    let is_read = matches!(*request.method(), Method::GET | Method::HEAD);
    let file = is_read.then(|| assets::file(request.uri().path())).flatten();
    file.unwrap_or_else(|| (StatusCode::NOT_FOUND, "There is nothing here.\n").into_response())
}

async fn socket(State(served): State<Served>, request: Request) -> Response {
    if !served.own.is_own_page(request.headers()) {
        return (StatusCode::FORBIDDEN, "Only the desk's own page may.\n").into_response();
    }
    let Ok(permit) = served.tabs.clone().try_acquire_owned() else {
        return (StatusCode::SERVICE_UNAVAILABLE, "Too many tabs are open.\n").into_response();
    };
    match axum::RequestExt::extract::<WebSocketUpgrade, _>(request).await {
        Ok(upgrade) => upgrade
            .max_message_size(MESSAGE)
            .max_frame_size(MESSAGE)
            .on_upgrade(move |socket| serve_page(socket, served.desk, permit)),
        Err(refused) => refused.into_response(),
    }
}

async fn serve_page(socket: WebSocket, desk: Arc<Desk>, permit: OwnedSemaphorePermit) {
    session::run(socket, desk).await;
    drop(permit);
}

/// Only a browser that opens it: asking for its head alone would use it up.
async fn paper(State(served): State<Served>, method: Method, Path(word): Path<String>) -> Response {
    let found = (method == Method::GET).then(|| served.desk.pages.take(&word)).flatten();
    let Some(document) = found else {
        let said = "This page has been shown already, or is older than a minute. Print it again.\n";
        return (StatusCode::NOT_FOUND, said).into_response();
    };
    let name: String = document
        .name
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() || "-._".contains(c) { c } else { '-' })
        .collect();
    let headers = [
        (header::CONTENT_TYPE, document.media_type.to_owned()),
        (header::CONTENT_DISPOSITION, format!("inline; filename=\"{name}\"")),
        // A browser shows a paper by a viewer of its own, which a policy for our page would stop.
        (header::CONTENT_SECURITY_POLICY, "frame-ancestors 'none'".to_owned()),
    ];
    (headers, document.bytes).into_response()
}
