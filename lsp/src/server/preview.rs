//! `springline/preview`: our own request, for editors that show the drawing beside the text.

use serde::{Deserialize, Serialize};
use springline_lang::emit::preview::{Choice, page, view};
use tower_lsp::jsonrpc::Result;
use tower_lsp::ls_types::{Position, TextDocumentIdentifier};

use super::Server;
use super::answer::{Need, on};

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
        on(&uri, Need::WHOLE, move |found| {
            let checked = found.checked.as_deref()?;
            let cursor = params.position.map(|p| found.snapshot.positions().offset(p));
            let choice = match (params.at, cursor) {
                (Some(at), _) => Choice::Moment(at),
                (None, Some(offset)) => Choice::at(checked, offset),
                (None, None) => Choice::Today,
            };
            let inside = view(checked, choice);
            let html = match &params.nonce {
                Some(nonce) => page("Springline preview", &inside, nonce),
                None => inside,
            };
            Some(Preview { version: found.snapshot.document.version, html })
        })
        .await
    }
}
