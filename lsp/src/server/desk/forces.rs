//! `springline/forces`: the force table of one moment as data.

use serde::{Deserialize, Serialize};
use springline_emit::interactive::{
    ArchForces, ToothForcesRow, course_moments, forces_at, forces_note, moment_of,
};
use springline_emit::tables::forces::{BandedFigure, PulledFigure};
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::ls_types::TextDocumentIdentifier;

use super::picture::shown;
use super::shapes::ArchName;
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
    pub arches: Vec<ArchForceRows>,
    /// Coils, chains and elastics of both arches, with what they pull.
    pub pulls: Vec<String>,
    pub note: String,
}

#[derive(Debug, Serialize)]
pub struct ArchForceRows {
    pub arch: ArchName,
    pub step: String,
    pub wire: String,
    /// Why there are no figures.
    pub refused: Option<String>,
    pub rows: Vec<ForceRow>,
}

/// One tooth: grams and N mm, signs as in the force table.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct ForceRow {
    pub tooth: String,
    pub shown: String,
    /// Where the wire pushes it, in words.
    pub way: String,
    pub peak_g: f64,
    pub delivered_g: f64,
    pub sustained_g: f64,
    pub lingual_g: f64,
    pub gingival_g: f64,
    pub along_g: f64,
    pub rotation_nmm: f64,
    pub tip_nmm: f64,
    pub torque_nmm: f64,
    pub passive: bool,
    /// What coils, springs, chains, elastics and ties pull on it besides.
    pub pulled: Option<PulledFigure>,
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
            let arches = forces_at(case, forecast, &moment);
            Some(Ok(ForcesAnswer {
                version: view.snapshot.document.version,
                held,
                pulls: arches.iter().flat_map(|arch| arch.pulls.clone()).collect(),
                arches: arches.into_iter().map(arch_rows).collect(),
                note: forces_note(case),
                moment: moment.id,
            }))
        });
        found.await?.transpose()
    }
}

fn arch_rows(arch: ArchForces) -> ArchForceRows {
    ArchForceRows {
        arch: arch.arch.into(),
        step: arch.step,
        wire: arch.wire,
        refused: arch.refused,
        rows: arch.teeth.into_iter().map(force_row).collect(),
    }
}

fn force_row(ToothForcesRow { shown, way, row }: ToothForcesRow) -> ForceRow {
    // As fine as the table's JSON is worth reading.
    let figure = |figure: BandedFigure| (figure.value * 100.0).round() / 100.0 + 0.0;
    ForceRow {
        tooth: row.tooth.code().to_string(),
        shown,
        way,
        peak_g: figure(row.peak_g),
        delivered_g: figure(row.delivered_g),
        sustained_g: figure(row.sustained_g),
        lingual_g: figure(row.lingual_g),
        gingival_g: figure(row.gingival_g),
        along_g: figure(row.along_g),
        rotation_nmm: figure(row.rotation_nmm),
        tip_nmm: figure(row.tip_nmm),
        torque_nmm: figure(row.torque_nmm),
        passive: row.passive,
        pulled: row.pulled_g,
    }
}
