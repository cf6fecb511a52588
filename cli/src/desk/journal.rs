//! Unsaved text, kept in the user's own state folder: a browser that closes, a program that is ended or a
//! machine that fails loses nothing that was typed a second before.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use springline_lang::syntax::SIZE_LIMIT;

/// An entry longer than this is none of ours: a text of the greatest size, escaped, with its name.
const LONGEST: u64 = 4 * SIZE_LIMIT as u64;

/// One text that differs from its file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct UnsavedText {
    pub doc: String,
    /// Fingerprint of the file that the text began with.
    pub base: String,
    pub text: String,
}

#[derive(Debug)]
pub struct Journal {
    folder: PathBuf,
}

impl Journal {
    /// In this folder, which only this user can read.
    pub fn at(folder: PathBuf) -> Journal {
        Journal { folder }
    }

    pub fn keep(&self, unsaved: &UnsavedText) -> std::io::Result<()> {
        // Readable by its owner alone.
        let mut file = tempfile::Builder::new().prefix(".new-").tempfile_in(&self.folder)?;
        serde_json::to_writer(&mut file, unsaved)?;
        file.flush()?;
        file.as_file().sync_data()?;
        file.persist(self.place(&unsaved.doc))?;
        Ok(())
    }

    pub fn find(&self, doc: &str) -> Option<UnsavedText> {
        read(&self.place(doc)).filter(|found| found.doc == doc)
    }

    pub fn forget(&self, doc: &str) {
        let _ = fs::remove_file(self.place(doc));
    }

    /// The names of all texts kept.
    pub fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(&self.folder).into_iter().flatten().flatten();
        let mut names: Vec<String> =
            entries.filter_map(|entry| read(&entry.path())).map(|found| found.doc).collect();
        names.sort();
        names
    }

    fn place(&self, doc: &str) -> PathBuf {
        self.folder.join(blake3::hash(doc.as_bytes()).to_hex().as_str())
    }
}

fn read(path: &Path) -> Option<UnsavedText> {
    let fits = fs::metadata(path).is_ok_and(|m| m.is_file() && m.len() <= LONGEST);
    fits.then(|| fs::read(path).ok()).flatten().and_then(|b| serde_json::from_slice(&b).ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_kept_until_it_is_saved_and_only_its_owner_reads_it() {
        let folder = tempfile::tempdir().unwrap();
        let journal = Journal::at(folder.path().to_path_buf());
        let text = UnsavedText { doc: "a.spring".into(), base: "b".into(), text: "t\n".into() };
        journal.keep(&text).unwrap();
        assert_eq!(journal.find("a.spring"), Some(text));
        assert_eq!(journal.find("b.spring"), None);
        assert_eq!(journal.names(), ["a.spring"]);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            let mode = fs::metadata(journal.place("a.spring")).unwrap().permissions().mode();
            assert_eq!(mode & 0o777, 0o600);
        }
        journal.forget("a.spring");
        assert!(journal.names().is_empty());
    }
}
