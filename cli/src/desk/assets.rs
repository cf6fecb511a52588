//! The page's files, built into the program: a fixed table, so no request becomes the path of a file.
//! `editors/desk/build` makes them.

use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};

use springline_emit::caution::CAUTION;

use crate::secret::Secret;

const PAGE: &str = include_str!("../../assets/desk/desk.html");
const PICK_PAGE: &str = include_str!("../../assets/desk/pick.html");

/// Path, kind, content.
const FILES: [(&str, &str, &[u8]); 8] = [
    ("/desk.js", "text/javascript; charset=utf-8", include_bytes!("../../assets/desk/desk.js")),
    (
        "/desk-chunk.js",
        "text/javascript; charset=utf-8",
        include_bytes!("../../assets/desk/desk-chunk.js"),
    ),
    (
        "/desk-differs.js",
        "text/javascript; charset=utf-8",
        include_bytes!("../../assets/desk/desk-differs.js"),
    ),
    ("/desk.css", "text/css; charset=utf-8", include_bytes!("../../assets/desk/desk.css")),
    ("/pick.js", "text/javascript; charset=utf-8", include_bytes!("../../assets/desk/pick.js")),
    ("/mesh.js", "text/javascript; charset=utf-8", include_bytes!("../../assets/desk/mesh.js")),
    ("/pick.css", "text/css; charset=utf-8", include_bytes!("../../assets/desk/pick.css")),
    (
        "/licences.txt",
        "text/plain; charset=utf-8",
        include_bytes!("../../assets/desk/licences.txt"),
    ),
];

/// What the page may load and run: its own script, its own style and the editor's, which has a number that
/// changes with every load.
fn policy(nonce: &str) -> String {
    format!(
        "default-src 'none'; script-src 'self'; style-src 'self' 'nonce-{nonce}'; connect-src 'self'; \
         img-src 'self' data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; \
         require-trusted-types-for 'script'; trusted-types springline-drawing"
    )
}

pub fn page() -> Response {
    guarded(PAGE)
}

/// The page on which points are picked.
pub fn pick_page() -> Response {
    guarded(PICK_PAGE)
}

fn guarded(page: &str) -> Response {
    let Ok(nonce) = Secret::new() else {
        return (StatusCode::INTERNAL_SERVER_ERROR, "No randomness.\n").into_response();
    };
    let page = page.replace("NONCE", nonce.as_str()).replace("CAUTION", CAUTION);
    let policy = HeaderValue::from_str(&policy(nonce.as_str()));
    let mut response = ([(header::CONTENT_TYPE, "text/html; charset=utf-8")], page).into_response();
    if let Ok(policy) = policy {
        response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, policy);
    }
    response
}

pub fn file(path: &str) -> Option<Response> {
    let (_, kind, content) = FILES.iter().find(|(name, ..)| *name == path)?;
    Some(([(header::CONTENT_TYPE, *kind)], *content).into_response())
}
