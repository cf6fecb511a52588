//! State of one connection: the negotiated features, and what requests share.

use std::path::PathBuf;
use std::sync::{Arc, Mutex, OnceLock, PoisonError, RwLock};

use springline_lang::{Checker, JudgementCache, TextDatabase};
use tower_lsp::ls_types::{
    ClientCapabilities, DiagnosticTag, InitializeParams, ResourceOperationKind,
};

use crate::analysis::{PublishedChecks, Publisher, Revisions};
use crate::disk_texts::DiskTexts;
use crate::drawn::Drawn;
use crate::habits_cache::HabitsCache;
use crate::pages::Pages;
use crate::position::Encoding;
use crate::practice_files::Disk;
use crate::settings::Settings;

/// Client capabilities that change what the server sends.
#[derive(Debug, Clone, Copy, Default)]
pub struct ClientFeatures {
    pub encoding: Encoding,
    /// It pulls diagnostics, so none are pushed.
    pub pulls: bool,
    pub snippets: bool,
    pub related: bool,
    /// A link from a diagnostic's name.
    pub pages: bool,
    /// Annotated edits of several documents.
    pub document_changes: bool,
    /// Files renamed by an edit.
    pub file_renames: bool,
    pub symbol_tree: bool,
    pub watches: bool,
    pub configuration: bool,
    pub diagnostic_refresh: bool,
    pub hint_refresh: bool,
    pub lens_refresh: bool,
    /// Parts of a signature by their place in it.
    pub label_offsets: bool,
    /// A diagnostic may be marked as unnecessary.
    pub unnecessary: bool,
    /// The edit of a code action may be worked out once it is chosen.
    pub late_edits: bool,
    /// Commands that the client runs itself.
    pub commands: Commands,
}

/// Our commands, as far as a client says that it can run them: in `experimental.commands.commands` of its
/// capabilities, or as `commands` of the initialization options.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Commands {
    pub check: bool,
    pub schedule: bool,
    pub course: bool,
    pub print: bool,
    /// Moves the cursor after an edit.
    pub cursor: bool,
}

impl Commands {
    fn of(params: &InitializeParams) -> Commands {
        let own = params.initialization_options.as_ref();
        let own = own.and_then(|o| o.get("springline").unwrap_or(o).get("commands"));
        let other = params.capabilities.experimental.as_ref();
        let other = other.and_then(|e| e.get("commands")?.get("commands"));
        let has = |name: &str| {
            let lists = [own, other].into_iter().flatten().filter_map(|list| list.as_array());
            lists.flatten().any(|command| command == name)
        };
        Commands {
            check: has("springline.check"),
            schedule: has("springline.schedule"),
            course: has("springline.course"),
            print: has("springline.print"),
            cursor: has("springline.cursor"),
        }
    }
}

impl ClientFeatures {
    pub fn of(params: &InitializeParams) -> ClientFeatures {
        let all: &ClientCapabilities = &params.capabilities;
        let text = all.text_document.clone().unwrap_or_default();
        let workspace = all.workspace.clone().unwrap_or_default();
        let edit = workspace.workspace_edit.unwrap_or_default();
        let general = all.general.clone().unwrap_or_default();
        let completion = text.completion.and_then(|c| c.completion_item).unwrap_or_default();
        ClientFeatures {
            encoding: Encoding::choose(general.position_encodings.as_deref()),
            pulls: text.diagnostic.is_some(),
            snippets: completion.snippet_support == Some(true),
            related: text
                .publish_diagnostics
                .as_ref()
                .is_some_and(|p| p.related_information == Some(true))
                || text.diagnostic.is_some(),
            pages: text
                .publish_diagnostics
                .as_ref()
                .is_some_and(|p| p.code_description_support == Some(true)),
            document_changes: edit.document_changes == Some(true),
            file_renames: edit.document_changes == Some(true)
                && edit
                    .resource_operations
                    .is_some_and(|all| all.contains(&ResourceOperationKind::Rename)),
            symbol_tree: text
                .document_symbol
                .is_some_and(|s| s.hierarchical_document_symbol_support == Some(true)),
            watches: workspace
                .did_change_watched_files
                .is_some_and(|w| w.dynamic_registration == Some(true)),
            configuration: workspace.configuration == Some(true),
            diagnostic_refresh: workspace
                .diagnostics
                .is_some_and(|d| d.refresh_support == Some(true)),
            hint_refresh: workspace.inlay_hint.is_some_and(|h| h.refresh_support == Some(true)),
            lens_refresh: workspace.code_lens.is_some_and(|c| c.refresh_support == Some(true)),
            label_offsets: text
                .signature_help
                .and_then(|s| s.signature_information?.parameter_information?.label_offset_support)
                == Some(true),
            unnecessary: text
                .publish_diagnostics
                .as_ref()
                .and_then(|p| p.tag_support.as_ref())
                .is_some_and(|t| t.value_set.contains(&DiagnosticTag::UNNECESSARY))
                || text.diagnostic.is_some(),
            late_edits: text
                .code_action
                .and_then(|c| c.resolve_support)
                .is_some_and(|r| r.properties.iter().any(|p| p == "edit")),
            commands: Commands::of(params),
        }
    }
}

/// What was negotiated in `initialize`.
#[derive(Debug, Default)]
pub struct Negotiated {
    pub abilities: ClientFeatures,
    /// The folders open in the editor.
    pub roots: Vec<PathBuf>,
    /// The editor's process.
    pub editor: Option<u32>,
}

/// Shared by the owner of the documents, the analysis and the requests.
#[derive(Debug, Default)]
pub struct Session {
    agreed: OnceLock<Negotiated>,
    settings: RwLock<Arc<Settings>>,
    pub disk: Disk,
    pub shelved: DiskTexts,
    pub drawn: Drawn,
    pub habits: HabitsCache,
    pub pages: Pages,
    pub currents: Revisions,
    pub publisher: Arc<Publisher>,
    pub published: PublishedChecks,
    texts: Mutex<TextDatabase>,
    /// Who tries fixes shares it, and lets go of it after each.
    judgements: Mutex<JudgementCache>,
    /// Who drafts holds it for long, so nobody else needs it.
    drafter: Mutex<Checker>,
}

impl Session {
    /// Sets it, once.
    pub fn agree(&self, agreed: Negotiated) {
        let _ = self.agreed.set(agreed);
    }

    pub fn client_features(&self) -> ClientFeatures {
        self.agreed.get().map(|agreed| agreed.abilities).unwrap_or_default()
    }

    /// Whether findings held back can be delivered later, by push or by a refresh request.
    pub fn can_publish_later(&self) -> bool {
        let abilities = self.client_features();
        !abilities.pulls || abilities.diagnostic_refresh
    }

    pub fn editor(&self) -> Option<u32> {
        self.agreed.get()?.editor
    }

    pub fn encoding(&self) -> Encoding {
        self.client_features().encoding
    }

    /// The folders open in the editor.
    pub fn roots(&self) -> &[PathBuf] {
        self.agreed.get().map_or(&[], |agreed| &agreed.roots)
    }

    pub fn settings(&self) -> Arc<Settings> {
        self.settings.read().unwrap_or_else(PoisonError::into_inner).clone()
    }

    pub fn set(&self, settings: Settings) {
        *self.settings.write().unwrap_or_else(PoisonError::into_inner) = Arc::new(settings);
    }

    /// Text database. Its holder never waits for a judgement.
    pub fn with_texts<T>(&self, work: impl FnOnce(&mut TextDatabase) -> T) -> T {
        with(&self.texts, work)
    }

    pub fn with_judgements<T>(&self, work: impl FnOnce(&mut JudgementCache) -> T) -> T {
        with(&self.judgements, work)
    }

    /// The same where they are free at this moment.
    pub fn with_judgements_if_free<T>(
        &self,
        work: impl FnOnce(&mut JudgementCache) -> T,
    ) -> Option<T> {
        // After a panic the next holder resets them.
        self.judgements.try_lock().ok().map(|mut guard| work(&mut guard))
    }

    /// Memory for drafts, one at a time.
    pub fn with_drafter<T>(&self, work: impl FnOnce(&mut Checker) -> T) -> T {
        with(&self.drafter, work)
    }
}

/// Should work ever panic, what was remembered may be half made: it is thrown away.
fn with<C: Default, T>(cache: &Mutex<C>, work: impl FnOnce(&mut C) -> T) -> T {
    let mut guard = cache.lock().unwrap_or_else(|poisoned| {
        cache.clear_poison();
        let mut guard = poisoned.into_inner();
        *guard = C::default();
        guard
    });
    work(&mut guard)
}
