//! On-disk cache of check reports, so that unchanged files are not computed again.
//!
//! An entry's key is everything a check depends on except the practice files: the build of this program,
//! the date, the name and text of the file. The entry stores the contents of the practice files and points that it
//! asked for; where one has changed, disappeared or appeared, the entry is invalid. An entry carries a
//! checksum, so a damaged one is invalid too. Entries are written to a temporary file and renamed, so any
//! number of runs can share a folder, and it can be deleted at any time.

use std::fs;
use std::io::{Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::{Duration, SystemTime};

use crate::report_cache::{FileReport, StoredReport};
use etcetera::BaseStrategy as _;
use jiff::civil::Date;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use springline_lang::lower::{Library as _, PointsFile};

use crate::args::StoringArgs;
use crate::files::Input;
use crate::house_cache::{CaseLibrary, HouseAnswer};
use crate::progress::LONG_WORK;

/// Form of the entries that hold a check.
const CHECKS: &str = "springline check 1";

/// An entry longer than this is not one that this program wrote.
const LONGEST: u64 = 8 << 20;

/// Entries kept at most, and how long: the day is part of what they are found by.
const MOST: usize = 200_000;
const DAYS: u64 = 30;

#[derive(Debug)]
pub struct Cache {
    folder: PathBuf,
    /// A hasher that already contains what all entries of this run share.
    begun: blake3::Hasher,
    written: AtomicUsize,
    failed: AtomicBool,
}

#[derive(Serialize, Deserialize)]
struct CacheEntry<T> {
    /// What it is found by, so that one moved to another's place is not taken for it.
    mark: [u8; 32],
    /// Names of practice files asked for, with the hash of each answer.
    asked: Vec<(String, [u8; 32])>,
    /// The same of files of points.
    points: Vec<(String, [u8; 32])>,
    result: T,
}

impl Cache {
    /// Opens the cache if the user allows it; a few files are checked as fast as looked up.
    pub fn for_many(asked: &StoringArgs, files: usize, today: Date) -> Option<Cache> {
        let wanted = !asked.no_cache && (files >= LONG_WORK || asked.cache.is_some());
        wanted.then(|| Cache::open(CHECKS, asked.cache.as_deref(), today)).flatten()
    }

    /// Of something else that is made of a check, by the name of its form.
    pub fn of_form(form: &str, today: Date) -> Option<Cache> {
        Cache::open(form, None, today)
    }

    /// In the folder named, or the one that the system has for such things; `None` where there is none.
    fn open(form: &str, folder: Option<&Path>, today: Date) -> Option<Cache> {
        let folder = match folder {
            Some(folder) => folder.to_path_buf(),
            None => etcetera::choose_base_strategy().ok()?.cache_dir().join("springline"),
        };
        let mut begun = blake3::Hasher::new();
        for part in [form, env!("SPRINGLINE_BUILD"), &today.to_string()] {
            put(&mut begun, part.as_bytes());
        }
        Some(Cache { folder, begun, written: AtomicUsize::new(0), failed: AtomicBool::new(false) })
    }

    /// The stored check of this text, if everything that it read is unchanged.
    pub fn get(&self, input: &Input, library: &CaseLibrary<'_>) -> Option<FileReport> {
        let (result, texts): (StoredReport, _) = self.take(input, library)?;
        let text = |name: &str| texts.iter().find(|(n, _)| n == name).map(|(_, t)| t.clone());
        result.into_report(text)
    }

    /// What was stored for this text, with every text that it was made of, if all of them are unchanged.
    pub fn take<T: DeserializeOwned>(
        &self,
        input: &Input,
        library: &CaseLibrary<'_>,
    ) -> Option<(T, Vec<(String, Arc<str>)>)> {
        let own = self.key_of(input);
        let mut bytes = Vec::new();
        fs::File::open(self.place(own)).ok()?.take(LONGEST).read_to_end(&mut bytes).ok()?;
        let (sum, rest) = bytes.split_first_chunk::<32>()?;
        if blake3::hash(rest) != *sum {
            return None;
        }
        let entry: CacheEntry<T> =
            postcard::from_bytes(rest).ok().filter(|e: &CacheEntry<T>| e.mark == own)?;
        let mut texts: Vec<(String, Arc<str>)> = vec![(input.name.clone(), input.text.clone())];
        for (name, mark) in &entry.asked {
            let answer = library.house(name);
            if answer_hash(&answer) != *mark {
                return None;
            }
            texts.extend(answer.ok());
        }
        let is_same =
            |(name, mark): &(String, [u8; 32])| points_hash(&library.points(name)) == *mark;
        if !entry.points.iter().all(is_same) {
            return None;
        }
        Some((entry.result, texts))
    }

    /// Stores a check. A write error is ignored: the check is computed again next time.
    pub fn store(&self, input: &Input, library: &CaseLibrary<'_>, kept: &FileReport) {
        self.put_away(input, library, StoredReport::of(kept));
    }

    /// Stores what was made of this text and of the practice files asked for.
    pub fn put_away<T: Serialize>(&self, input: &Input, library: &CaseLibrary<'_>, result: T) {
        let mark = self.key_of(input);
        let asked = library.asked().into_iter().map(|(n, a)| (n, answer_hash(&a))).collect();
        let points =
            library.asked_points().into_iter().map(|(n, a)| (n, points_hash(&a))).collect();
        let entry = CacheEntry { mark, asked, points, result };
        let Ok(bytes) = postcard::to_allocvec(&entry) else { return };
        match write(&self.place(mark), &bytes) {
            Ok(()) => {
                self.written.fetch_add(1, Ordering::Relaxed);
            }
            Err(error) => {
                if !self.failed.swap(true, Ordering::Relaxed) {
                    crate::tell!(
                        "Checks cannot be cached in {}: {error}. The next run computes them again; `--cache \
                         FOLDER` chooses another place, `--no-cache` none.",
                        self.folder.display()
                    );
                }
            }
        }
    }

    fn key_of(&self, input: &Input) -> [u8; 32] {
        let mut hasher = self.begun.clone();
        put(&mut hasher, input.name.as_bytes());
        put(&mut hasher, input.text.as_bytes());
        *hasher.finalize().as_bytes()
    }

    /// Folders of entries by the first two digits: few enough to read, many enough to stay small.
    fn place(&self, mark: [u8; 32]) -> PathBuf {
        let name = blake3::Hash::from_bytes(mark).to_hex();
        self.folder.join(&name[..2]).join(&name[2..])
    }

    /// Keeps the folder bounded; only where this run has added to it.
    pub fn sweep(&self) {
        if self.written.load(Ordering::Relaxed) > 0 {
            sweep(&self.folder, MOST, Duration::from_secs(DAYS * 24 * 3600));
        }
    }
}

/// Length first, so that two parts are never taken for one.
fn put(hasher: &mut blake3::Hasher, bytes: &[u8]) {
    hasher.update(&(bytes.len() as u64).to_le_bytes());
    hasher.update(bytes);
}

fn answer_hash(answer: &HouseAnswer) -> [u8; 32] {
    let mut hasher = blake3::Hasher::new();
    match answer {
        Ok((name, text)) => {
            hasher.update(b"house");
            put(&mut hasher, name.as_bytes());
            put(&mut hasher, text.as_bytes());
        }
        Err(why) => {
            hasher.update(b"none");
            put(&mut hasher, format!("{why:?}").as_bytes());
        }
    }
    *hasher.finalize().as_bytes()
}

fn points_hash(answer: &PointsFile) -> [u8; 32] {
    *blake3::hash(format!("{answer:?}").as_bytes()).as_bytes()
}

/// Not flushed to the disk: an entry that a power cut has spoilt fails its checksum.
fn write(place: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let folder = place.parent().unwrap_or(Path::new("."));
    private(folder)?;
    let mut file = tempfile::Builder::new().prefix(".new-").tempfile_in(folder)?;
    file.write_all(blake3::hash(bytes).as_bytes())?;
    file.write_all(bytes)?;
    file.persist(place)?;
    Ok(())
}

/// Findings about patients are private, so only the user may read the folder.
#[cfg(unix)]
pub fn private(folder: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::DirBuilderExt as _;
    fs::DirBuilder::new().recursive(true).mode(0o700).create(folder)
}

#[cfg(not(unix))]
pub fn private(folder: &Path) -> std::io::Result<()> {
    fs::create_dir_all(folder)
}

/// Removes what is older than `age`, and the oldest beyond `most`. Only files that look like entries, in
/// folders that look like ours.
fn sweep(folder: &Path, most: usize, age: Duration) {
    let now = SystemTime::now();
    let mut all: Vec<(SystemTime, PathBuf)> = Vec::new();
    for shard in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = shard.file_name();
        if name.to_str().is_none_or(|n| n.len() != 2 || !is_hex(n)) {
            continue;
        }
        for entry in fs::read_dir(shard.path()).into_iter().flatten().flatten() {
            let name = entry.file_name();
            let ours = name
                .to_str()
                .is_some_and(|n| (n.len() == 62 && is_hex(n)) || n.starts_with(".new-"));
            let modified = entry.metadata().and_then(|m| m.modified());
            if let (true, Ok(modified)) = (ours, modified) {
                all.push((modified, entry.path()));
            }
        }
    }
    all.sort();
    let surplus = all.len().saturating_sub(most);
    for (at, (modified, path)) in all.iter().enumerate() {
        let old = now.duration_since(*modified).is_ok_and(|a| a > age);
        if at < surplus || old {
            // Another run may have removed it already.
            let _ = fs::remove_file(path);
        }
    }
}

fn is_hex(text: &str) -> bool {
    text.bytes().all(|b| b.is_ascii_hexdigit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_folder_stays_bounded_and_foreign_files_stay() {
        let folder = tempfile::tempdir().unwrap();
        for n in 0..20 {
            let place = folder.path().join("a0").join(format!("{n:062x}"));
            write(&place, b"entry").unwrap();
        }
        fs::write(folder.path().join("a0/notes.txt"), "mine").unwrap();
        sweep(folder.path(), 5, Duration::from_secs(3600));
        assert_eq!(fs::read_dir(folder.path().join("a0")).unwrap().count(), 6);
        sweep(folder.path(), 5, Duration::ZERO);
        assert_eq!(fs::read_dir(folder.path().join("a0")).unwrap().count(), 1);
    }
}
