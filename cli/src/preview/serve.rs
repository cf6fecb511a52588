//! The page over HTTP, for this machine only.

use std::convert::Infallible;
use std::hash::{BuildHasher as _, Hasher as _, RandomState};
use std::sync::Arc;

use axum::Router;
use axum::extract::{RawQuery, Request, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::middleware::{self, Next};
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::get;
use futures::Stream;
use springline_lang::emit::preview::page;
use tokio::net::TcpListener;

use super::follow::Follower;

/// Serves until the process ends.
pub async fn serve(listener: TcpListener, follower: Follower) -> std::io::Result<()> {
    axum::serve(listener, router(follower)).await
}

fn router(follower: Follower) -> Router {
    Router::new()
        .route("/", get(whole))
        .route("/view", get(inside))
        .route("/events", get(events))
        .layer(middleware::from_fn(guard))
        .with_state(Arc::new(follower))
}

/// A page elsewhere could point a name of its own at this machine; it is answered nothing.
async fn guard(request: Request, next: Next) -> Response {
    if !is_here(request.headers()) {
        return (StatusCode::FORBIDDEN, "This page is for this machine only.\n").into_response();
    }
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    headers.insert(header::X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    headers.insert(header::REFERRER_POLICY, HeaderValue::from_static("no-referrer"));
    headers.insert("cross-origin-resource-policy", HeaderValue::from_static("same-origin"));
    response
}

fn is_here(headers: &HeaderMap) -> bool {
    let host = headers.get(header::HOST).and_then(|h| h.to_str().ok()).unwrap_or_default();
    let name = host.rsplit_once(':').map_or(host, |(name, _)| name);
    matches!(name, "127.0.0.1" | "localhost")
}

async fn whole(State(follower): State<Arc<Follower>>) -> Html<String> {
    let view = newest(&follower, None).await;
    let name = follower.path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    Html(page(&format!("{name}: preview"), &view, &nonce()))
}

async fn inside(State(follower): State<Arc<Follower>>, RawQuery(query): RawQuery) -> Html<String> {
    let at = query.as_deref().and_then(|q| q.strip_prefix("at=")).and_then(|n| n.parse().ok());
    Html(newest(&follower, at).await)
}

/// Drawing takes a moment; it is done where it blocks nobody.
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

    #[tokio::test]
    async fn the_page_is_served_to_this_machine_and_to_no_other_name() {
        let case =
            concat!(env!("CARGO_MANIFEST_DIR"), "/../examples/cases/sm-0410-both-arches.spring");
        let follower = Follower::start(case.into(), jiff::civil::date(2026, 11, 24));
        let mut states = follower.states.clone();
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).await.unwrap();
        let port = listener.local_addr().unwrap().port();
        tokio::spawn(serve(listener, follower));
        states.wait_for(|s| s.revision > 0).await.unwrap();
        let here = format!("127.0.0.1:{port}");
        let page = ask(port, &here, "/").await;
        assert!(page.starts_with("HTTP/1.1 200") && page.contains("<svg"), "{page}");
        assert!(page.contains("no-store"));
        let view = ask(port, &here, "/view?at=0").await;
        assert!(view.contains("Upper, align") && !view.contains("<html"));
        assert!(ask(port, &here, "/view?at=x").await.contains("Upper, work"));
        assert!(ask(port, "elsewhere.example", "/").await.starts_with("HTTP/1.1 403"));
        assert!(ask(port, &here, "/etc/passwd").await.starts_with("HTTP/1.1 404"));
        assert_ne!(nonce(), nonce());
    }
}
