//! All plans of a project: open documents, and files on disk.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use springline_lang::syntax::Parse;
use springline_lang::syntax::ast::{CaseLine, PracticeLine, StatementKind};
use tower_lsp::ls_types::SymbolInformation;

use crate::convert::symbol;
pub use crate::disk_texts::ProjectText;
use crate::features::symbols::outline;
use crate::owner_message::Snapshots;
use crate::practice_files::EXTENSION;
use crate::session::Session;
use crate::snapshot::Snapshot;

/// Folders below another gone into: a house further up is not found from there.
pub const LEVELS: usize = 16;

/// A document as the editor has it.
pub fn open_text(snapshot: &Snapshot) -> ProjectText {
    ProjectText {
        uri: snapshot.document.uri.clone(),
        version: Some(snapshot.document.version),
        path: snapshot.path.clone(),
        parse: snapshot.reading().read.parse.clone(),
        index: Arc::new(snapshot.index().clone()),
    }
}

/// Every plan in a folder and so many below it, in a stable order. What cannot be looked into is named. A
/// folder with a version control of its own is another project: from there nobody looks up to here.
pub fn below(folder: &Path, depth: usize, missed: &mut Vec<String>) -> Vec<PathBuf> {
    let mut out = Vec::new();
    walk(folder, depth, &mut out, missed);
    out
}

/// A folder that is neither version control's own nor the root of another repository.
fn is_of_this_repository(folder: &Path) -> bool {
    folder.file_name().is_some_and(|name| name != ".git") && !folder.join(".git").exists()
}

fn walk(folder: &Path, depth: usize, out: &mut Vec<PathBuf>, missed: &mut Vec<String>) {
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) => {
            missed.push(format!("{} ({error})", folder.display()));
            return;
        }
    };
    let mut entries: Vec<_> = entries.flatten().collect();
    entries.sort_by_key(std::fs::DirEntry::file_name);
    for entry in entries {
        let path = entry.path();
        // A link could lead anywhere, even back here; what it leads to is found where it lies.
        match entry.file_type() {
            Ok(kind) if kind.is_dir() && depth > 0 && is_of_this_repository(&path) => {
                walk(&path, depth - 1, out, missed);
            }
            Ok(kind) if kind.is_file() && path.extension().is_some_and(|e| e == EXTENSION) => {
                out.push(path);
            }
            _ => {}
        }
    }
}

/// Open documents, then the files under the roots that are not open, one after another: of a large
/// practice not all are held at once.
fn each_text(snapshots: &Snapshots, session: &Session, mut look: impl FnMut(ProjectText) -> bool) {
    let mut open = std::collections::HashSet::new();
    for snapshot in snapshots.values() {
        open.extend(snapshot.path.clone());
        if !look(open_text(snapshot)) {
            return;
        }
    }
    let mut missed = Vec::new();
    for path in session.roots().iter().flat_map(|root| below(root, LEVELS, &mut missed)) {
        if !open.contains(&path)
            && let Some(text) = session.shelved.read(&path)
            && !look(text)
        {
            return;
        }
    }
}

/// Symbols of all files whose name holds the query's letters in order; whether there may be more.
pub fn symbols(
    snapshots: &Snapshots,
    session: &Session,
    query: &str,
) -> (Vec<SymbolInformation>, bool) {
    let mut out = Vec::new();
    each_text(snapshots, session, |text| {
        let positions = text.positions(session.encoding());
        let mut found = Vec::new();
        let chart = opening(&text.parse);
        symbol::flat(&outline(&text.parse), chart, &text.uri, &positions, &mut found);
        let published = |s: &SymbolInformation| {
            let inside = s.container_name.as_deref().unwrap_or_default();
            holds(&s.name, query) || holds(&format!("{inside} {}", s.name), query)
        };
        out.extend(found.into_iter().filter(published));
        out.len() <= SYMBOLS
    });
    let is_cut = out.len() > SYMBOLS;
    out.truncate(SYMBOLS);
    (out, is_cut)
}

/// What a file says it is: a case's chart, a house's name.
fn opening(parse: &Parse) -> Option<&str> {
    let line = parse
        .lines()
        .find(|l| matches!(l.kind(), Some(StatementKind::Case | StatementKind::Practice)))?;
    let chart = CaseLine::cast(line).map(|line| line.chart);
    let title = chart.or_else(|| PracticeLine::cast(line).map(|line| line.title))?;
    Some(title.text())
}

/// Symbols sent, at most.
pub const SYMBOLS: usize = 500;

fn holds(name: &str, query: &str) -> bool {
    let name = name.to_lowercase();
    let mut rest = name.chars();
    query.to_lowercase().chars().filter(|c| !c.is_whitespace()).all(|c| rest.any(|n| n == c))
}
