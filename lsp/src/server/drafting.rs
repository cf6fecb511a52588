//! Drafts of the steps of an arch, as a code action whose edit is worked out once it is chosen, and the reasons of one
//! that stands. The work takes up to seconds: it runs on a thread of its own, and stops when the request is cancelled
//! or the text moves on.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use serde::{Deserialize, Serialize};
use springline_lang::course::StopSignal;
use springline_lang::draft::{ArchDraft, DRAFT_CAUTION, NotDrafted, StandingDraft};
use springline_lang::text::FileId;
use springline_lang::units::tooth::Arch;
use tower_lsp::jsonrpc::Result;
use tower_lsp::ls_types::*;

use super::Server;
use super::answer::{CheckDepth, DocumentView, on};
use super::desk::ArchName;
use super::request_helpers::stamped;
use crate::convert::edit;
use crate::features::draft_offer::DraftOffer;
use crate::features::edits::{between, narrowed};
use crate::ordered_service::content_modified;

/// Longest time to search one arch: as `springline draft` has it by itself.
const SEARCH: Duration = Duration::from_secs(10);

/// Longest time that a hover is worth waiting for; what is computed by then is said.
const HOVER: Duration = Duration::from_secs(2);

/// Set once nobody waits for an answer any more: a cancelled request drops it.
pub struct Cancelled(Arc<AtomicBool>);

impl Cancelled {
    /// The one that is held while the answer is awaited, and the flag to look at meanwhile.
    pub fn watch() -> (Cancelled, Arc<AtomicBool>) {
        let flag = Arc::new(AtomicBool::new(false));
        (Cancelled(flag.clone()), flag)
    }
}

impl Drop for Cancelled {
    fn drop(&mut self) {
        self.0.store(true, Ordering::SeqCst);
    }
}

/// The work goes on: somebody waits, the text is still the one that was asked about, and there is time.
fn proceed<'a>(
    view: &'a DocumentView,
    cancelled: &'a AtomicBool,
    most: Duration,
) -> impl Fn() -> bool + 'a {
    let begun = Instant::now();
    move || {
        !cancelled.load(Ordering::SeqCst) && view.snapshot.is_current() && begun.elapsed() < most
    }
}

/// Set once nobody waits, or the text has moved on: looked at between the solves of a wire.
fn stop(view: &DocumentView, cancelled: &Arc<AtomicBool>) -> StopSignal {
    let (snapshot, cancelled) = (view.snapshot.clone(), cancelled.clone());
    StopSignal::new(move || cancelled.load(Ordering::SeqCst) || !snapshot.is_current())
}

/// What was found, unless another file's change cut the work short: then it is asked for once more.
pub fn overtaken_or<T>(view: &DocumentView, found: T) -> Result<T> {
    if view.snapshot.is_current() { Ok(found) } else { Err(content_modified()) }
}

/// A draft and the edit that writes it; no edit where the text stays as it is.
pub fn draft(
    view: &DocumentView,
    arch: Arch,
    cancelled: &Arc<AtomicBool>,
) -> std::result::Result<(ArchDraft, Option<WorkspaceEdit>), NotDrafted> {
    let (stop, proceed) = (stop(view, cancelled), proceed(view, cancelled, SEARCH));
    let draft = view.snapshot.draft(arch, stop, &proceed)?;
    let text = view.snapshot.text();
    let edits = narrowed(text, between(text, &draft.text)).into_iter().map(|e| (FileId(0), e));
    let edits: Vec<_> = edits.collect();
    let edit = match edits.is_empty() {
        true => None,
        false => edit::of_files(&edits, &view.snapshot, &view.reading),
    };
    Ok((draft, edit))
}

/// Why a draft that stands in the text is as it is.
pub fn standing(
    view: &DocumentView,
    arch: Arch,
    cancelled: &Arc<AtomicBool>,
) -> std::result::Result<Option<StandingDraft>, NotDrafted> {
    let (stop, proceed) = (stop(view, cancelled), proceed(view, cancelled, SEARCH));
    view.snapshot.why_drafted(arch, stop, &proceed)
}

/// The same for a hover: in Markdown, as far as it is known soon.
pub fn hovered(view: &DocumentView, arch: Arch, cancelled: &Arc<AtomicBool>) -> Option<String> {
    let (stop, proceed) = (stop(view, cancelled), proceed(view, cancelled, HOVER));
    let standing = view.snapshot.why_drafted(arch, stop, &proceed);
    let text = match standing {
        Ok(standing) => {
            let standing = standing?;
            let why = standing.why.iter().map(|line| format!("- {line}\n"));
            format!("{}\n\n{}", standing.says.join(" "), why.collect::<String>())
        }
        Err(refusal) => refusal.to_string(),
    };
    Some(format!("{text}\n*{DRAFT_CAUTION}*"))
}

/// What an offered draft carries until it is chosen.
#[derive(Debug, Deserialize, Serialize)]
struct DraftAsked {
    uri: Uri,
    version: i32,
    arch: ArchName,
}

/// A draft on the menu.
pub fn offered(view: &DocumentView, offer: &DraftOffer) -> Option<CodeAction> {
    let document = &view.snapshot.document;
    let asked = DraftAsked {
        uri: document.uri.clone(),
        version: document.version,
        arch: offer.arch.into(),
    };
    Some(CodeAction {
        title: offer.title.to_owned(),
        data: Some(serde_json::to_value(asked).ok()?),
        ..CodeAction::default()
    })
}

impl Server {
    /// Works out the edit of a draft that was chosen; what there is to say of it is shown. Without an edit the text
    /// stays as it is.
    pub(super) async fn drafted(&self, action: CodeAction) -> Result<CodeAction> {
        let asked = action.data.clone().and_then(|d| serde_json::from_value::<DraftAsked>(d).ok());
        let Some(DraftAsked { uri, version, arch }) = asked else { return Ok(action) };
        let (_cancelled, flag) = Cancelled::watch();
        let found = on(&uri, CheckDepth::Language, move |view| {
            let same = view.snapshot.document.version == version;
            let found = same.then(|| draft(view, arch.into(), &flag));
            Some(stamped(view, overtaken_or(view, found)))
        });
        let Some(Some(found)) = self.still(&uri, found.await?)?.transpose()? else {
            return Err(content_modified());
        };
        let (says, edit) = match found {
            Ok((draft, edit)) => (draft.headline().join("\n"), edit),
            Err(refusal) => (refusal.to_string(), None),
        };
        self.client.show_message(MessageType::INFO, says).await;
        Ok(CodeAction { edit, ..action })
    }
}
