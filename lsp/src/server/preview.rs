//! `springline/preview`: a custom request, for editors that show the drawing beside the text.

use std::sync::Arc;

use serde::{Deserialize, Serialize};
use springline_emit::preview::{PreviewChoice, held, page, view};
use springline_lang::step_at;
use tower_lsp::jsonrpc::Result;
use tower_lsp::ls_types::{Position, TextDocumentIdentifier};

use super::Server;
use super::answer::{CheckDepth, on};
use crate::drawn::previewed;

#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Params {
    pub text_document: TextDocumentIdentifier,
    /// The cursor: the step around it is shown.
    pub position: Option<Position>,
    /// A moment of the course, chosen on the page; it goes before the cursor.
    pub at: Option<usize>,
    /// Set where the whole page is wanted and not only what it shows; its script runs under this.
    pub nonce: Option<String>,
}

#[derive(Debug, Serialize)]
pub struct Preview {
    pub version: i32,
    pub html: String,
}

impl Server {
    /// `null` for a document that is not open, or while its mechanics take too long.
    pub async fn preview(&self, params: Params) -> Result<Option<Preview>> {
        let uri = params.text_document.uri.clone();
        on(&uri, CheckDepth::WHOLE, move |found| {
            let checked = found.checked.as_ref()?;
            let shown = found.snapshot.session.drawn.of(&found.snapshot.document.uri, checked);
            let cursor = params.position.map(|p| found.snapshot.positions().offset(p));
            let choice = match (params.at, cursor) {
                (Some(at), _) => PreviewChoice::Moment(at),
                (None, Some(offset)) => step_at(&shown, offset).into(),
                (None, None) => PreviewChoice::Today,
            };
            let inside = view(&previewed(&shown), choice);
            let inside = if Arc::ptr_eq(&shown, checked) { inside } else { held(&inside) };
            let html = match &params.nonce {
                Some(nonce) => page("Springline preview", &inside, nonce),
                None => inside,
            };
            Some(Preview { version: found.snapshot.document.version, html })
        })
        .await
    }
}
