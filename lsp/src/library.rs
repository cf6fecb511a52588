//! Answers `use NAME`: the open, perhaps unsaved house file first, then the one on disk.
//!
//! A house lies in the case's folder or in one above it, up to the folder that holds the project's
//! version control; without a project, in this folder and its parent only.

use std::cell::RefCell;
use std::collections::{BTreeSet, HashMap};
use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::SystemTime;

use springline_lang::charts::is_practice_opening;
use springline_lang::resolve::{Library, NotLoaded};
use springline_lang::syntax::SIZE_LIMIT;

/// The ending of plans and house files.
pub const EXTENSION: &str = "spring";

/// Folders looked in at most, upwards.
const LEVELS: usize = 16;

/// House texts kept from disk, and folders whose place in a project is remembered.
const KEPT: usize = 64;

/// Texts that are open in the editor, by path.
pub type Shelf = rpds::RedBlackTreeMapSync<PathBuf, Arc<str>>;

/// What was read from disk, kept while the file's date and size stay the same.
#[derive(Debug, Default)]
pub struct Disk {
    texts: Mutex<HashMap<PathBuf, Kept>>,
    places: Mutex<HashMap<PathBuf, Arc<[PathBuf]>>>,
    /// The houses of a folder, as long as nothing in it comes or goes.
    houses: Mutex<HashMap<PathBuf, (Option<SystemTime>, Arc<[String]>)>>,
}

#[derive(Debug, Clone)]
struct Kept {
    modified: Option<SystemTime>,
    len: u64,
    text: Arc<str>,
}

impl Disk {
    /// Folders may have come or gone.
    pub fn forget_places(&self) {
        lock(&self.places).clear();
        lock(&self.houses).clear();
    }

    /// This folder and those above, up to the one that holds the project's version control.
    pub fn places(&self, start: &Path) -> Arc<[PathBuf]> {
        if let Some(known) = lock(&self.places).get(start) {
            return known.clone();
        }
        let found: Arc<[PathBuf]> = search(start).into();
        let mut places = lock(&self.places);
        if places.len() >= KEPT {
            places.clear();
        }
        places.insert(start.to_path_buf(), found.clone());
        found
    }

    fn read(&self, path: &Path) -> Result<Arc<str>, String> {
        let metadata = fs::metadata(path).map_err(|e| e.to_string())?;
        let (modified, len) = (metadata.modified().ok(), metadata.len());
        if let Some(kept) = lock(&self.texts).get(path)
            && kept.modified == modified
            && kept.len == len
        {
            return Ok(kept.text.clone());
        }
        let text: Arc<str> = read_file(path)?.into();
        let mut texts = lock(&self.texts);
        if texts.len() >= KEPT {
            texts.clear();
        }
        texts.insert(path.to_path_buf(), Kept { modified, len, text: text.clone() });
        Ok(text)
    }
}

/// The text of a plan or a house. A pipe, a device or a socket may never end and may wait for ever: it is
/// not even opened; nor is more read than a plan can be, whatever the file says of its size.
pub fn read_file(path: &Path) -> Result<String, String> {
    let metadata = fs::metadata(path).map_err(|e| e.to_string())?;
    if !metadata.is_file() {
        return Err("it is not an ordinary file".to_owned());
    }
    let mut bytes = Vec::new();
    let file = fs::File::open(path).map_err(|e| e.to_string())?;
    file.take(SIZE_LIMIT as u64 + 1).read_to_end(&mut bytes).map_err(|e| e.to_string())?;
    if bytes.len() > SIZE_LIMIT {
        return Err("it is too large to be a plan".to_owned());
    }
    String::from_utf8(bytes)
        .map_err(|e| format!("byte {} is not UTF-8", e.utf8_error().valid_up_to()))
}

fn search(start: &Path) -> Vec<PathBuf> {
    let absolute = fs::canonicalize(start).unwrap_or_else(|_| start.to_path_buf());
    let mut out = Vec::new();
    for folder in absolute.ancestors().take(LEVELS) {
        out.push(folder.to_path_buf());
        if folder.join(".git").exists() {
            return out;
        }
    }
    out.truncate(2);
    out
}

/// The library of one document.
#[derive(Debug)]
pub struct Houses<'a> {
    /// The document's folder; `None` for a document that was never saved.
    folder: Option<PathBuf>,
    roots: &'a [PathBuf],
    shelf: &'a Shelf,
    disk: &'a Disk,
    /// What was found: the name it is shown under, and where it lies.
    found: RefCell<Vec<(String, PathBuf)>>,
    asked: RefCell<BTreeSet<String>>,
}

impl<'a> Houses<'a> {
    pub fn new(
        document: Option<&Path>,
        roots: &'a [PathBuf],
        shelf: &'a Shelf,
        disk: &'a Disk,
    ) -> Houses<'a> {
        let folder = document.and_then(Path::parent).map(Path::to_path_buf);
        let folder = folder.or_else(|| roots.first().cloned());
        Houses { folder, roots, shelf, disk, found: RefCell::default(), asked: RefCell::default() }
    }

    /// What was handed out and what was asked for, found or not.
    pub fn into_record(self) -> (Vec<(String, PathBuf)>, BTreeSet<String>) {
        (self.found.into_inner(), self.asked.into_inner())
    }

    fn places(&self) -> Arc<[PathBuf]> {
        self.folder.as_deref().map_or_else(|| Arc::from([]), |f| self.disk.places(f))
    }

    /// Relative to the folder open in the editor, or to the document's own.
    fn shown(&self, path: &Path) -> String {
        let bases = self.roots.iter().map(PathBuf::as_path).chain(self.folder.as_deref());
        let short = bases.filter_map(|base| path.strip_prefix(base).ok()).next();
        short.unwrap_or(path).display().to_string()
    }

    fn open_text(&self, path: &Path) -> Option<Arc<str>> {
        self.shelf.get(path).cloned()
    }

    fn present(&self, places: &[PathBuf]) -> Vec<String> {
        let mut out: Vec<String> =
            places.iter().flat_map(|folder| houses_in(folder, self.disk).to_vec()).collect();
        for (path, text) in self.shelf.iter() {
            if path.parent().is_some_and(|p| places.iter().any(|place| place == p))
                && says_house(text)
            {
                out.extend(stem(path));
            }
        }
        out.sort();
        out.dedup();
        out
    }
}

impl Library for Houses<'_> {
    fn house(&self, name: &str) -> Result<(String, Arc<str>), NotLoaded> {
        self.asked.borrow_mut().insert(name.to_owned());
        let places = self.places();
        for folder in places.iter() {
            let path = folder.join(format!("{name}.{EXTENSION}"));
            let shown = self.shown(&path);
            if let Some(text) = self.open_text(&path) {
                self.found.borrow_mut().push((shown.clone(), path));
                return Ok((shown, text));
            }
            // A folder of that name is none; whatever else is there is told.
            if !path.exists() || path.is_dir() {
                continue;
            }
            let unreadable = |why: String| NotLoaded::Unreadable { name: shown.clone(), why };
            let inside = fs::canonicalize(&path).ok().and_then(|p| Some(p.parent()? == folder));
            if inside == Some(false) {
                return Err(unreadable("it is a link that leaves the folder".to_owned()));
            }
            let text = self.disk.read(&path).map_err(unreadable)?;
            self.found.borrow_mut().push((shown.clone(), path));
            return Ok((shown, text));
        }
        let looked_for =
            places.iter().map(|p| self.shown(&p.join(format!("{name}.{EXTENSION}")))).collect();
        Err(NotLoaded::Missing { looked_for, present: self.present(&places) })
    }
}

/// House files in a folder, by name. Looked for once, since a half-typed name asks at every key.
fn houses_in(folder: &Path, disk: &Disk) -> Arc<[String]> {
    let modified = fs::metadata(folder).and_then(|m| m.modified()).ok();
    if let Some((at, found)) = lock(&disk.houses).get(folder)
        && *at == modified
    {
        return found.clone();
    }
    let Ok(entries) = fs::read_dir(folder) else { return Arc::from([]) };
    let paths = entries.flatten().map(|e| e.path());
    let found: Arc<[String]> = paths
        .filter(|path| path.extension().is_some_and(|e| e == EXTENSION))
        .filter(|path| head(path).is_some_and(|text| says_house(&text)))
        .filter_map(|path| stem(&path))
        .collect();
    let mut houses = lock(&disk.houses);
    if houses.len() >= KEPT {
        houses.clear();
    }
    houses.insert(folder.to_path_buf(), (modified, found.clone()));
    found
}

/// So much of a file is looked at to see whether it is a house: the line that says so is its second.
const HEAD: u64 = 64 << 10;

fn head(path: &Path) -> Option<String> {
    if !fs::metadata(path).ok()?.is_file() {
        return None;
    }
    let mut bytes = Vec::new();
    fs::File::open(path).ok()?.take(HEAD).read_to_end(&mut bytes).ok()?;
    Some(String::from_utf8_lossy(&bytes).into_owned())
}

fn stem(path: &Path) -> Option<String> {
    Some(path.file_stem()?.to_str()?.to_owned())
}

fn says_house(text: &str) -> bool {
    text.lines().any(|line| is_practice_opening(line.trim_start()))
}

/// A poisoned lock means that a request panicked elsewhere; what it guards is a cache, and still whole.
fn lock<T>(mutex: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
