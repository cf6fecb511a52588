//! Everything that touches the file system: finding cases, reading texts, answering `use`, and
//! writing whole files or none.

use std::fs;
use std::io::{Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use springline_lang::Source;
use springline_lang::resolve::{Library, NotLoaded};
use springline_lang::syntax::SIZE_LIMIT;

use crate::problem::Problem;

/// The ending of plans and house files.
pub const EXTENSION: &str = "spring";

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
    pub fn source(&self) -> Source {
        Source { name: self.name.clone(), text: self.text.clone() }
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

/// The files named, and those found in folders named, in a stable order.
pub fn find(paths: &[PathBuf]) -> Result<Vec<PathBuf>, Problem> {
    let mut out = Vec::new();
    for path in paths {
        if path.as_os_str() == "-" || path.is_file() {
            out.push(path.clone());
        } else if path.is_dir() {
            walk(path, &mut out)?;
        } else {
            return Err(Problem::missing(path));
        }
    }
    Ok(out)
}

/// The plans below a folder, in a stable order.
fn walk(folder: &Path, out: &mut Vec<PathBuf>) -> Result<(), Problem> {
    let mut found = below(folder)?.collect::<Result<Vec<PathBuf>, Problem>>()?;
    found.sort();
    out.append(&mut found);
    Ok(())
}

/// The same as far as the folder can be looked into; what cannot is named on standard error.
pub fn look(folder: &Path) -> Vec<PathBuf> {
    let tell = |problem: Problem| crate::tell!("passed over: {problem}");
    let mut found: Vec<PathBuf> = match below(folder) {
        Ok(each) => each.filter_map(|path| path.map_err(tell).ok()).collect(),
        Err(problem) => {
            tell(problem);
            Vec::new()
        }
    };
    found.sort();
    found
}

fn below(folder: &Path) -> Result<impl Iterator<Item = Result<PathBuf, Problem>>, Problem> {
    let inside = fs::canonicalize(folder).map_err(|e| Problem::unreadable(folder, &e))?;
    let plan = move |entry: Result<ignore::DirEntry, ignore::Error>| {
        let entry = match entry {
            Ok(entry) => entry,
            Err(error) => return Some(Err(Problem::walk(folder, &error))),
        };
        let path = entry.path();
        if !path.is_file() || path.extension().is_none_or(|e| e != EXTENSION) {
            return None;
        }
        // Whoever names a folder does not mean what lies elsewhere; findings quote what they are about.
        let leaves = entry.path_is_symlink()
            && !fs::canonicalize(path).is_ok_and(|p| p.starts_with(&inside));
        Some(if leaves { Err(Problem::leaves(path, folder)) } else { Ok(entry.into_path()) })
    };
    Ok(ignore::WalkBuilder::new(folder).require_git(false).build().filter_map(plan))
}

/// Reads one input; `-` is standard input.
pub fn read(path: &Path) -> Result<Input, Problem> {
    if path.as_os_str() == "-" {
        let bytes = bounded(std::io::stdin())
            .map_err(|e| Problem::unreadable(Path::new("standard input"), &e))?;
        let text = decode(bytes, "standard input")?;
        return Ok(Input { name: "<stdin>".to_owned(), path: None, text });
    }
    let bytes =
        fs::File::open(path).and_then(bounded).map_err(|e| Problem::unreadable(path, &e))?;
    let name = path.display().to_string();
    let text = decode(bytes, &name)?;
    Ok(Input { name, path: Some(path.to_path_buf()), text })
}

/// No more than can be a plan: one byte over the bound is enough to know that it is too much, and the
/// language says so.
fn bounded(file: impl std::io::Read) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    file.take(SIZE_LIMIT as u64 + 1).read_to_end(&mut bytes)?;
    if bytes.len() > SIZE_LIMIT {
        // Cut inside a character the rest would not be text.
        let whole = std::str::from_utf8(&bytes).map_or_else(|e| e.valid_up_to(), str::len);
        if bytes.len() - whole < 4 {
            bytes.truncate(whole);
            bytes.resize(SIZE_LIMIT + 1, b' ');
        }
    }
    Ok(bytes)
}

/// Never lossy: text that is not UTF-8 is left alone and its place told.
fn decode(bytes: Vec<u8>, name: &str) -> Result<Arc<str>, Problem> {
    String::from_utf8(bytes).map(Arc::from).map_err(|e| Problem::not_utf8(name, &e))
}

/// Looks for a house in a folder and the ones above it, inside the project.
#[derive(Debug, Clone)]
pub struct Folders {
    start: PathBuf,
}

/// Folders looked in at most, upwards.
const LEVELS: usize = 16;

impl Folders {
    pub fn at(start: PathBuf) -> Folders {
        Folders { start }
    }

    pub fn start(&self) -> &Path {
        &self.start
    }

    /// This folder and those above, up to the one that holds the project's version control.
    fn places(&self) -> Vec<PathBuf> {
        let start =
            if self.start.as_os_str().is_empty() { PathBuf::from(".") } else { self.start.clone() };
        let absolute = fs::canonicalize(&start).unwrap_or(start);
        let mut out = Vec::new();
        for folder in absolute.ancestors().take(LEVELS) {
            out.push(folder.to_path_buf());
            if folder.join(".git").exists() {
                return out;
            }
        }
        // No project to stay inside: this folder and its parent only.
        out.truncate(2);
        out
    }
}

impl Library for Folders {
    fn house(&self, name: &str) -> Result<(String, Arc<str>), NotLoaded> {
        let places = self.places();
        for folder in &places {
            let path = folder.join(format!("{name}.{EXTENSION}"));
            if !path.is_file() {
                continue;
            }
            let shown = shorten(&path);
            let inside = fs::canonicalize(&path).ok().and_then(|p| Some(p.parent()? == folder));
            if inside == Some(false) {
                return Err(NotLoaded::Unreadable {
                    name: shown,
                    why: "it is a link that leaves the folder".to_owned(),
                });
            }
            let unreadable = |why: String| NotLoaded::Unreadable { name: shown.clone(), why };
            let bytes =
                fs::File::open(&path).and_then(bounded).map_err(|e| unreadable(e.to_string()))?;
            let text = String::from_utf8(bytes).map_err(|e| {
                unreadable(format!("byte {} is not UTF-8", e.utf8_error().valid_up_to()))
            })?;
            return Ok((shown, text.into()));
        }
        let looked_for =
            places.iter().map(|p| shorten(&p.join(format!("{name}.{EXTENSION}")))).collect();
        Err(NotLoaded::Missing { looked_for, present: houses(&places) })
    }
}

/// Names of house files that are there.
fn houses(places: &[PathBuf]) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for folder in places {
        let Ok(entries) = fs::read_dir(folder) else { continue };
        for entry in entries.flatten().take(2000) {
            let path = entry.path();
            let is_house = path.extension().is_some_and(|e| e == EXTENSION)
                && fs::metadata(&path).is_ok_and(|m| m.len() < SIZE_LIMIT as u64)
                && fs::read_to_string(&path)
                    .is_ok_and(|t| t.lines().any(|l| l.trim_start().starts_with("house ")));
            if is_house && let Some(stem) = path.file_stem().and_then(|s| s.to_str()) {
                out.push(stem.to_owned());
            }
        }
    }
    out.sort();
    out.dedup();
    out
}

/// Relative to where the user stands, if it lies below.
fn shorten(path: &Path) -> String {
    let here = std::env::current_dir().ok().and_then(|p| fs::canonicalize(p).ok());
    let short = here.as_deref().and_then(|h| path.strip_prefix(h).ok()).unwrap_or(path);
    short.display().to_string()
}

/// Writes the whole file or none of it: a new one beside it, flushed, then put in its place. A link
/// is followed, so that the file it points to is replaced, not the link.
pub fn write(path: &Path, text: &[u8]) -> Result<(), Problem> {
    put(path, text, true)
}

/// The same without waiting for the disk: for files that can be made again, by the thousand.
pub fn write_again(path: &Path, text: &[u8]) -> Result<(), Problem> {
    put(path, text, false)
}

fn put(path: &Path, text: &[u8], flush: bool) -> Result<(), Problem> {
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    let folder = match target.parent() {
        Some(p) if !p.as_os_str().is_empty() => p.to_path_buf(),
        _ => PathBuf::from("."),
    };
    let failed = |e: &std::io::Error| Problem::unwritable(path, e);
    let mut file = tempfile::Builder::new()
        .prefix(".springline-")
        .tempfile_in(&folder)
        .map_err(|e| failed(&e))?;
    file.write_all(text).map_err(|e| failed(&e))?;
    if flush {
        file.as_file().sync_all().map_err(|e| failed(&e))?;
    }
    if let Ok(metadata) = fs::metadata(&target) {
        if metadata.permissions().readonly() {
            return Err(Problem::read_only(path));
        }
        fs::set_permissions(file.path(), metadata.permissions()).map_err(|e| failed(&e))?;
    } else {
        make_ordinary(file.path());
    }
    file.persist(&target).map_err(|e| failed(&e.error))?;
    Ok(())
}

/// Writes a file anew, but only over the text that was read from it: with two programs at one case, or
/// an editor that saves meanwhile, one of them is told and nothing is lost.
pub fn replace(path: &Path, read_before: &Input, text: &[u8]) -> Result<(), Problem> {
    let held = fs::File::open(path).map_err(|e| Problem::unwritable(path, &e))?;
    // Where a file system knows no locks the comparison alone must do.
    let _ = held.lock();
    if read(path)?.text != read_before.text {
        return Err(Problem::changed(path));
    }
    write(path, text)
}

/// New files get the permissions that files have here, not those of a private temporary file.
#[cfg(unix)]
fn make_ordinary(path: &Path) {
    use std::os::unix::fs::PermissionsExt;
    // Without a way to ask for the umask short of changing it, the usual 644 stands.
    let _ = fs::set_permissions(path, fs::Permissions::from_mode(0o644));
}

#[cfg(not(unix))]
fn make_ordinary(_path: &Path) {}

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
