//! `springline/drafts` and `springline/draft`: which arches can be drafted or wait for the doctor, and a draft of one
//! with its reasons. Nothing is written.

use serde::{Deserialize, Serialize};
use springline_lang::draft::{ArchDraft, DRAFT_CAUTION};
use springline_lang::text::FileId;
use springline_lang::units::tooth::Arch;
use tower_lsp::jsonrpc::Result;
use tower_lsp::ls_types::{TextDocumentIdentifier, WorkspaceEdit};

use super::shapes::{ArchName, RequestRefusal};
use crate::convert::edit;
use crate::features::draft_offer::may_be_drafted;
use crate::features::edits::TextEdit;
use crate::server::Server;
use crate::server::answer::{CheckDepth, DocumentView, on};
use crate::server::drafting::{Cancelled, draft, overtaken_or, standing};
use crate::server::request_helpers::stamped;

/// The finding that a draft waits for the doctor.
const NOT_TAKEN_ON: &str = "order/draft-not-taken-on";

#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct DraftsParams {
    pub text_document: TextDocumentIdentifier,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct DraftParams {
    pub text_document: TextDocumentIdentifier,
    pub arch: ArchName,
}

#[derive(Debug, Serialize)]
pub struct DraftsAnswer {
    pub version: i32,
    pub arches: Vec<ArchDraftState>,
}

/// What can be done in one arch.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct ArchDraftState {
    pub arch: ArchName,
    /// Steps before the working wire are left to draft.
    pub open: bool,
    /// The day of a draft that waits for the doctor.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drafted: Option<String>,
    /// How the doctor takes it on; left out where the plan names no doctor.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub take_on: Option<TakeOn>,
}

#[derive(Debug, Serialize)]
pub struct TakeOn {
    pub title: String,
    pub edit: WorkspaceEdit,
}

/// Either `refused` or the others.
#[derive(Debug, Default, Serialize)]
pub struct DraftAnswer {
    pub version: i32,
    /// What is drafted, or that the practice's sequence stands.
    pub says: Vec<String>,
    /// Why not the neighbours, one sentence each.
    pub why: Vec<String>,
    pub note: &'static str,
    /// Left out where the text stays as it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub edit: Option<WorkspaceEdit>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refused: Option<RequestRefusal>,
}

impl Server {
    /// `null` for a document that is not open or no case, or while its mechanics take too long.
    pub async fn drafts(&self, params: DraftsParams) -> Result<Option<DraftsAnswer>> {
        let uri = params.text_document.uri.clone();
        let found = on(&uri, CheckDepth::WHOLE, move |view| {
            view.checked.as_ref()?;
            let arches = &view.analysed().case()?.arches;
            let arches = arches.iter().map(|a| state(view, a.arch)).collect();
            let version = view.snapshot.document.version;
            Some(stamped(view, DraftsAnswer { version, arches }))
        });
        self.still(&uri, found.await?)
    }

    /// `null` for a document that is not open.
    pub async fn draft(&self, params: DraftParams) -> Result<Option<DraftAnswer>> {
        let uri = params.text_document.uri.clone();
        let (_cancelled, flag) = Cancelled::watch();
        let found = on(&uri, CheckDepth::Language, move |view| {
            let arch = Arch::from(params.arch);
            let answer = match standing(view, arch, &flag) {
                Ok(Some(standing)) => Ok(DraftAnswer {
                    says: standing.says,
                    why: standing.why,
                    ..DraftAnswer::default()
                }),
                _ => draft(view, arch, &flag).map(|(draft, edit)| answer(&draft, edit)),
            };
            let answer = answer.unwrap_or_else(|refusal| DraftAnswer {
                refused: Some(RequestRefusal::new("draft", refusal.to_string())),
                ..DraftAnswer::default()
            });
            let version = view.snapshot.document.version;
            let answer = DraftAnswer { version, note: DRAFT_CAUTION, ..answer };
            Some(stamped(view, overtaken_or(view, answer)))
        });
        self.still(&uri, found.await?)?.transpose()
    }
}

fn answer(draft: &ArchDraft, edit: Option<WorkspaceEdit>) -> DraftAnswer {
    DraftAnswer { says: draft.headline(), why: draft.why(), edit, ..DraftAnswer::default() }
}

fn state(view: &DocumentView, arch: Arch) -> ArchDraftState {
    let analysed = view.analysed();
    let drafted = analysed.case().and_then(|case| case.arch(arch)?.drafted);
    ArchDraftState {
        arch: arch.into(),
        open: may_be_drafted(analysed, arch),
        drafted: drafted.map(|(day, _)| day.to_string()),
        take_on: take_on(view, arch),
    }
}

fn take_on(view: &DocumentView, arch: Arch) -> Option<TakeOn> {
    let analysed = view.analysed();
    let is_of_arch = |f: &&springline_lang::finding::Finding| {
        f.code.as_str() == NOT_TAKEN_ON
            && f.place.file == FileId(0)
            && analysed.arch_at(f.place.span.start as usize) == Some(arch)
    };
    let fix = analysed.findings().iter().find(is_of_arch)?.fixes.first()?;
    let one = |e: &springline_lang::text::Edit| {
        (e.place.file, TextEdit { span: e.place.span, text: e.text.clone() })
    };
    let edits: Vec<_> = fix.edits.iter().map(one).collect();
    let edit = edit::of_files(&edits, &view.snapshot, &view.reading)?;
    Some(TakeOn { title: fix.title.clone(), edit })
}
