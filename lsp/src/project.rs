//! All the plans of a project: those open, as the editor has them, and those on disk.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use springline_lang::finding::FileId;
use springline_lang::syntax::{SIZE_LIMIT, parse};
use tower_lsp::ls_types::{SymbolInformation, Uri};

use crate::convert::symbol;
use crate::features::symbols::outline;
use crate::library::EXTENSION;
use crate::owner::World;
use crate::position::{LineIndex, Positions};
use crate::session::Session;

/// Files looked at, at most: beyond it a search would keep the doctor waiting.
const FILES: usize = 2000;

/// Folders below a root gone into, at most.
const DEPTH: usize = 6;

/// One text of the project.
#[derive(Debug)]
pub struct Text {
    pub uri: Uri,
    /// Set where it is open.
    pub version: Option<i32>,
    pub path: Option<PathBuf>,
    pub text: Arc<str>,
    pub index: LineIndex,
}

/// Open documents first, then the files under the roots that are not open.
pub fn texts(world: &World, roots: &[PathBuf]) -> Vec<Text> {
    let mut out: Vec<Text> = world
        .values()
        .map(|snapshot| Text {
            uri: snapshot.document.uri.clone(),
            version: Some(snapshot.document.version),
            path: snapshot.path.clone(),
            text: snapshot.document.text.clone(),
            index: snapshot.index().clone(),
        })
        .collect();
    let mut files = Vec::new();
    for root in roots {
        walk(root, DEPTH, &mut files);
    }
    for path in files {
        if out.iter().any(|t| t.path.as_deref() == Some(&path)) {
            continue;
        }
        let small = std::fs::metadata(&path).is_ok_and(|m| m.len() <= SIZE_LIMIT as u64);
        let Some(uri) = Uri::from_file_path(&path).filter(|_| small) else { continue };
        let Ok(text) = std::fs::read_to_string(&path) else { continue };
        let index = LineIndex::new(&text);
        out.push(Text { uri, version: None, path: Some(path), text: text.into(), index });
    }
    out
}

fn walk(folder: &Path, depth: usize, out: &mut Vec<PathBuf>) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    let mut entries: Vec<_> = entries.flatten().collect();
    entries.sort_by_key(std::fs::DirEntry::file_name);
    for entry in entries {
        if out.len() >= FILES {
            return;
        }
        let hidden = entry.file_name().to_string_lossy().starts_with('.');
        // A link could lead anywhere, even back here.
        match entry.file_type() {
            Ok(kind) if kind.is_dir() && depth > 0 && !hidden => {
                let name = entry.file_name();
                if name != "target" && name != "node_modules" {
                    walk(&entry.path(), depth - 1, out);
                }
            }
            Ok(kind) if kind.is_file() => {
                let path = entry.path();
                if path.extension().is_some_and(|e| e == EXTENSION) {
                    out.push(path);
                }
            }
            _ => {}
        }
    }
}

/// Symbols of all files whose name holds the query's letters in order.
pub fn symbols(world: &World, session: &Session, query: &str) -> Vec<SymbolInformation> {
    let mut out = Vec::new();
    for text in texts(world, session.roots()) {
        let tree = parse(FileId(0), &text.text);
        let positions = Positions::new(&text.text, &text.index, session.encoding());
        let mut found = Vec::new();
        symbol::flat(&outline(&tree), None, &text.uri, &positions, &mut found);
        out.extend(found.into_iter().filter(|s| holds(&s.name, query)));
        if out.len() >= SYMBOLS {
            out.truncate(SYMBOLS);
            break;
        }
    }
    out
}

/// Symbols sent, at most.
const SYMBOLS: usize = 500;

fn holds(name: &str, query: &str) -> bool {
    let name = name.to_lowercase();
    let mut rest = name.chars();
    query.to_lowercase().chars().filter(|c| !c.is_whitespace()).all(|c| rest.any(|n| n == c))
}
