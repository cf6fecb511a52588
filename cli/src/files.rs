//! File contents: reads texts, and writes files atomically. Which files a command is about is decided in
//! `find`; practice files are searched as in the server.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use springline_lang::SourceText;
use springline_lang::lower::{Library, NotLoaded, PointsFile};
use springline_lsp::practice_files::{Disk, OpenTexts, PracticeFiles, bounded};

use crate::problem::Problem;

pub use springline_lsp::practice_files::{EXTENSION, head, is_practice_file, kind};

/// A text from disk, or from standard input.
#[derive(Debug, Clone)]
pub struct Input {
    /// As the user named it, for display.
    pub name: String,
    /// `None` for standard input.
    pub path: Option<PathBuf>,
    pub text: Arc<str>,
}

impl Input {
    pub fn source(&self) -> SourceText {
        SourceText { name: self.name.clone(), text: self.text.clone() }
    }

    /// Where its house files are looked for.
    pub fn library(&self) -> Folders {
        let folder = match &self.path {
            Some(path) => path.parent().map(Path::to_path_buf).unwrap_or_default(),
            None => PathBuf::new(),
        };
        Folders { start: folder }
    }
}

/// Reads one input; `-` is standard input.
pub fn read(path: &Path) -> Result<Input, Problem> {
    if path.as_os_str() == "-" {
        let bytes = bounded(std::io::stdin())
            .map_err(|e| Problem::unreadable(Path::new("standard input"), &e))?;
        let text = decode(bytes, "standard input")?;
        return Ok(Input { name: "<stdin>".to_owned(), path: None, text });
    }
    let bytes = open(path)?;
    let name = path.display().to_string();
    let text = decode(bytes, &name)?;
    Ok(Input { name, path: Some(path.to_path_buf()), text })
}

/// The content of a file. A pipe, a device or a socket may never end, and may wait for ever: it is not
/// even opened.
fn open(path: &Path) -> Result<Vec<u8>, Problem> {
    let meta = fs::metadata(path).map_err(|e| Problem::not_found(path, &e))?;
    if !meta.is_file() {
        return Err(Problem::no_file(path, kind(&meta)));
    }
    fs::File::open(path).and_then(bounded).map_err(|e| Problem::unreadable(path, &e))
}

/// Never lossy: text that is not UTF-8 is left alone and its place reported.
fn decode(bytes: Vec<u8>, name: &str) -> Result<Arc<str>, Problem> {
    String::from_utf8(bytes).map(Arc::from).map_err(|e| Problem::not_utf8(name, &e))
}

/// Looks for a house in a folder and the ones above it, inside the project.
#[derive(Debug, Clone)]
pub struct Folders {
    start: PathBuf,
}

impl Folders {
    pub fn at(start: PathBuf) -> Folders {
        Folders { start }
    }

    pub fn start(&self) -> &Path {
        &self.start
    }

    /// Names of the practice files that are here and above.
    pub fn practices(&self) -> Vec<String> {
        self.look(|files| files.present())
    }

    /// No text is open here, and nothing of the disk is remembered.
    fn look<T>(&self, ask: impl FnOnce(&PracticeFiles<'_>) -> T) -> T {
        let start =
            if self.start.as_os_str().is_empty() { PathBuf::from(".") } else { self.start.clone() };
        // Names are shown relative to the working directory.
        let here = std::env::current_dir().ok().and_then(|p| fs::canonicalize(p).ok());
        let (open, disk) = (OpenTexts::default(), Disk::default());
        ask(&PracticeFiles::new(Some(start), here.into_iter().collect(), &open, &disk))
    }
}

impl Library for Folders {
    fn house(&self, name: &str) -> Result<(String, Arc<str>), NotLoaded> {
        self.look(|files| files.house(name))
    }

    fn points(&self, name: &str) -> PointsFile {
        self.look(|files| files.points(name))
    }
}

/// Writes a file atomically: a temporary file beside it, flushed, then renamed. A link is followed, so
/// that its target is replaced, not the link.
pub fn write(path: &Path, text: &[u8]) -> Result<(), Problem> {
    write_atomically(path, text, true)
}

/// The same without waiting for the disk: for files that can be made again, by the thousand.
pub fn write_again(path: &Path, text: &[u8]) -> Result<(), Problem> {
    write_atomically(path, text, false)
}

/// A new file, whole or not at all; one that is there meanwhile is left alone.
pub fn create(path: &Path, text: &[u8]) -> Result<(), Problem> {
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    let failed = |e: &std::io::Error| Problem::unwritable(path, e);
    let mut file = beside(folder, true).map_err(|e| failed(&e))?;
    file.write_all(text).map_err(|e| failed(&e))?;
    file.as_file().sync_all().map_err(|e| failed(&e))?;
    file.persist_noclobber(path).map_err(|e| match e.error.kind() {
        std::io::ErrorKind::AlreadyExists => {
            Problem::not_written(path, "it is there already".to_owned())
        }
        _ => failed(&e.error),
    })?;
    Ok(())
}

/// A file beside the one that is meant. Where there was none, it gets the permissions that files have
/// here.
fn beside(folder: &Path, new: bool) -> std::io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".springline-");
    #[cfg(unix)]
    if new {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    #[cfg(not(unix))]
    let _ = new;
    builder.tempfile_in(folder)
}

fn write_atomically(path: &Path, text: &[u8], flush: bool) -> Result<(), Problem> {
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    let folder = match target.parent() {
        Some(p) if !p.as_os_str().is_empty() => p.to_path_buf(),
        _ => PathBuf::from("."),
    };
    let failed = |e: &std::io::Error| Problem::unwritable(path, e);
    let old = fs::metadata(&target).ok();
    if let Some(old) = &old {
        if !old.is_file() {
            return Err(Problem::not_written(path, format!("it is {}", kind(old))));
        }
        if old.permissions().readonly() {
            return Err(Problem::read_only(path));
        }
    }
    let mut file = beside(&folder, old.is_none()).map_err(|e| failed(&e))?;
    file.write_all(text).map_err(|e| failed(&e))?;
    if flush {
        file.as_file().sync_all().map_err(|e| failed(&e))?;
    }
    if let Some(old) = old {
        fs::set_permissions(file.path(), old.permissions()).map_err(|e| failed(&e))?;
    }
    file.persist(&target).map_err(|e| failed(&e.error))?;
    Ok(())
}

/// Rewrites a file, but only if it still has the text that was read from it: if another program saved
/// meanwhile there is an error and nothing is lost.
pub fn replace(path: &Path, read_before: &Input, text: &[u8]) -> Result<(), Problem> {
    let held = fs::File::open(path).map_err(|e| Problem::unwritable(path, &e))?;
    // Where a file system knows no locks the comparison alone must do.
    let _ = held.lock();
    if read(path)?.text != read_before.text {
        return Err(Problem::changed(path));
    }
    write(path, text)
}

/// A file of that name, small and capital letters counting as the same: on many disks they are.
pub fn there_already(path: &Path) -> Option<PathBuf> {
    if path.symlink_metadata().is_ok() {
        return Some(path.to_path_buf());
    }
    let name = path.file_name()?.to_string_lossy().to_lowercase();
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let entries = fs::read_dir(folder).ok()?.flatten();
    let same = |e: &fs::DirEntry| e.file_name().to_string_lossy().to_lowercase() == name;
    entries.into_iter().find(same).map(|e| e.path())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_changed_since_it_was_read_is_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("case.spring");
        fs::write(&path, "as read\n").unwrap();
        let before = read(&path).unwrap();
        fs::write(&path, "saved by an editor meanwhile\n").unwrap();
        assert!(replace(&path, &before, b"ours\n").is_err());
        assert_eq!(fs::read_to_string(&path).unwrap(), "saved by an editor meanwhile\n");
        assert!(replace(&path, &read(&path).unwrap(), b"ours\n").is_ok());
        assert_eq!(fs::read_to_string(&path).unwrap(), "ours\n");
    }
}
