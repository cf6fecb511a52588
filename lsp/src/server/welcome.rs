//! Initialisation: workspace folders, file watching, and configuration requests.

use tower_lsp::ls_types::*;

use super::Server;
use crate::owner::path_of;
use crate::owner_message::OwnerMessage;
use crate::practice_files::EXTENSION;
use crate::settings::Settings;

impl Server {
    /// Registers file watchers. On its own task, because the response arrives through the loop that
    /// called this.
    pub(super) fn watch_files(&self) {
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

    pub(super) fn fetch_settings(&self) {
        let (client, session, owner) =
            (self.client.clone(), self.session.clone(), self.owner.clone());
        let item = ConfigurationItem { scope_uri: None, section: Some("springline".to_owned()) };
        tokio::spawn(async move {
            let Ok(values) = client.configuration(vec![item]).await else { return };
            if let Some(settings) = Settings::read(values.first()) {
                session.set(settings);
                owner.send(OwnerMessage::Reconsider);
            }
        });
    }
}

/// The folders open in the editor, with links resolved.
pub(super) fn roots(params: &InitializeParams) -> Vec<std::path::PathBuf> {
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
