//! Steps of undo of the sitting, as the page tells them: they outlive a page that is loaded again, a plan that is
//! left and opened again, and the end of the program.
//!
//! A sitting is work on one plan without a long pause. Hours of quiet end it, by the time at which its steps were
//! last kept: who comes back after a night does not expect one key too many to undo yesterday.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use serde::{Deserialize, Serialize};
use serde_json::Value;

/// The pause that ends a sitting: longer than a clinic's midday, shorter than a night (own choice, no source).
const PAUSE: Duration = Duration::from_secs(4 * 60 * 60);

/// The most that is kept of one plan, in bytes; the page drops its oldest steps before.
const MOST: usize = 4 << 20;

#[derive(Debug, Serialize, Deserialize)]
struct KeptSteps {
    doc: String,
    steps: Value,
}

#[derive(Debug)]
pub struct SittingSteps {
    folder: PathBuf,
}

impl SittingSteps {
    /// In this folder, which only this user can read; what is left of earlier sittings goes.
    pub fn at(folder: PathBuf) -> SittingSteps {
        for entry in fs::read_dir(&folder).into_iter().flatten().flatten() {
            if !is_going_on(&entry.path()) {
                let _ = fs::remove_file(entry.path());
            }
        }
        SittingSteps { folder }
    }

    pub fn keep(&self, doc: &str, steps: Value) -> std::io::Result<()> {
        let place = self.place(doc);
        let text = serde_json::to_vec(&KeptSteps { doc: doc.to_owned(), steps })?;
        if text.len() > MOST {
            return match fs::remove_file(place) {
                Err(error) if error.kind() != std::io::ErrorKind::NotFound => Err(error),
                _ => Ok(()),
            };
        }
        let mut file = tempfile::Builder::new().prefix(".new-").tempfile_in(&self.folder)?;
        file.write_all(&text)?;
        file.persist(place)?;
        Ok(())
    }

    /// The steps of a plan, if its sitting still goes on.
    pub fn find(&self, doc: &str) -> Option<Value> {
        let place = self.place(doc);
        if !is_going_on(&place) {
            return None;
        }
        let kept: KeptSteps = serde_json::from_slice(&fs::read(place).ok()?).ok()?;
        (kept.doc == doc).then_some(kept.steps)
    }

    fn place(&self, doc: &str) -> PathBuf {
        self.folder.join(blake3::hash(doc.as_bytes()).to_hex().as_str())
    }
}

/// A clock that was set back ends a sitting rather than keep it for ever.
fn is_going_on(place: &Path) -> bool {
    let meta = fs::metadata(place).ok();
    let kept =
        meta.filter(|m| m.is_file() && m.len() <= MOST as u64).and_then(|m| m.modified().ok());
    kept.is_some_and(|at| SystemTime::now().duration_since(at).is_ok_and(|age| age < PAUSE))
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn steps_are_found_again_until_hours_have_passed() {
        let folder = tempfile::tempdir().unwrap();
        let at = || SittingSteps::at(folder.path().to_path_buf());
        let steps = json!({"of": "text", "history": {"done": [1, 2]}});
        at().keep("a.spring", steps.clone()).unwrap();
        assert_eq!(at().find("a.spring"), Some(steps.clone()), "the program was started again");
        assert_eq!(at().find("b.spring"), None);
        let kept = at().place("a.spring");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            assert_eq!(fs::metadata(&kept).unwrap().permissions().mode() & 0o777, 0o600);
        }
        let file = fs::File::options().append(true).open(&kept).unwrap();
        file.set_modified(SystemTime::now() - PAUSE).unwrap();
        let same = at();
        assert_eq!(same.find("a.spring"), None, "another sitting");
        assert!(!kept.exists(), "nothing is left of it");
    }

    #[test]
    fn what_is_too_long_is_not_kept_and_takes_nothing_older_for_it() {
        let folder = tempfile::tempdir().unwrap();
        let sitting = SittingSteps::at(folder.path().to_path_buf());
        sitting.keep("a.spring", json!("short")).unwrap();
        sitting.keep("a.spring", json!("x".repeat(MOST))).unwrap();
        assert_eq!(sitting.find("a.spring"), None);
    }
}
