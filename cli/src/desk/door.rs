//! Who may in. A word opens the desk once and for half a minute; a tab that is in gets a session, which it
//! keeps for when its connection breaks.
//!
//! Words lie as files in a folder that only this user can read, each under its hash: a second `springline
//! desk` on the same folder leaves one there for the first.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, SystemTime};

use crate::secret::Secret;

/// How long a word is good.
const GOOD: Duration = Duration::from_secs(30);

/// Sessions remembered at most; the oldest goes first.
const SESSIONS: usize = 64;

#[derive(Debug)]
pub struct Door {
    words: PathBuf,
    sessions: Mutex<Vec<Secret>>,
}

impl Door {
    /// With words kept in this folder, which only this user can read.
    pub fn at(words: PathBuf) -> Door {
        Door { words, sessions: Mutex::default() }
    }

    /// A fresh word, left for whoever serves the desk.
    pub fn leave_word(words: &Path) -> io::Result<Secret> {
        let word = Secret::new()?;
        fs::write(words.join(mark(word.as_str())), b"")?;
        Ok(word)
    }

    pub fn new_word(&self) -> io::Result<Secret> {
        self.sweep();
        Door::leave_word(&self.words)
    }

    /// Takes a word; the second one with it is refused. What is looked up is its hash, so the time it takes
    /// tells nothing about the word.
    pub fn enter(&self, word: &str) -> Option<Secret> {
        if word.len() > 64 {
            return None;
        }
        let place = self.words.join(mark(word));
        let is_fresh = is_fresh(&place);
        // Whoever removes it has used it.
        fs::remove_file(&place).ok()?;
        if !is_fresh {
            return None;
        }
        let session = Secret::new().ok()?;
        let mut sessions = self.sessions.lock().unwrap_or_else(PoisonError::into_inner);
        if sessions.len() >= SESSIONS {
            sessions.remove(0);
        }
        sessions.push(session.clone());
        Some(session)
    }

    pub fn knows(&self, session: &str) -> bool {
        let sessions = self.sessions.lock().unwrap_or_else(PoisonError::into_inner);
        sessions.iter().fold(false, |known, one| known | one.is(session))
    }

    fn sweep(&self) {
        for entry in fs::read_dir(&self.words).into_iter().flatten().flatten() {
            if !is_fresh(&entry.path()) {
                let _ = fs::remove_file(entry.path());
            }
        }
    }
}

fn mark(word: &str) -> String {
    blake3::hash(word.as_bytes()).to_hex().to_string()
}

/// A clock that was set back makes a word old, not everlasting.
fn is_fresh(place: &Path) -> bool {
    let left = fs::metadata(place).and_then(|m| m.modified());
    left.is_ok_and(|at| SystemTime::now().duration_since(at).is_ok_and(|age| age < GOOD))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_opens_once_and_a_session_again() {
        let folder = tempfile::tempdir().unwrap();
        let door = Door::at(folder.path().to_path_buf());
        let word = door.new_word().unwrap();
        assert!(door.enter("0123456789abcdef0123456789abcdef").is_none(), "a guess");
        assert!(door.enter("../../etc/passwd").is_none());
        let session = door.enter(word.as_str()).expect("the word");
        assert!(door.enter(word.as_str()).is_none(), "used");
        assert!(door.knows(session.as_str()));
        assert!(!door.knows(word.as_str()));
        assert!(!door.knows(""));
    }

    #[test]
    fn an_old_word_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let door = Door::at(folder.path().to_path_buf());
        let word = door.new_word().unwrap();
        let old = SystemTime::now() - GOOD;
        let file = fs::File::options().write(true).open(folder.path().join(mark(word.as_str())));
        file.unwrap().set_modified(old).unwrap();
        assert!(door.enter(word.as_str()).is_none());
    }
}
