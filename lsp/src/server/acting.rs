//! Requests for code actions and code lenses.

use springline_lang::finding::Finding;
use springline_lang::text::Span;
use tower_lsp::ls_types::*;

use super::answer::DocumentView;
use super::drafting;
use crate::convert::{diagnostic, edit};
use crate::features::actions::{self, Action, ActionKind};
use crate::features::draft_offer::{DraftOffer, draft_offers};
use crate::features::lens::{Lens, LensCommand as Lensed};
use crate::position::Positions;
use crate::session::Commands;
use springline_lang::text::LineIndex;

pub fn actions(view: &DocumentView, params: &CodeActionParams) -> CodeActionResponse {
    let positions = view.snapshot.positions();
    let range = positions.bytes(params.range);
    let analysed = view.analysed();
    let anchor = |finding: &Finding| diagnostic::anchor(finding, analysed.parse());
    let mending = |index: usize, finding: &Finding| match &view.checked {
        Some(checked) if !finding.code.is_language() => view.snapshot.fixes(checked, index),
        _ => finding.fixes.clone(),
    };
    let range = Span::new(range.start, range.end);
    let found = actions::actions(analysed, range, anchor, mending);
    let found = found
        .iter()
        .filter(|action| wanted(kind(action.kind), params.context.only.as_deref()))
        .filter_map(|action| one(view, action, params, &positions));
    let all = found.chain(drafts(view, range, params, &positions));
    all.map(CodeActionOrCommand::CodeAction).collect()
}

/// Drafts on the menu, for a client that asks for the edit once one is chosen.
fn drafts(
    view: &DocumentView,
    range: Span,
    params: &CodeActionParams,
    positions: &Positions<'_>,
) -> Vec<CodeAction> {
    if !view.snapshot.session.client_features().late_edits {
        return Vec::new();
    }
    let analysed = view.analysed();
    let meets = |index: usize| {
        let finding = analysed.findings().get(index);
        let span = finding.map(|f| diagnostic::anchor(f, analysed.parse()));
        span.is_some_and(|span| span.start <= range.end && range.start <= span.end)
    };
    let one = |offer: &DraftOffer| {
        let kind = match offer.finding {
            Some(_) => CodeActionKind::QUICKFIX,
            None => CodeActionKind::REFACTOR_REWRITE,
        };
        let asked = wanted(kind.clone(), params.context.only.as_deref());
        let diagnostics = offer.finding.map(|index| answered(view, index, params, positions));
        let action = drafting::offered(view, offer).filter(|_| asked)?;
        Some(CodeAction { kind: Some(kind), diagnostics, ..action })
    };
    draft_offers(analysed, range, meets).iter().filter_map(one).collect()
}

/// The diagnostics of the request that say what this finding says.
fn answered(
    view: &DocumentView,
    finding: usize,
    params: &CodeActionParams,
    positions: &Positions<'_>,
) -> Vec<Diagnostic> {
    let Some(finding) = view.analysed().findings().get(finding) else { return Vec::new() };
    let mine = diagnostic::diagnostic(finding, &view.snapshot, &view.reading, positions);
    let same = |d: &&Diagnostic| d.range == mine.range && d.code == mine.code;
    params.context.diagnostics.iter().filter(same).cloned().collect()
}

fn one(
    view: &DocumentView,
    action: &Action,
    params: &CodeActionParams,
    positions: &Positions<'_>,
) -> Option<CodeAction> {
    let edit = edit::of_files(&action.edits, &view.snapshot, &view.reading)?;
    let answers = action.finding.map(|finding| answered(view, finding, params, positions));
    Some(CodeAction {
        title: action.title.clone(),
        kind: Some(kind(action.kind)),
        diagnostics: answers,
        edit: Some(edit),
        is_preferred: (action.kind == ActionKind::Safe).then_some(true),
        command: action.cursor.and_then(|cursor| after(view, action, cursor)),
        ..CodeAction::default()
    })
}

/// Moves the cursor to where something is still to be written, after the edit.
fn after(view: &DocumentView, action: &Action, cursor: usize) -> Option<Command> {
    if !view.snapshot.session.client_features().commands.cursor {
        return None;
    }
    let [(_, edit)] = action.edits.as_slice() else { return None };
    let mut text = view.snapshot.text().to_owned();
    text.replace_range(edit.span.range(), &edit.text);
    let index = LineIndex::new(&text);
    let positions = Positions::new(&text, &index, view.snapshot.session.encoding());
    let at = positions.at(edit.span.start as usize + cursor);
    let uri = serde_json::Value::String(view.snapshot.document.uri.as_str().to_owned());
    Some(Command {
        title: "go to the part to fill in".to_owned(),
        command: "springline.cursor".to_owned(),
        arguments: Some(vec![uri, serde_json::to_value(at).ok()?]),
    })
}

/// Of our own: an editor shows it in its menu of source actions.
pub const RECORD: CodeActionKind = CodeActionKind::new("source.recordVisit");

fn kind(kind: ActionKind) -> CodeActionKind {
    match kind {
        ActionKind::Safe | ActionKind::Clinical => CodeActionKind::QUICKFIX,
        ActionKind::Rewrite => CodeActionKind::REFACTOR_REWRITE,
        ActionKind::Extract => CodeActionKind::REFACTOR_EXTRACT,
        ActionKind::Record => RECORD,
        ActionKind::FixAll => CodeActionKind::SOURCE_FIX_ALL,
    }
}

/// A requested kind includes its sub-kinds.
fn wanted(kind: CodeActionKind, only: Option<&[CodeActionKind]>) -> bool {
    // Source actions are for saving and menus, not for the light bulb.
    let Some(only) = only else { return kind != CodeActionKind::SOURCE_FIX_ALL };
    only.iter().any(|asked| {
        kind.as_str() == asked.as_str()
            || kind.as_str().strip_prefix(asked.as_str()).is_some_and(|rest| rest.starts_with('.'))
            || asked.as_str().is_empty()
    })
}

/// A lens that this client can act on.
pub fn lens(
    lens: Lens,
    uri: &Uri,
    positions: &Positions<'_>,
    commands: Commands,
) -> Option<CodeLens> {
    let (command, runs) = match lens.command {
        Lensed::Check => ("springline.check", commands.check),
        Lensed::Schedule => ("springline.schedule", commands.schedule),
        Lensed::Course => ("springline.course", commands.course),
        Lensed::Print => ("springline.print", commands.print),
    };
    runs.then(|| CodeLens {
        range: positions.range(lens.span),
        command: Some(Command {
            title: lens.title,
            command: command.to_owned(),
            arguments: Some(vec![serde_json::Value::String(uri.as_str().to_owned())]),
        }),
        data: None,
    })
}
