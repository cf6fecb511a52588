//! `springline/preview`: a custom request, for editors that show the drawing beside the text.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use serde::{Deserialize, Serialize};
use springline_emit::preview::{PreviewChoice, Previewed, held, is_drawable, page, view};
use springline_lang::syntax::FileKind;
use springline_lang::{Checked, step_at};
use tower_lsp::jsonrpc::Result;
use tower_lsp::ls_types::{Position, TextDocumentIdentifier, Uri};

use super::Server;
use super::answer::{CheckDepth, on};

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

/// Of each document shown, the last text that could be drawn whole.
#[derive(Debug, Default)]
pub struct Drawn {
    kept: Mutex<HashMap<String, Arc<Checked>>>,
}

/// Documents remembered at most.
const KEPT: usize = 16;

impl Drawn {
    /// What is shown of a document: it as it is, unless a line of it cannot be read just now.
    fn of(&self, uri: &Uri, checked: &Arc<Checked>) -> Arc<Checked> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if !is_drawable(&previewed(checked)) {
            return kept.get(uri.as_str()).unwrap_or(checked).clone();
        }
        if kept.len() >= KEPT && !kept.contains_key(uri.as_str()) {
            kept.clear();
        }
        kept.insert(uri.as_str().to_owned(), checked.clone());
        checked.clone()
    }
}

/// What the page is made of.
pub fn previewed(checked: &Checked) -> Previewed<'_> {
    Previewed {
        course: checked.course(),
        findings: &checked.findings,
        is_practice_file: checked.parse.kind == FileKind::House,
    }
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
