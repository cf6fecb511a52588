//! The server's capabilities, limited to what the client supports.

use tower_lsp::ls_types::*;

use super::acting::RECORD;
use crate::convert::token;
use crate::practice_files::EXTENSION;
use crate::session::ClientFeatures;

pub fn of(abilities: ClientFeatures) -> ServerCapabilities {
    ServerCapabilities {
        position_encoding: Some(abilities.encoding.kind()),
        text_document_sync: Some(TextDocumentSyncCapability::Options(TextDocumentSyncOptions {
            open_close: Some(true),
            change: Some(TextDocumentSyncKind::INCREMENTAL),
            ..TextDocumentSyncOptions::default()
        })),
        diagnostic_provider: abilities.pulls.then(diagnostics),
        hover_provider: Some(HoverProviderCapability::Simple(true)),
        completion_provider: Some(CompletionOptions {
            resolve_provider: Some(true),
            // Completion is triggered after a blank; inside a word the editor requests it by itself.
            trigger_characters: Some([" ", "#", "/", "-", "."].map(str::to_owned).to_vec()),
            ..CompletionOptions::default()
        }),
        signature_help_provider: Some(SignatureHelpOptions {
            trigger_characters: Some(vec![" ".to_owned()]),
            retrigger_characters: Some(vec![",".to_owned()]),
            ..SignatureHelpOptions::default()
        }),
        document_symbol_provider: Some(OneOf::Left(true)),
        workspace_symbol_provider: Some(OneOf::Right(WorkspaceSymbolOptions {
            work_done_progress_options: progress(),
            resolve_provider: None,
        })),
        document_formatting_provider: Some(OneOf::Left(true)),
        document_range_formatting_provider: Some(OneOf::Left(true)),
        document_on_type_formatting_provider: Some(DocumentOnTypeFormattingOptions {
            first_trigger_character: "\n".to_owned(),
            more_trigger_character: Some(vec!["}".to_owned()]),
        }),
        folding_range_provider: Some(FoldingRangeProviderCapability::Simple(true)),
        selection_range_provider: Some(SelectionRangeProviderCapability::Simple(true)),
        semantic_tokens_provider: Some(SemanticTokensServerCapabilities::SemanticTokensOptions(
            SemanticTokensOptions {
                legend: token::legend(),
                range: Some(false),
                full: Some(SemanticTokensFullOptions::Delta { delta: Some(true) }),
                ..SemanticTokensOptions::default()
            },
        )),
        definition_provider: Some(OneOf::Left(true)),
        references_provider: Some(OneOf::Right(ReferenceOptions {
            work_done_progress_options: progress(),
        })),
        document_highlight_provider: Some(OneOf::Left(true)),
        rename_provider: Some(OneOf::Right(RenameOptions {
            prepare_provider: Some(true),
            work_done_progress_options: progress(),
        })),
        document_link_provider: Some(DocumentLinkOptions {
            resolve_provider: Some(false),
            work_done_progress_options: WorkDoneProgressOptions::default(),
        }),
        code_action_provider: Some(CodeActionProviderCapability::Options(CodeActionOptions {
            code_action_kinds: Some(vec![
                CodeActionKind::QUICKFIX,
                CodeActionKind::REFACTOR_REWRITE,
                CodeActionKind::REFACTOR_EXTRACT,
                RECORD,
                CodeActionKind::SOURCE_FIX_ALL,
            ]),
            resolve_provider: abilities.late_edits.then_some(true),
            ..CodeActionOptions::default()
        })),
        inlay_hint_provider: Some(OneOf::Left(true)),
        workspace: Some(WorkspaceServerCapabilities {
            file_operations: Some(renamed_files()),
            ..WorkspaceServerCapabilities::default()
        }),
        code_lens_provider: Some(CodeLensOptions { resolve_provider: Some(false) }),
        ..ServerCapabilities::default()
    }
}

/// To its cases, a renamed practice file is a different one.
fn renamed_files() -> WorkspaceFileOperationsServerCapabilities {
    let pattern = FileOperationPattern {
        glob: format!("**/*.{EXTENSION}"),
        matches: Some(FileOperationPatternKind::File),
        options: None,
    };
    let filter = FileOperationFilter { scheme: Some("file".to_owned()), pattern };
    WorkspaceFileOperationsServerCapabilities {
        will_rename: Some(FileOperationRegistrationOptions { filters: vec![filter] }),
        ..WorkspaceFileOperationsServerCapabilities::default()
    }
}

/// Of those that read the whole project.
fn progress() -> WorkDoneProgressOptions {
    WorkDoneProgressOptions { work_done_progress: Some(true) }
}

fn diagnostics() -> DiagnosticServerCapabilities {
    DiagnosticServerCapabilities::Options(DiagnosticOptions {
        identifier: Some("springline".to_owned()),
        inter_file_dependencies: true,
        workspace_diagnostics: false,
        work_done_progress_options: WorkDoneProgressOptions::default(),
    })
}
