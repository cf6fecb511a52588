//! HTTP server of the preview page, for this machine only.

use std::convert::Infallible;
use std::hash::{BuildHasher as _, Hasher as _, RandomState};
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::{RawQuery, Request, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::middleware::{self, Next};
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::get;
use futures::Stream;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use springline_emit::preview::{page, policy};
use springline_lang::text::visible;
use tokio::net::TcpListener;

use super::follow::Follower;
use crate::secret::Secret;

/// How long the head of a request may take, the next one on a connection included.
const PATIENCE: Duration = Duration::from_secs(10);

/// Serves until the process ends.
pub async fn serve(
    listener: TcpListener,
    follower: Follower,
    secret: Secret,
) -> std::io::Result<()> {
    serve_for(listener, router(follower, secret), PATIENCE).await
}

async fn serve_for(
    listener: TcpListener,
    router: Router,
    patience: Duration,
) -> std::io::Result<()> {
    loop {
        let stream = match listener.accept().await {
            Ok((stream, _)) => stream,
            // Too many at once: some of them will end.
            Err(_) => {
                tokio::time::sleep(Duration::from_millis(100)).await;
                continue;
            }
        };
        let service = TowerToHyperService::new(router.clone());
        tokio::spawn(async move {
            let served = http1::Builder::new()
                .timer(TokioTimer::new())
                .header_read_timeout(patience)
                .serve_connection(TokioIo::new(stream), service);
            // A browser that goes away is no error of ours.
            let _ = served.await;
        });
    }
}

fn router(follower: Follower, secret: Secret) -> Router {
    Router::new()
        .route("/{secret}/", get(whole))
        .route("/{secret}/view", get(inside))
        .route("/{secret}/events", get(events))
        .layer(middleware::from_fn_with_state(secret, guard))
        .with_state(Arc::new(follower))
}

/// A page elsewhere could point a name of its own at this machine, and another account could try its
/// ports; they are answered nothing, nor may any page show this one inside itself.
async fn guard(State(secret): State<Secret>, request: Request, next: Next) -> Response {
    let said = request.uri().path().split('/').nth(1).unwrap_or_default();
    let mut response = if !is_here(request.headers()) {
        (StatusCode::FORBIDDEN, "This page is only for this machine.\n").into_response()
    } else if !secret.is(said) {
        (StatusCode::NOT_FOUND, "The address is incomplete.\n").into_response()
    } else {
        next.run(request).await
    };
    let headers = response.headers_mut();
    headers
        .entry(header::CONTENT_SECURITY_POLICY)
        .or_insert(HeaderValue::from_static("default-src 'none'; frame-ancestors 'none'"));
    headers.insert(header::X_FRAME_OPTIONS, HeaderValue::from_static("DENY"));
    headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    headers.insert(header::X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    headers.insert(header::REFERRER_POLICY, HeaderValue::from_static("no-referrer"));
    headers.insert("cross-origin-resource-policy", HeaderValue::from_static("same-origin"));
    headers.insert("cross-origin-opener-policy", HeaderValue::from_static("same-origin"));
    response
}

fn is_here(headers: &HeaderMap) -> bool {
    let host = headers.get(header::HOST).and_then(|h| h.to_str().ok()).unwrap_or_default();
    let name = host.rsplit_once(':').map_or(host, |(name, _)| name);
    matches!(name, "127.0.0.1" | "localhost")
}

async fn whole(State(follower): State<Arc<Follower>>) -> Response {
    let view = newest(&follower, None).await;
    let name = follower.path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let nonce = nonce();
    let title = format!("{}: preview", visible::line(&name));
    // What a page within the page cannot say of itself.
    let policy = format!("{}; frame-ancestors 'none'", policy(&nonce));
    let mut response = Html(page(&title, &view, &nonce)).into_response();
    if let Ok(policy) = HeaderValue::from_str(&policy) {
        response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, policy);
    }
    response
}

async fn inside(State(follower): State<Arc<Follower>>, RawQuery(query): RawQuery) -> Html<String> {
    let at = query.as_deref().and_then(|q| q.strip_prefix("at=")).and_then(|n| n.parse().ok());
    Html(newest(&follower, at).await)
}

/// Drawing is slow, so it runs on a blocking thread.
async fn newest(follower: &Follower, at: Option<usize>) -> String {
    let state = follower.states.borrow().clone();
    tokio::task::spawn_blocking(move || state.view(at)).await.unwrap_or_default()
}

/// One event for every change; what changed is asked for.
async fn events(
    State(follower): State<Arc<Follower>>,
) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let states = follower.states.clone();
    let stream = futures::stream::unfold(states, |mut states| async {
        states.changed().await.ok()?;
        let revision = states.borrow_and_update().revision;
        Some((Ok(Event::default().data(revision.to_string())), states))
    });
    Sse::new(stream).keep_alive(KeepAlive::default())
}

/// Not to be guessed by a page that would like its script to run in ours.
fn nonce() -> String {
    let one = || RandomState::new().build_hasher().finish();
    format!("{:016x}{:016x}", one(), one())
}

#[cfg(test)]
mod tests {
    use std::net::Ipv4Addr;

    use tokio::io::{AsyncReadExt as _, AsyncWriteExt as _};
    use tokio::net::TcpStream;

    use super::*;

    async fn ask(port: u16, host: &str, path: &str) -> String {
        let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, port)).await.unwrap();
        let request = format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n");
        stream.write_all(request.as_bytes()).await.unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).await.unwrap();
        answer
    }

    struct Served {
        port: u16,
        secret: String,
    }

    async fn served(patience: Duration) -> Served {
        let case =
            concat!(env!("CARGO_MANIFEST_DIR"), "/../examples/cases/sm-0410-both-arches.spring");
        let follower = Follower::start(case.into(), jiff::civil::date(2026, 11, 24));
        let mut states = follower.states.clone();
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).await.unwrap();
        let port = listener.local_addr().unwrap().port();
        let secret = Secret::new().unwrap();
        let known = secret.as_str().to_owned();
        tokio::spawn(serve_for(listener, router(follower, secret), patience));
        states.wait_for(|s| s.revision > 0).await.unwrap();
        Served { port, secret: known }
    }

    #[tokio::test]
    async fn the_page_is_served_to_this_machine_and_to_who_knows_the_address() {
        let Served { port, secret } = served(PATIENCE).await;
        let here = format!("127.0.0.1:{port}");
        let page = ask(port, &here, &format!("/{secret}/")).await;
        assert!(page.starts_with("HTTP/1.1 200") && page.contains("<svg"), "{page}");
        let head = page.split("\r\n\r\n").next().unwrap().to_lowercase();
        for part in
            ["no-store", "x-frame-options: deny", "frame-ancestors 'none'", "script-src 'nonce-"]
        {
            assert!(head.contains(part), "{part}: {head}");
        }
        let view = ask(port, &here, &format!("/{secret}/view?at=0")).await;
        assert!(view.contains("Upper, align") && !view.contains("<html"));
        let view = ask(port, &here, &format!("/{secret}/view?at=x")).await;
        assert!(view.contains("Upper, work"));
        let elsewhere = ask(port, "elsewhere.example", &format!("/{secret}/")).await;
        assert!(elsewhere.starts_with("HTTP/1.1 403"));
        // Another account on this machine knows the port and no more.
        let other = Secret::new().unwrap();
        assert_ne!(other.as_str(), secret);
        for path in [
            "/",
            "/view",
            "/events",
            "/etc/passwd",
            &format!("/{}/", other.as_str()),
            &format!("/{}/", &secret[1..]),
            &format!("/x/../{secret}/"),
            "//",
        ] {
            let answer = ask(port, &here, path).await;
            assert!(answer.starts_with("HTTP/1.1 404"), "{path}: {answer}");
            assert!(!answer.contains("<svg"), "{path}");
        }
        assert_ne!(nonce(), nonce());
    }

    #[tokio::test]
    async fn a_request_half_sent_is_not_waited_for() {
        let Served { port, .. } = served(Duration::from_millis(200)).await;
        let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, port)).await.unwrap();
        stream.write_all(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow:").await.unwrap();
        let mut answer = Vec::new();
        let ended = stream.read_to_end(&mut answer);
        let ended = tokio::time::timeout(Duration::from_secs(20), ended).await;
        assert!(ended.is_ok(), "the connection is closed");
        assert!(!String::from_utf8_lossy(&answer).contains("200 OK"));
    }
}
