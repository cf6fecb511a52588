//! Pictures and meshes below the folder, for the page on which points are picked.

use std::fs;
use std::io::Read as _;

use serde::{Deserialize, Serialize};
use walkdir::WalkDir;

use super::bare::{SourceKind, bare};
use super::papers::SentFile;
use super::state::Desk;

/// Names shown at most.
const MOST: usize = 1000;

/// The largest picture or mesh; a scan of a jaw has some ten to fifty megabytes.
const LARGEST: u64 = 200 << 20;

/// `desk/source`: the content of a picture or mesh.
#[derive(Debug, Deserialize)]
pub struct SourceParams {
    pub doc: String,
}

#[derive(Debug, Serialize)]
pub struct SourceAt {
    /// Good once, for a minute.
    pub address: String,
    pub kind: &'static str,
    pub picture: bool,
}

/// `desk/sources`.
#[derive(Debug, Serialize)]
pub struct FolderSources {
    pub sources: Vec<String>,
    pub plans: Vec<String>,
}

/// Pictures and meshes, hidden ones left out.
pub fn sources(desk: &Desk) -> Vec<String> {
    let root = desk.folder.root();
    let is_shown = |entry: &walkdir::DirEntry| {
        entry.depth() == 0 || !entry.file_name().to_string_lossy().starts_with('.')
    };
    let entries = WalkDir::new(root).sort_by_file_name().into_iter().filter_entry(is_shown);
    let name = |entry: walkdir::DirEntry| {
        let within = entry.path().strip_prefix(root).ok()?;
        let parts: Vec<_> = within.iter().map(|part| part.to_string_lossy()).collect();
        let name = parts.join("/");
        (entry.file_type().is_file() && SourceKind::of(&name).is_some()).then_some(name)
    };
    entries.flatten().filter_map(name).take(MOST).collect()
}

/// A picture or mesh, reduced to what is looked at, under an address that is good once.
pub fn source(desk: &Desk, doc: &str) -> Result<SourceAt, String> {
    let path = desk.folder.source(doc)?;
    let kind = SourceKind::of(doc).ok_or_else(|| format!("{doc} is no picture or mesh."))?;
    let failed = |e: std::io::Error| format!("{doc} cannot be read: {e}.");
    let mut bytes = Vec::new();
    let file = fs::File::open(&path).map_err(failed)?;
    file.take(LARGEST + 1).read_to_end(&mut bytes).map_err(failed)?;
    if bytes.len() as u64 > LARGEST {
        return Err(format!("{doc} is larger than {} MB; make it smaller first.", LARGEST >> 20));
    }
    let bytes = bare(kind, &bytes).map_err(|why| format!("{doc} cannot be shown: {why}."))?;
    let sent = SentFile { name: "source".to_owned(), media_type: kind.media_type(), bytes };
    let address = desk.pages.put(sent).map_err(|e| e.to_string())?;
    Ok(SourceAt { address, kind: kind.word(), picture: kind.is_picture() })
}
