//! Workspace edits of one or several files.

use std::collections::HashMap;

use springline_lang::text::FileId;
use tower_lsp::ls_types::*;

use crate::features::edits::TextEdit as Edit;
use crate::position::Positions;
use crate::session::ClientFeatures;
use crate::snapshot::{Reading, Snapshot};

pub fn edits(edits: &[Edit], positions: &Positions<'_>) -> Vec<TextEdit> {
    let one = |e: &Edit| TextEdit { range: positions.range(e.span), new_text: e.text.clone() };
    edits.iter().map(one).collect()
}

/// Edits of the files of a case; `None` where one has no place that an editor could open.
pub fn of_files(
    all: &[(FileId, Edit)],
    snapshot: &Snapshot,
    reading: &Reading,
) -> Option<WorkspaceEdit> {
    let mut by_uri: Vec<(Uri, Option<i32>, Vec<TextEdit>)> = Vec::new();
    for (id, edit) in all {
        let file = reading.file(*id)?;
        let uri = file.uri.clone()?;
        let positions = Positions::new(&file.text, &file.index, snapshot.session.encoding());
        let edit = TextEdit { range: positions.range(edit.span), new_text: edit.text.clone() };
        match by_uri.iter_mut().find(|(known, ..)| *known == uri) {
            Some((.., edits)) => edits.push(edit),
            None => {
                let version = (uri == snapshot.document.uri).then_some(snapshot.document.version);
                by_uri.push((uri, version, vec![edit]));
            }
        }
    }
    Some(workspace(by_uri, snapshot.session.client_features()))
}

/// Edits of files, and then one of them under another name. Only for a client that can do it.
pub fn with_rename(
    files: Vec<(Uri, Option<i32>, Vec<TextEdit>)>,
    old_uri: Uri,
    new_uri: Uri,
) -> WorkspaceEdit {
    let edits = files.into_iter().map(document).map(DocumentChangeOperation::Edit);
    let rename = RenameFile { old_uri, new_uri, options: None, annotation_id: None };
    let rename = DocumentChangeOperation::Op(ResourceOp::Rename(rename));
    let all = edits.chain(std::iter::once(rename)).collect();
    WorkspaceEdit {
        document_changes: Some(DocumentChanges::Operations(all)),
        ..WorkspaceEdit::default()
    }
}

fn document((uri, version, edits): (Uri, Option<i32>, Vec<TextEdit>)) -> TextDocumentEdit {
    TextDocumentEdit {
        text_document: OptionalVersionedTextDocumentIdentifier { uri, version },
        edits: edits.into_iter().map(OneOf::Left).collect(),
    }
}

/// With versions where the client can take them: then an edit of a text that has moved on is refused.
pub fn workspace(
    files: Vec<(Uri, Option<i32>, Vec<TextEdit>)>,
    abilities: ClientFeatures,
) -> WorkspaceEdit {
    if !abilities.document_changes {
        let mut changes = HashMap::new();
        for (uri, _, edits) in files {
            changes.insert(uri, edits);
        }
        return WorkspaceEdit { changes: Some(changes), ..WorkspaceEdit::default() };
    }
    let edits = files.into_iter().map(document).collect();
    WorkspaceEdit {
        document_changes: Some(DocumentChanges::Edits(edits)),
        ..WorkspaceEdit::default()
    }
}
