//! Requests: each finds its document, asks a feature, and converts the answer.

mod answer;
mod capabilities;

use std::sync::Arc;
use std::time::Duration;

use tower_lsp::jsonrpc::Result;
use tower_lsp::ls_types::*;
use tower_lsp::{Client, LanguageServer};

use crate::analysis::Stage;
use crate::convert::diagnostic;
use crate::front::content_modified;
use crate::library::EXTENSION;
use crate::owner::{Message, Owner, path_of};
use crate::session::{Abilities, Agreed, Session};
use crate::settings::Settings;
use answer::world;

/// How long an asked-for list of diagnostics waits for the mechanics. What is late is asked for again.
const DIAGNOSTICS: Duration = Duration::from_millis(400);

#[derive(Debug)]
pub struct Server {
    client: Client,
    session: Arc<Session>,
    owner: Owner,
}

impl Server {
    pub fn new(client: Client, session: Arc<Session>, owner: Owner) -> Server {
        Server { client, session, owner }
    }

    /// Asks for files on disk to be watched. On a task of its own: the answer comes in through the
    /// loop that called us.
    fn watch_files(&self) {
        let client = self.client.clone();
        let watcher = FileSystemWatcher {
            glob_pattern: GlobPattern::String(format!("**/*.{EXTENSION}")),
            kind: None,
        };
        let options = DidChangeWatchedFilesRegistrationOptions { watchers: vec![watcher] };
        let registration = Registration {
            id: "springline-files".to_owned(),
            method: "workspace/didChangeWatchedFiles".to_owned(),
            register_options: serde_json::to_value(options).ok(),
        };
        tokio::spawn(async move {
            if let Err(error) = client.register_capability(vec![registration]).await {
                crate::log(&format!("files are not watched: {error}"));
            }
        });
    }

    fn fetch_settings(&self) {
        let (client, session, owner) =
            (self.client.clone(), self.session.clone(), self.owner.clone());
        let item = ConfigurationItem { scope_uri: None, section: Some("springline".to_owned()) };
        tokio::spawn(async move {
            let Ok(values) = client.configuration(vec![item]).await else { return };
            if let Some(settings) = Settings::read(values.first()) {
                session.set(settings);
                owner.send(Message::Reconsider);
            }
        });
    }
}

fn roots(params: &InitializeParams) -> Vec<std::path::PathBuf> {
    let folders = params.workspace_folders.iter().flatten().map(|f| f.uri.clone());
    #[expect(deprecated, reason = "what older clients send")]
    let single = params.root_uri.clone();
    let uris: Vec<Uri> = folders.collect();
    let uris = if uris.is_empty() { single.into_iter().collect() } else { uris };
    uris.iter()
        .filter_map(path_of)
        .map(|path| std::fs::canonicalize(&path).unwrap_or(path))
        .collect()
}

impl LanguageServer for Server {
    async fn initialize(&self, params: InitializeParams) -> Result<InitializeResult> {
        let abilities = Abilities::of(&params);
        self.session.agree(Agreed { abilities, roots: roots(&params), editor: params.process_id });
        if let Some(settings) = Settings::read(params.initialization_options.as_ref()) {
            self.session.set(settings);
        }
        Ok(InitializeResult {
            capabilities: capabilities::of(abilities),
            server_info: Some(ServerInfo {
                name: "springline".to_owned(),
                version: Some(env!("CARGO_PKG_VERSION").to_owned()),
            }),
            offset_encoding: None,
        })
    }

    async fn initialized(&self, _: InitializedParams) {
        let abilities = self.session.abilities();
        if abilities.watches {
            self.watch_files();
        }
        if abilities.configuration {
            self.fetch_settings();
        }
    }

    async fn shutdown(&self) -> Result<()> {
        Ok(())
    }

    async fn diagnostic(
        &self,
        params: DocumentDiagnosticParams,
    ) -> Result<DocumentDiagnosticReportResult> {
        let world = world().await;
        let mut items = Vec::new();
        if let Some(snapshot) = world.get(params.text_document.uri.as_str()) {
            let whole = snapshot.wait_judged_for(DIAGNOSTICS).await;
            if !snapshot.is_current() {
                return Err(content_modified());
            }
            let stage = if whole.is_some() { Stage::Whole } else { Stage::Language };
            let snapshot = snapshot.clone();
            items = answer::contain(move || diagnostic::of(&snapshot, stage)).await?;
        }
        let report = FullDocumentDiagnosticReport { result_id: None, items };
        let report = RelatedFullDocumentDiagnosticReport {
            related_documents: None,
            full_document_diagnostic_report: report,
        };
        Ok(DocumentDiagnosticReportResult::Report(DocumentDiagnosticReport::Full(report)))
    }
}
