//! `springline/forces`: the force table of one moment as data.

use serde::{Deserialize, Serialize};
use springline_emit::interactive::{ArchForces, course_moments, forces_at, forces_note, moment_of};
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::ls_types::TextDocumentIdentifier;

use super::picture::shown;
use crate::server::Server;
use crate::server::answer::{CheckDepth, on};

#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ForcesParams {
    pub text_document: TextDocumentIdentifier,
    pub moment: String,
}

#[derive(Debug, Serialize)]
pub struct ForcesAnswer {
    pub version: i32,
    pub held: bool,
    pub moment: String,
    pub arches: Vec<ArchForces>,
    pub note: String,
}

impl Server {
    /// `null` for a document that is not open or no case, or while its mechanics take too long.
    pub async fn forces(&self, params: ForcesParams) -> Result<Option<ForcesAnswer>> {
        let uri = params.text_document.uri.clone();
        let found = on(&uri, CheckDepth::WHOLE, move |view| {
            let (shown, held) = shown(view, view.checked.as_ref()?);
            let (case, forecast) = shown.course()?;
            let all = course_moments(case, forecast);
            let Some(moment) = moment_of(&all, forecast, &params.moment) else {
                let message = format!("there is no moment `{}`", params.moment);
                return Some(Err(Error::invalid_params(message)));
            };
            Some(Ok(ForcesAnswer {
                version: view.snapshot.document.version,
                held,
                arches: forces_at(case, forecast, &moment),
                note: forces_note(case),
                moment: moment.id,
            }))
        });
        found.await?.transpose()
    }
}
