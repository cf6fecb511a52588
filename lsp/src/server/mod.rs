//! Requests: each finds its document, calls a feature, and converts the result.

mod acting;
mod answer;
mod capabilities;
mod desk;
mod drafting;
mod habits;
mod house;
mod house_users;
mod naming;
mod preview;
mod progress;
mod refusal;
mod request_helpers;
mod resolve;
mod semantic_tokens;
mod welcome;

use std::sync::Arc;
use std::time::Duration;

use tower_lsp::jsonrpc::Result;
use tower_lsp::ls_types::*;
use tower_lsp::{Client, LanguageServer};

use springline_lang::text::Span;

use crate::analysis::{CheckStage, Revision};
use crate::convert::{completion, diagnostic, symbol, token};
use crate::features;
use crate::ordered_service::content_modified;
use crate::owner_message::Owner;
use crate::project;
use crate::session::{ClientFeatures, Negotiated, Session};
use crate::settings::Settings;
use answer::{CheckDepth, current, on, snapshots};
use drafting::Cancelled;
use request_helpers::{colours, folding, formatting_edits, inlay, stamped};
use semantic_tokens::Colours;
use welcome::roots;

/// How long an asked-for list of diagnostics waits for the mechanics, where the client can be told to ask
/// again: as long as one that is sent them.
const DIAGNOSTICS: Duration = Duration::from_millis(40);

/// The same where it cannot be told: what is late then has to wait for the next key.
const DIAGNOSTICS_ONCE: Duration = Duration::from_millis(400);

/// Texts up to that many bytes are answered on the current task, because handing them to another thread
/// takes longer.
const SHORT: usize = 128 << 10;

#[derive(Debug)]
pub struct Server {
    client: Client,
    session: Arc<Session>,
    owner: Owner,
    tokens: Colours,
}

impl Server {
    pub fn new(client: Client, session: Arc<Session>, owner: Owner) -> Server {
        Server { client, session, owner, tokens: Colours::default() }
    }

    /// Edits count only for the text they were made for.
    fn still<T>(&self, uri: &Uri, answer: AtRevision<T>) -> Result<Option<T>> {
        match answer {
            Some((value, stamp)) if !self.session.currents.is_text(uri, stamp) => {
                drop(value);
                Err(content_modified())
            }
            Some((value, _)) => Ok(Some(value)),
            None => Ok(None),
        }
    }
}

/// A value and the text it was found for.
type AtRevision<T> = Option<(T, Revision)>;

impl LanguageServer for Server {
    async fn initialize(&self, params: InitializeParams) -> Result<InitializeResult> {
        let abilities = ClientFeatures::of(&params);
        self.session.agree(Negotiated {
            abilities,
            roots: roots(&params),
            editor: params.process_id,
        });
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
        let abilities = self.session.client_features();
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
        let mut items = Vec::new();
        let uri = &params.text_document.uri;
        let again = self.session.client_features().diagnostic_refresh;
        let patience = if again { DIAGNOSTICS } else { DIAGNOSTICS_ONCE };
        if let Some((_, snapshot, checked)) = current(uri, CheckDepth::Within(patience)).await? {
            let checked = checked.or_else(|| snapshot.mark_incomplete_reply());
            let stage = if checked.is_some() { CheckStage::Whole } else { CheckStage::Language };
            items = match snapshot.text().len() {
                ..=SHORT if checked.is_some() => {
                    answer::at_once(|| diagnostic::of(&snapshot, stage))?
                }
                _ => answer::contain(move || diagnostic::of(&snapshot, stage)).await?,
            };
        }
        let report = FullDocumentDiagnosticReport { result_id: None, items };
        let report = RelatedFullDocumentDiagnosticReport {
            related_documents: None,
            full_document_diagnostic_report: report,
        };
        Ok(DocumentDiagnosticReportResult::Report(DocumentDiagnosticReport::Full(report)))
    }

    async fn hover(&self, params: HoverParams) -> Result<Option<Hover>> {
        let place = params.text_document_position_params;
        let (_cancelled, flag) = Cancelled::watch();
        on(&place.text_document.uri, CheckDepth::SOON, move |view| {
            let positions = view.snapshot.positions();
            let offset = positions.offset(place.position);
            let found = features::hover::hover(view.analysed(), offset)?;
            let mut value = found.markdown;
            if let Some(arch) = features::draft_offer::drafted_line_at(view.analysed(), offset)
                && let Some(why) = drafting::hovered(view, arch, &flag)
            {
                value.push_str(&format!("\n\n---\n\n{why}"));
            }
            let contents = MarkupContent { kind: MarkupKind::Markdown, value };
            Some(Hover {
                contents: HoverContents::Markup(contents),
                range: Some(positions.range(found.span)),
            })
        })
        .await
    }

    async fn completion(&self, params: CompletionParams) -> Result<Option<CompletionResponse>> {
        let place = params.text_document_position;
        on(&place.text_document.uri, CheckDepth::Language, move |view| {
            let positions = view.snapshot.positions();
            let offset = positions.offset(place.position);
            let habits = habits::of(view, offset);
            let analysed = crate::AnalysedFile { habits: Some(&habits), ..view.analysed() };
            let offers = features::complete::complete(analysed, offset);
            let (uri, at) = (&view.snapshot.document.uri, positions.at(offset));
            let abilities = view.snapshot.session.client_features();
            let items = completion::items(offers, uri, at, &positions, abilities);
            Some(CompletionResponse::Array(items))
        })
        .await
    }

    async fn completion_resolve(&self, item: CompletionItem) -> Result<CompletionItem> {
        resolve::item(item).await
    }

    async fn signature_help(&self, params: SignatureHelpParams) -> Result<Option<SignatureHelp>> {
        let place = params.text_document_position_params;
        on(&place.text_document.uri, CheckDepth::Language, move |view| {
            let offset = view.snapshot.positions().offset(place.position);
            let shapes = features::signature::shapes(view.analysed(), offset);
            let offsets = view.snapshot.session.client_features().label_offsets;
            let one = |shape| request_helpers::signature(shape, offsets);
            let signatures: Vec<SignatureInformation> = shapes.into_iter().map(one).collect();
            (!signatures.is_empty()).then(|| SignatureHelp {
                active_signature: Some(0),
                active_parameter: signatures.first().and_then(|s| s.active_parameter),
                signatures,
            })
        })
        .await
    }

    async fn document_symbol(
        &self,
        params: DocumentSymbolParams,
    ) -> Result<Option<DocumentSymbolResponse>> {
        on(&params.text_document.uri, CheckDepth::Language, |view| {
            let symbols = features::symbols::symbols(view.analysed());
            let positions = view.snapshot.positions();
            Some(if view.snapshot.session.client_features().symbol_tree {
                DocumentSymbolResponse::Nested(symbol::tree(&symbols, &positions))
            } else {
                let mut flat = Vec::new();
                symbol::flat(&symbols, None, &view.snapshot.document.uri, &positions, &mut flat);
                DocumentSymbolResponse::Flat(flat)
            })
        })
        .await
    }

    async fn symbol(
        &self,
        params: WorkspaceSymbolParams,
    ) -> Result<Option<WorkspaceSymbolResponse>> {
        let (snapshots, session) = (snapshots().await, self.session.clone());
        let (token, query) = (params.work_done_progress_params.work_done_token, params.query);
        let work = answer::contain(move || project::symbols(&snapshots, &session, &query));
        let (found, is_cut) = self.with_progress(token, "reading plans", work).await?;
        if is_cut {
            let most = project::SYMBOLS;
            let text = format!("More than {most} symbols; the first {most} are listed.");
            self.client.log_message(MessageType::WARNING, text).await;
        }
        Ok(Some(WorkspaceSymbolResponse::Flat(found)))
    }

    async fn formatting(&self, params: DocumentFormattingParams) -> Result<Option<Vec<TextEdit>>> {
        let edits = on(&params.text_document.uri, CheckDepth::Language, |view| {
            Some(stamped(
                view,
                formatting_edits(view, &features::edits::formatting(view.analysed())),
            ))
        });
        self.still(&params.text_document.uri, edits.await?)
    }

    async fn range_formatting(
        &self,
        params: DocumentRangeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        let edits = on(&params.text_document.uri, CheckDepth::Language, move |view| {
            let range = view.snapshot.positions().bytes(params.range);
            let span = Span::new(range.start, range.end);
            let edits = features::edits::range_formatting(view.analysed(), span);
            Some(stamped(view, formatting_edits(view, &edits)))
        });
        self.still(&params.text_document.uri, edits.await?)
    }

    async fn on_type_formatting(
        &self,
        params: DocumentOnTypeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        let place = params.text_document_position;
        let uri = place.text_document.uri.clone();
        let edits = on(&uri, CheckDepth::Language, move |view| {
            let offset = view.snapshot.positions().offset(place.position);
            let edits =
                features::edits::on_type(view.analysed(), offset, &params.ch).unwrap_or_default();
            // A file that cannot be formatted yet is normal while typing: not logged.
            Some(stamped(view, formatting_edits(view, &Ok(edits))))
        });
        self.still(&uri, edits.await?)
    }

    async fn folding_range(&self, params: FoldingRangeParams) -> Result<Option<Vec<FoldingRange>>> {
        on(&params.text_document.uri, CheckDepth::Language, |view| {
            let positions = view.snapshot.positions();
            let folds = springline_lang::syntax::folds(view.analysed().parse());
            Some(folds.into_iter().filter_map(|fold| folding(fold, &positions)).collect())
        })
        .await
    }

    async fn selection_range(
        &self,
        params: SelectionRangeParams,
    ) -> Result<Option<Vec<SelectionRange>>> {
        on(&params.text_document.uri, CheckDepth::Language, move |view| {
            let positions = view.snapshot.positions();
            let one = |position: &Position| {
                let offset = positions.offset(*position);
                let spans = features::select::selections(view.analysed(), offset);
                let outer = spans.into_iter().rev().fold(None, |parent, span| {
                    let range = positions.range(span);
                    Some(SelectionRange { range, parent: parent.map(Box::new) })
                });
                let at = positions.at(offset);
                outer
                    .unwrap_or(SelectionRange { range: Range { start: at, end: at }, parent: None })
            };
            Some(params.positions.iter().map(one).collect())
        })
        .await
    }

    async fn semantic_tokens_full(
        &self,
        params: SemanticTokensParams,
    ) -> Result<Option<SemanticTokensResult>> {
        let uri = &params.text_document.uri;
        let Some((id, data)) = colours(uri).await? else { return Ok(None) };
        self.tokens.keep(uri, &id, &data);
        Ok(Some(SemanticTokensResult::Tokens(token::full(id, data))))
    }

    async fn semantic_tokens_full_delta(
        &self,
        params: SemanticTokensDeltaParams,
    ) -> Result<Option<SemanticTokensFullDeltaResult>> {
        let uri = &params.text_document.uri;
        let Some((id, data)) = colours(uri).await? else { return Ok(None) };
        let before = self.tokens.take(uri, &params.previous_result_id);
        self.tokens.keep(uri, &id, &data);
        Ok(Some(match before {
            Some(before) => {
                let edits = token::delta(&before, &data);
                let delta = SemanticTokensDelta { result_id: Some(id), edits };
                SemanticTokensFullDeltaResult::TokensDelta(delta)
            }
            None => SemanticTokensFullDeltaResult::Tokens(token::full(id, data)),
        }))
    }

    async fn goto_definition(
        &self,
        params: GotoDefinitionParams,
    ) -> Result<Option<GotoDefinitionResponse>> {
        let place = params.text_document_position_params;
        let uri = place.text_document.uri.clone();
        on(&uri, CheckDepth::Language, move |view| naming::definition(view, place.position)).await
    }

    async fn references(&self, params: ReferenceParams) -> Result<Option<Vec<Location>>> {
        let place = params.text_document_position;
        let declaration = params.context.include_declaration;
        let token = params.work_done_progress_params.work_done_token;
        let uri = place.text_document.uri.clone();
        let work = on(&uri, CheckDepth::Language, move |view| {
            naming::references(view, place.position, declaration)
        });
        self.with_progress(token, "reading plans", work).await
    }

    async fn document_highlight(
        &self,
        params: DocumentHighlightParams,
    ) -> Result<Option<Vec<DocumentHighlight>>> {
        let place = params.text_document_position_params;
        let uri = place.text_document.uri.clone();
        on(&uri, CheckDepth::Language, move |view| naming::highlight(view, place.position)).await
    }

    async fn prepare_rename(
        &self,
        params: TextDocumentPositionParams,
    ) -> Result<Option<PrepareRenameResponse>> {
        let uri = params.text_document.uri.clone();
        on(&uri, CheckDepth::Language, move |view| naming::prepare_rename(view, params.position))
            .await
    }

    async fn rename(&self, params: RenameParams) -> Result<Option<WorkspaceEdit>> {
        let place = params.text_document_position;
        let uri = place.text_document.uri.clone();
        let token = params.work_done_progress_params.work_done_token;
        let work = on(&uri, CheckDepth::Language, move |view| {
            Some(stamped(view, naming::rename(view, place.position, &params.new_name)))
        });
        let edit = self.with_progress(token, "reading plans", work).await?;
        self.still(&uri, edit)?.unwrap_or(Ok(None))
    }

    async fn will_rename_files(&self, params: RenameFilesParams) -> Result<Option<WorkspaceEdit>> {
        let (snapshots, session) = (snapshots().await, self.session.clone());
        answer::contain(move || house::follow(&snapshots, &session, &params.files)).await
    }

    async fn document_link(&self, params: DocumentLinkParams) -> Result<Option<Vec<DocumentLink>>> {
        on(&params.text_document.uri, CheckDepth::Language, |view| {
            let positions = view.snapshot.positions();
            let links = features::links::links(view.analysed()).into_iter();
            Some(
                links
                    .filter_map(|link| {
                        Some(DocumentLink {
                            range: positions.range(link.span),
                            target: Some(view.reading.file(link.target)?.uri.clone()?),
                            tooltip: Some("open the practice file".to_owned()),
                            data: None,
                        })
                    })
                    .collect(),
            )
        })
        .await
    }

    async fn code_action(&self, params: CodeActionParams) -> Result<Option<CodeActionResponse>> {
        let uri = params.text_document.uri.clone();
        let actions = on(&uri, CheckDepth::SOON, move |view| {
            Some(stamped(view, acting::actions(view, &params)))
        });
        self.still(&uri, actions.await?)
    }

    async fn code_action_resolve(&self, action: CodeAction) -> Result<CodeAction> {
        self.drafted(action).await
    }

    async fn inlay_hint(&self, params: InlayHintParams) -> Result<Option<Vec<InlayHint>>> {
        on(&params.text_document.uri, CheckDepth::WHOLE, move |view| {
            let settings = view.snapshot.session.settings();
            let wanted = features::hints::HintSelection {
                passive: settings.inlay_hints.passive.0,
                force: settings.inlay_hints.force.0,
                space: settings.inlay_hints.space.0,
            };
            let positions = view.snapshot.positions();
            let range = positions.bytes(params.range);
            let hints = features::hints::hints(view.analysed(), wanted).into_iter();
            let inside = hints.filter(|h| range.start <= h.at && h.at <= range.end);
            Some(inside.map(|hint| inlay(hint, &positions)).collect())
        })
        .await
    }

    async fn code_lens(&self, params: CodeLensParams) -> Result<Option<Vec<CodeLens>>> {
        on(&params.text_document.uri, CheckDepth::WHOLE, |view| {
            if !view.snapshot.session.settings().code_lens.0 {
                return None;
            }
            let positions = view.snapshot.positions();
            let uri = &view.snapshot.document.uri;
            let lenses = features::lens::lenses(view.analysed()).into_iter();
            let commands = view.snapshot.session.client_features().commands;
            let able = lenses.filter_map(|lens| acting::lens(lens, uri, &positions, commands));
            Some(able.collect())
        })
        .await
    }
}
