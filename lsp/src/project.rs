//! All the plans of a project: those open, as the editor has them, and those on disk.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::SystemTime;

use springline_lang::finding::FileId;
use springline_lang::syntax::{Parse, SIZE_LIMIT, parse};
use tower_lsp::ls_types::{SymbolInformation, Uri};

use crate::convert::symbol;
use crate::features::symbols::outline;
use crate::library::EXTENSION;
use crate::owner::World;
use crate::position::{Encoding, LineIndex, Positions};
use crate::session::Session;

/// Files looked at, at most: beyond it a search would keep the doctor waiting.
const FILES: usize = 2000;

/// Of those, kept in memory at most.
const MOST_KEPT: usize = 256;

/// Folders below a root gone into, at most.
const DEPTH: usize = 6;

/// One text of the project, read.
#[derive(Debug, Clone)]
pub struct Text {
    pub uri: Uri,
    /// Set where it is open.
    pub version: Option<i32>,
    pub path: Option<PathBuf>,
    pub parse: Arc<Parse>,
    pub index: Arc<LineIndex>,
}

impl Text {
    pub fn positions(&self, encoding: Encoding) -> Positions<'_> {
        Positions::new(&self.parse.source, &self.index, encoding)
    }
}

/// By path: the file's date and size when it was read.
type Kept = HashMap<PathBuf, (Option<SystemTime>, u64, Text)>;

/// Texts read from disk for a search, kept while their file's date and size stay the same.
#[derive(Debug, Default)]
pub struct Shelved {
    kept: Mutex<Kept>,
}

impl Shelved {
    fn read(&self, path: &Path) -> Option<Text> {
        let metadata = std::fs::metadata(path).ok()?;
        let (modified, len) = (metadata.modified().ok(), metadata.len());
        if let Some((at, size, text)) = self.lock().get(path)
            && (*at, *size) == (modified, len)
        {
            return Some(text.clone());
        }
        if len > SIZE_LIMIT as u64 {
            return None;
        }
        let source = std::fs::read_to_string(path).ok()?;
        let text = Text {
            uri: Uri::from_file_path(path)?,
            version: None,
            path: Some(path.to_path_buf()),
            index: Arc::new(LineIndex::new(&source)),
            parse: Arc::new(parse(FileId(0), &source)),
        };
        let mut kept = self.lock();
        if kept.len() >= MOST_KEPT {
            kept.clear();
        }
        kept.insert(path.to_path_buf(), (modified, len, text.clone()));
        Some(text)
    }

    fn lock(&self) -> MutexGuard<'_, Kept> {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Open documents first, then the files under the roots that are not open.
pub fn texts(world: &World, session: &Session) -> Vec<Text> {
    let mut out: Vec<Text> = world
        .values()
        .map(|snapshot| Text {
            uri: snapshot.document.uri.clone(),
            version: Some(snapshot.document.version),
            path: snapshot.path.clone(),
            parse: snapshot.reading().read.parse.clone(),
            index: Arc::new(snapshot.index().clone()),
        })
        .collect();
    let mut files = Vec::new();
    for root in session.roots() {
        walk(root, DEPTH, &mut files);
    }
    for path in files {
        if !out.iter().any(|t| t.path.as_deref() == Some(&path)) {
            out.extend(session.shelved.read(&path));
        }
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
    for text in texts(world, session) {
        let positions = text.positions(session.encoding());
        let mut found = Vec::new();
        let chart = opening(&text.parse);
        symbol::flat(&outline(&text.parse), chart, &text.uri, &positions, &mut found);
        let told = |s: &SymbolInformation| {
            let inside = s.container_name.as_deref().unwrap_or_default();
            holds(&s.name, query) || holds(&format!("{inside} {}", s.name), query)
        };
        out.extend(found.into_iter().filter(told));
        if out.len() >= SYMBOLS {
            out.truncate(SYMBOLS);
            break;
        }
    }
    out
}

/// What a file says it is: a case's chart, a house's name.
fn opening(parse: &Parse) -> Option<&str> {
    let line = parse.lines().find(|l| matches!(l.keyword(), Some("case" | "house")))?;
    let hole = line.hole("chart").or_else(|| line.hole("title"))?;
    Some(hole.text())
}

/// Symbols sent, at most.
const SYMBOLS: usize = 500;

fn holds(name: &str, query: &str) -> bool {
    let name = name.to_lowercase();
    let mut rest = name.chars();
    query.to_lowercase().chars().filter(|c| !c.is_whitespace()).all(|c| rest.any(|n| n == c))
}
