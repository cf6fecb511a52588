//! Practice files on disk, for server and terminal alike: where they are searched, how they are read and
//! how `use NAME` is resolved.
//!
//! A practice file is in the case's folder or in one above it, up to the root of the project's version
//! control; without a project, in this folder and its parent only. A file open in the editor, perhaps
//! unsaved, takes precedence over the one on disk.

use std::cell::RefCell;
use std::collections::{BTreeSet, HashMap};
use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::SystemTime;

use crate::fingerprint::fingerprint;
use springline_lang::charts::is_practice_opening;
use springline_lang::lower::{Library, NotLoaded, PointsFile};
use springline_lang::syntax::SIZE_LIMIT;

/// The file extension of plans and practice files.
pub const EXTENSION: &str = "spring";

/// Folders looked in at most, upwards.
const LEVELS: usize = 16;

/// Bounds of the caches of texts and of folders.
const KEPT: usize = 64;

/// Texts that are open in the editor, by path.
pub type OpenTexts = rpds::RedBlackTreeMapSync<PathBuf, Arc<str>>;

/// What was read from disk, kept while the file's date and size stay the same.
#[derive(Debug, Default)]
pub struct Disk {
    texts: Mutex<HashMap<PathBuf, DiskText>>,
    places: Mutex<HashMap<PathBuf, Arc<[PathBuf]>>>,
    /// The practice files of a folder, as long as the folder is unchanged.
    houses: Mutex<HashMap<PathBuf, (Option<SystemTime>, Arc<[String]>)>>,
}

#[derive(Debug, Clone)]
struct DiskText {
    modified: Option<SystemTime>,
    len: u64,
    text: Arc<str>,
}

impl Disk {
    /// Folders may have been added or removed.
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
        let text: Arc<str> = text_of(ordinary(path)?)?.into();
        let mut texts = lock(&self.texts);
        if texts.len() >= KEPT {
            texts.clear();
        }
        texts.insert(path.to_path_buf(), DiskText { modified, len, text: text.clone() });
        Ok(text)
    }
}

/// The whole text of a plan or a practice file; one that is too large to be either is refused.
pub fn read_file(path: &Path) -> Result<String, String> {
    let bytes = ordinary(path)?;
    if bytes.len() > SIZE_LIMIT {
        return Err("it is too large to be a plan".to_owned());
    }
    text_of(bytes)
}

/// A pipe, a device or a socket may never end and may wait for ever: it is not even opened.
fn ordinary(path: &Path) -> Result<Vec<u8>, String> {
    let metadata = fs::metadata(path).map_err(|e| e.to_string())?;
    if !metadata.is_file() {
        return Err(format!("it is {}", kind(&metadata)));
    }
    fs::File::open(path).and_then(bounded).map_err(|e| e.to_string())
}

fn text_of(bytes: Vec<u8>) -> Result<String, String> {
    String::from_utf8(bytes)
        .map_err(|e| format!("byte {} is not UTF-8", e.utf8_error().valid_up_to()))
}

/// No more than can be a plan, whatever the file says of its size: one byte over the bound is enough to
/// know that it is too much, and the language says so.
pub fn bounded(file: impl std::io::Read) -> std::io::Result<Vec<u8>> {
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

/// What it is, if it is no file.
pub fn kind(meta: &fs::Metadata) -> &'static str {
    if meta.is_dir() {
        return "a folder";
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::FileTypeExt as _;
        let kind = meta.file_type();
        if kind.is_fifo() {
            return "a named pipe";
        }
        if kind.is_socket() {
            return "a socket";
        }
        if kind.is_block_device() || kind.is_char_device() {
            return "a device";
        }
    }
    "not an ordinary file"
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

/// The practice files that one case can use.
#[derive(Debug)]
pub struct PracticeFiles<'a> {
    /// The case's folder; `None` for an unsaved one.
    folder: Option<PathBuf>,
    /// Folders that the names shown are relative to; the first that fits.
    bases: Vec<PathBuf>,
    open: &'a OpenTexts,
    disk: &'a Disk,
    /// What was found: the name it is shown under, and where it lies.
    found: RefCell<Vec<(String, PathBuf)>>,
    asked: RefCell<BTreeSet<String>>,
}

impl<'a> PracticeFiles<'a> {
    pub fn new(
        folder: Option<PathBuf>,
        bases: Vec<PathBuf>,
        open: &'a OpenTexts,
        disk: &'a Disk,
    ) -> PracticeFiles<'a> {
        PracticeFiles {
            folder,
            bases,
            open,
            disk,
            found: RefCell::default(),
            asked: RefCell::default(),
        }
    }

    /// What was handed out and what was asked for, found or not.
    pub fn into_record(self) -> (Vec<(String, PathBuf)>, BTreeSet<String>) {
        (self.found.into_inner(), self.asked.into_inner())
    }

    /// Names of the practice files that are here and above.
    pub fn present(&self) -> Vec<String> {
        self.present_in(&self.places())
    }

    fn places(&self) -> Arc<[PathBuf]> {
        self.folder.as_deref().map_or_else(|| Arc::from([]), |f| self.disk.places(f))
    }

    fn shown(&self, path: &Path) -> String {
        let short = self.bases.iter().filter_map(|base| path.strip_prefix(base).ok()).next();
        short.unwrap_or(path).display().to_string()
    }

    fn present_in(&self, places: &[PathBuf]) -> Vec<String> {
        let mut out: Vec<String> =
            places.iter().flat_map(|folder| houses_in(folder, self.disk).to_vec()).collect();
        for (path, text) in self.open.iter() {
            if path.parent().is_some_and(|p| places.iter().any(|place| place == p))
                && opens_practice(text)
            {
                out.extend(stem(path));
            }
        }
        out.sort();
        out.dedup();
        out
    }

    /// The text in one folder; `None` where there is no file of that name.
    fn text_at(&self, folder: &Path, path: &Path) -> Option<Result<Arc<str>, String>> {
        if let Some(text) = self.open.get(path) {
            return Some(Ok(text.clone()));
        }
        // A folder of that name is no practice file; anything else there is reported.
        let metadata = fs::metadata(path).ok()?;
        if metadata.is_dir() {
            return None;
        }
        if !metadata.is_file() {
            return Some(Err(format!("it is {}", kind(&metadata))));
        }
        let inside = fs::canonicalize(path).ok().and_then(|p| Some(p.parent()? == folder));
        Some(match inside {
            Some(false) => Err("it is a link that leaves the folder".to_owned()),
            _ => self.disk.read(path),
        })
    }
}

impl Library for PracticeFiles<'_> {
    fn house(&self, name: &str) -> Result<(String, Arc<str>), NotLoaded> {
        self.asked.borrow_mut().insert(name.to_owned());
        let places = self.places();
        let path_in = |folder: &PathBuf| folder.join(format!("{name}.{EXTENSION}"));
        for folder in places.iter() {
            let path = path_in(folder);
            let Some(text) = self.text_at(folder, &path) else { continue };
            let shown = self.shown(&path);
            let text = text.map_err(|why| NotLoaded::Unreadable { name: shown.clone(), why })?;
            self.found.borrow_mut().push((shown.clone(), path));
            return Ok((shown, text));
        }
        let looked_for = places.iter().map(|folder| self.shown(&path_in(folder))).collect();
        Err(NotLoaded::Missing { looked_for, present: self.present_in(&places) })
    }

    fn points(&self, name: &str) -> PointsFile {
        let Some(folder) = &self.folder else { return PointsFile::NotLookedFor };
        let folder = fs::canonicalize(folder).unwrap_or_else(|_| folder.clone());
        match self.text_at(&folder, &folder.join(name)) {
            Some(Ok(text)) => PointsFile::There(fingerprint(&text)),
            Some(Err(_)) | None => PointsFile::Missing,
        }
    }
}

/// Practice files in a folder, by name. Cached, since a half-typed name asks at every keystroke.
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
        .filter(|path| is_practice_file(path))
        .filter_map(|path| stem(&path))
        .collect();
    let mut houses = lock(&disk.houses);
    if houses.len() >= KEPT {
        houses.clear();
    }
    houses.insert(folder.to_path_buf(), (modified, found.clone()));
    found
}

/// Bytes read to see whether a file is a practice file: its second line says so.
const HEAD: u64 = 64 << 10;

/// Whether a file opens as a practice file does.
pub fn is_practice_file(path: &Path) -> bool {
    head(path).is_some_and(|text| opens_practice(&text))
}

/// The first lines of a file; `None` where it is none, or cannot be read.
pub fn head(path: &Path) -> Option<String> {
    // Only ordinary files: anything else may never end.
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

fn opens_practice(text: &str) -> bool {
    text.lines().any(|line| is_practice_opening(line.trim_start()))
}

/// A poisoned lock means that a request panicked elsewhere; what it guards is a cache, and still whole.
fn lock<T>(mutex: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
