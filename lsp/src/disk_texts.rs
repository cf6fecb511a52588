//! Texts of a project that are not open, read from disk and kept while their files stay the same.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::SystemTime;

use springline_lang::syntax::{Parse, parse};
use springline_lang::text::{FileId, LineIndex};
use tower_lsp::ls_types::Uri;

use crate::position::{Encoding, Positions};
use crate::practice_files::read_file;

/// Texts kept in memory at most.
const MOST_KEPT: usize = 256;

/// One text of the project, read.
#[derive(Debug, Clone)]
pub struct ProjectText {
    pub uri: Uri,
    /// Set where it is open.
    pub version: Option<i32>,
    pub path: Option<PathBuf>,
    pub parse: Arc<Parse>,
    pub index: Arc<LineIndex>,
}

impl ProjectText {
    pub fn positions(&self, encoding: Encoding) -> Positions<'_> {
        Positions::new(&self.parse.source, &self.index, encoding)
    }
}

/// By path: the file's date and size when it was read.
type ProjectTexts = HashMap<PathBuf, (Option<SystemTime>, u64, ProjectText)>;

/// Texts read from disk for a search, kept while their file's date and size stay the same.
#[derive(Debug, Default)]
pub struct DiskTexts {
    kept: Mutex<ProjectTexts>,
}

impl DiskTexts {
    pub fn read(&self, path: &Path) -> Option<ProjectText> {
        let metadata = std::fs::metadata(path).ok()?;
        let (modified, len) = (metadata.modified().ok(), metadata.len());
        if let Some((at, size, text)) = self.lock().get(path)
            && (*at, *size) == (modified, len)
        {
            return Some(text.clone());
        }
        let text = text(path, read_file(path).ok()?)?;
        let mut kept = self.lock();
        if kept.len() >= MOST_KEPT {
            kept.clear();
        }
        kept.insert(path.to_path_buf(), (modified, len, text.clone()));
        Some(text)
    }

    fn lock(&self) -> MutexGuard<'_, ProjectTexts> {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A text from disk, read.
pub fn text(path: &Path, source: String) -> Option<ProjectText> {
    Some(ProjectText {
        uri: Uri::from_file_path(path)?,
        version: None,
        path: Some(path.to_path_buf()),
        index: Arc::new(LineIndex::new(&source)),
        parse: Arc::new(parse(FileId(0), &source)),
    })
}
