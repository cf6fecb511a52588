//! Code actions and lenses as the protocol has them.

use springline_lang::finding::{Finding, Span};
use tower_lsp::ls_types::*;

use super::answer::View;
use crate::convert::{diagnostic, edit};
use crate::features::actions::{self, Action, ActionKind};
use crate::features::lens::{Command as Lensed, Lens};
use crate::position::Positions;

pub fn actions(view: &View, params: &CodeActionParams) -> CodeActionResponse {
    let positions = view.snapshot.positions();
    let range = positions.bytes(params.range);
    let facts = view.facts();
    let anchor = |finding: &Finding| diagnostic::anchor(finding, facts.parse());
    let mending = |index: usize, finding: &Finding| match &view.checked {
        Some(checked) if !finding.code.is_language() => view.snapshot.fixes(checked, index),
        _ => finding.fixes.clone(),
    };
    let found = actions::actions(facts, Span::new(range.start, range.end), anchor, mending);
    found
        .iter()
        .filter(|action| wanted(kind(action.kind), params.context.only.as_deref()))
        .filter_map(|action| one(view, action, params, &positions))
        .map(CodeActionOrCommand::CodeAction)
        .collect()
}

fn one(
    view: &View,
    action: &Action,
    params: &CodeActionParams,
    positions: &Positions<'_>,
) -> Option<CodeAction> {
    let edit = edit::of_files(&action.edits, &view.snapshot, &view.reading)?;
    let finding = action.finding.and_then(|i| view.facts().findings().get(i));
    let answers = finding.map(|finding| {
        let mine = diagnostic::diagnostic(finding, &view.snapshot, &view.reading, positions);
        let same = |d: &&Diagnostic| d.range == mine.range && d.code == mine.code;
        params.context.diagnostics.iter().filter(same).cloned().collect()
    });
    Some(CodeAction {
        title: action.title.clone(),
        kind: Some(kind(action.kind)),
        diagnostics: answers,
        edit: Some(edit),
        is_preferred: (action.kind == ActionKind::Safe).then_some(true),
        ..CodeAction::default()
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

/// A client may ask for a kind, and means those below it too.
fn wanted(kind: CodeActionKind, only: Option<&[CodeActionKind]>) -> bool {
    // Source actions are for saving and menus; nobody wants them at a light bulb.
    let Some(only) = only else { return kind != CodeActionKind::SOURCE_FIX_ALL };
    only.iter().any(|asked| {
        kind.as_str() == asked.as_str()
            || kind.as_str().strip_prefix(asked.as_str()).is_some_and(|rest| rest.starts_with('.'))
            || asked.as_str().is_empty()
    })
}

pub fn lens(lens: Lens, uri: &Uri, positions: &Positions<'_>) -> CodeLens {
    let command = match lens.command {
        Lensed::Print => "springline.print",
        Lensed::Course => "springline.course",
    };
    CodeLens {
        range: positions.range(lens.span),
        command: Some(Command {
            title: lens.title,
            command: command.to_owned(),
            arguments: Some(vec![serde_json::Value::String(uri.as_str().to_owned())]),
        }),
        data: None,
    }
}
