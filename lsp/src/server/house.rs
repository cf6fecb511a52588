//! Renaming a practice file: the file itself, and every `use` that refers to it.

use std::path::{Path, PathBuf};

use springline_lang::lower::{Used, used};
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::ls_types::*;

use super::answer::DocumentView;
use super::house_users::{HouseUsers, beside};
use super::refusal::{refused, whole};
use crate::convert::edit;
use crate::features::names;
use crate::owner::path_of;
use crate::owner_message::Snapshots;
use crate::practice_files::EXTENSION;
use crate::project;
use crate::session::Session;

type DocumentEdits = Vec<(Uri, Option<i32>, Vec<TextEdit>)>;

/// Asked for at a `use`.
pub fn renamed(view: &DocumentView, used: &Used, new: &str) -> Result<Option<WorkspaceEdit>> {
    names::check_new(new).map_err(Error::invalid_params)?;
    let session = &*view.snapshot.session;
    let mut reach = HouseUsers::new(&view.snapshots, session);
    let here = project::open_text(&view.snapshot);
    let Some(path) = reach.house(&here, &used.name) else {
        return Err(refused(format!("There is no practice file `{}.{EXTENSION}`.", used.name)));
    };
    if new == used.name {
        return Ok(None);
    }
    let (target, new_uri) = beside(&path, new);
    if target.exists() || reach.house(&here, new).is_some() {
        return Err(Error::invalid_params(format!("A file `{new}.{EXTENSION}` already exists.")));
    }
    if !session.client_features().file_renames {
        return Err(refused(format!(
            "This editor does not let a server rename files. Rename {} yourself, then correct the `use` lines.",
            path.display()
        )));
    }
    let (Some(old_uri), Some(new_uri)) = (Uri::from_file_path(&path), new_uri) else {
        return Ok(None);
    };
    let edits = edits(session, &mut reach, &path, new)?;
    Ok(Some(edit::with_rename(edits, old_uri, new_uri)))
}

/// Edits of the `use` lines that refer to a practice file, to its new name.
fn edits(
    session: &Session,
    reach: &mut HouseUsers<'_>,
    path: &Path,
    new: &str,
) -> Result<DocumentEdits> {
    let (Some(folder), Some(old)) = (path.parent(), path.file_stem().and_then(|s| s.to_str()))
    else {
        return Ok(Vec::new());
    };
    let users = reach.users(folder, old);
    whole(&users, old)?;
    let mut out: DocumentEdits = Vec::new();
    for text in &users.texts {
        let Some(used) = used(&text.parse).filter(|used| used.name == old) else { continue };
        if reach.house(text, old).as_deref() != Some(path) {
            continue;
        }
        if let Some(other) = reach.house(text, new) {
            return Err(refused(format!(
                "Nothing has been renamed: there `use {new}` would mean {}.",
                other.display()
            )));
        }
        let positions = text.positions(session.encoding());
        let range = positions.range(used.place.span);
        let edit = TextEdit { range, new_text: new.to_owned() };
        out.push((text.uri.clone(), text.version, vec![edit]));
    }
    Ok(out)
}

/// What a rename of files in the editor's list of them asks for. Where it cannot be whole nothing is
/// changed, and the log says why: the files are renamed whatever is answered.
pub fn follow(
    snapshots: &Snapshots,
    session: &Session,
    files: &[FileRename],
) -> Option<WorkspaceEdit> {
    let mut out: DocumentEdits = Vec::new();
    for file in files {
        let path = |uri: &str| -> Option<PathBuf> { path_of(&uri.parse().ok()?) };
        let (Some(old), Some(new)) = (path(&file.old_uri), path(&file.new_uri)) else { continue };
        let is_plan = |path: &Path| path.extension().is_some_and(|e| e == EXTENSION);
        let stem = new.file_stem().and_then(|s| s.to_str());
        let Some(name) = stem.filter(|_| is_plan(&old) && is_plan(&new)) else { continue };
        if old.file_stem() == new.file_stem() || names::check_new(name).is_err() {
            continue;
        }
        match edits(session, &mut HouseUsers::new(snapshots, session), &old, name) {
            Ok(edits) => out.extend(edits),
            Err(why) => crate::log(&why.message),
        }
    }
    (!out.is_empty()).then(|| edit::workspace(out, session.client_features()))
}
