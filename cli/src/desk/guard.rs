//! Whom the desk answers: this machine by its own name, and pages that came from here.

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

/// The names under which a browser reaches the desk.
#[derive(Debug, Clone, Copy)]
pub struct OwnAddress {
    pub port: u16,
}

impl OwnAddress {
    fn hosts(self) -> [String; 2] {
        ["127.0.0.1", "localhost"].map(|name| format!("{name}:{}", self.port))
    }

    /// A page elsewhere can point a name of its own at this machine, but cannot say ours.
    fn is_asked_by_name(self, request: &Request) -> bool {
        let own = |host: &str| self.hosts().iter().any(|h| h == host);
        let in_line = request.uri().authority().is_none_or(|a| own(a.as_str()));
        in_line && only(request.headers(), &header::HOST).is_some_and(own)
    }

    /// A browser says which page opened a socket; only ours may.
    pub fn is_own_page(self, headers: &HeaderMap) -> bool {
        let origin = only(headers, &header::ORIGIN);
        let host = origin.and_then(|o| o.strip_prefix("http://"));
        host.is_some_and(|host| self.hosts().iter().any(|h| h == host))
    }
}

/// A header that is there once.
fn only<'a>(headers: &'a HeaderMap, name: &HeaderName) -> Option<&'a str> {
    let mut all = headers.get_all(name).iter();
    let first = all.next()?.to_str().ok()?;
    all.next().is_none().then_some(first)
}

/// Around every answer: asked by our name, and shown in no other page, kept nowhere, guessed as nothing.
pub async fn guard(State(own): State<OwnAddress>, request: Request, next: Next) -> Response {
    let mut response = match own.is_asked_by_name(&request) {
        true => next.run(request).await,
        false => (StatusCode::FORBIDDEN, "This page is only for this machine.\n").into_response(),
    };
    let headers = response.headers_mut();
    headers
        .entry(header::CONTENT_SECURITY_POLICY)
        .or_insert(HeaderValue::from_static("default-src 'none'; frame-ancestors 'none'"));
    for (name, value) in [
        ("x-frame-options", "DENY"),
        ("cache-control", "no-store"),
        ("x-content-type-options", "nosniff"),
        ("referrer-policy", "no-referrer"),
        ("cross-origin-resource-policy", "same-origin"),
        ("cross-origin-opener-policy", "same-origin"),
        ("permissions-policy", "camera=(), microphone=(), geolocation=()"),
    ] {
        headers.insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    }
    response
}
