//! What the server offers: only what is there, and only what the client can take.

use tower_lsp::ls_types::*;

use crate::session::Abilities;

pub fn of(abilities: Abilities) -> ServerCapabilities {
    ServerCapabilities {
        position_encoding: Some(abilities.encoding.kind()),
        text_document_sync: Some(TextDocumentSyncCapability::Options(TextDocumentSyncOptions {
            open_close: Some(true),
            change: Some(TextDocumentSyncKind::INCREMENTAL),
            ..TextDocumentSyncOptions::default()
        })),
        diagnostic_provider: abilities.pulls.then(|| {
            DiagnosticServerCapabilities::Options(DiagnosticOptions {
                identifier: Some("springline".to_owned()),
                inter_file_dependencies: true,
                workspace_diagnostics: false,
                work_done_progress_options: WorkDoneProgressOptions::default(),
            })
        }),
        ..ServerCapabilities::default()
    }
}
