//! What the tabs of one desk share, and where a user's desks keep their state.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use etcetera::BaseStrategy as _;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use serde_json::json;
use tokio::sync::{mpsc, watch};

use super::buffers::{DeskBuffers, TabNumber};
use super::door::Door;
use super::folder::PlansFolder;
use super::journal::Journal;
use super::messages::notice;
use super::papers::PrintedPages;
use super::sitting::SittingSteps;
use super::task::PickTask;
use crate::secret::Secret;

/// Messages that wait for one tab; a tab that takes none for so long hears of nothing more until it is loaded
/// again.
pub const WAITING: usize = 4096;

/// A tab's two lines: to its page, and to its language server.
#[derive(Debug, Clone)]
pub struct TabLines {
    pub page: mpsc::Sender<String>,
    pub language: mpsc::Sender<String>,
}

#[derive(Debug)]
pub struct Desk {
    pub folder: PlansFolder,
    pub door: Door,
    pub pages: PrintedPages,
    pub journal: Journal,
    pub sitting: SittingSteps,
    /// Only points of this file are picked.
    pub task: Option<PickTask>,
    today: Mutex<Date>,
    buffers: Mutex<DeskBuffers>,
    /// Held while the journal is written.
    keeping: Mutex<()>,
    tabs: Mutex<BTreeMap<TabNumber, TabLines>>,
    count: AtomicU64,
    /// Old rows have been taken out of the cache.
    pub is_swept: AtomicBool,
    /// Becomes true when the program ends.
    pub ending: watch::Sender<bool>,
}

impl Desk {
    pub fn new(
        folder: PlansFolder,
        state: &Path,
        today: Date,
        task: Option<PickTask>,
    ) -> Arc<Desk> {
        Arc::new(Desk {
            folder,
            door: Door::at(state.join(WORDS)),
            pages: PrintedPages::default(),
            journal: Journal::at(state.join(JOURNAL)),
            sitting: SittingSteps::at(state.join(SITTING)),
            task,
            today: Mutex::new(today),
            buffers: Mutex::default(),
            keeping: Mutex::default(),
            tabs: Mutex::default(),
            count: AtomicU64::new(0),
            is_swept: AtomicBool::new(false),
            ending: watch::Sender::new(false),
        })
    }

    pub fn buffers(&self) -> MutexGuard<'_, DeskBuffers> {
        self.buffers.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn tabs(&self) -> MutexGuard<'_, BTreeMap<TabNumber, TabLines>> {
        self.tabs.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub fn today(&self) -> Date {
        *self.today.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// A desk may stay open over night. Pages hear of the new day, and are loaded again with what they show of it.
    pub fn turn_to(&self, day: Date) {
        let before =
            std::mem::replace(&mut *self.today.lock().unwrap_or_else(PoisonError::into_inner), day);
        if before != day {
            let tabs: Vec<TabNumber> = self.tabs().keys().copied().collect();
            self.tell(&tabs, &notice("desk/day", json!({"today": day})));
        }
    }

    pub fn join(&self, lines: TabLines) -> TabNumber {
        let tab = self.count.fetch_add(1, Ordering::Relaxed);
        self.tabs().insert(tab, lines);
        tab
    }

    pub fn leave(&self, tab: TabNumber) {
        self.tabs().remove(&tab);
    }

    /// To the pages of these tabs.
    pub fn tell(&self, tabs: &[TabNumber], message: &str) {
        let all = self.tabs();
        for lines in tabs.iter().filter_map(|tab| all.get(tab)) {
            let _ = lines.page.try_send(message.to_owned());
        }
    }

    /// To every page, and to every language server.
    pub fn tell_all(&self, page: &str, language: &str) {
        for lines in self.tabs().values() {
            let _ = lines.page.try_send(page.to_owned());
            let _ = lines.language.try_send(language.to_owned());
        }
    }

    /// Writes what is new to the journal. A disk takes its time, and whoever types does not wait for it: texts are
    /// written while they may change.
    pub fn keep_unsaved(&self) {
        let _one_at_a_time = self.keeping.lock().unwrap_or_else(PoisonError::into_inner);
        let (texts, mut forgotten) = self.buffers().take_unkept();
        for text in texts {
            if let Err(error) = self.journal.keep(&text) {
                crate::tell!("Unsaved text of {} cannot be kept: {error}.", text.doc);
            }
            forgotten.push(text.doc);
        }
        // What was saved meanwhile is not to come back.
        let buffers = self.buffers();
        for doc in forgotten.iter().filter(|doc| !buffers.is_unsaved(doc)) {
            self.journal.forget(doc);
        }
    }
}

const WORDS: &str = "words";
const JOURNAL: &str = "unsaved";
const SITTING: &str = "undo";

/// Where the desk of this folder, or the page for the points of one file, keeps its state: readable by the user alone.
pub fn state_folder(folder: &PlansFolder, task: Option<&PickTask>) -> io::Result<PathBuf> {
    let base = etcetera::choose_base_strategy().map_err(io::Error::other)?;
    let user = base.state_dir().unwrap_or_else(|| base.data_dir());
    let (kind, about) = match task {
        None => ("desk", folder.root().to_path_buf()),
        Some(task) => ("pick", folder.root().join(&task.points)),
    };
    let name = blake3::hash(about.as_os_str().as_encoded_bytes()).to_hex();
    let state = user.join("springline").join(kind).join(&name[..16]);
    for part in [WORDS, JOURNAL, SITTING] {
        crate::cache::private(&state.join(part))?;
    }
    Ok(state)
}

/// A desk that runs, as a second one finds it: the lock is held as long as it runs.
#[derive(Debug)]
pub struct Running {
    _lock: fs::File,
}

#[derive(Debug, Serialize, Deserialize)]
struct RunningAt {
    port: u16,
}

impl Running {
    /// Ours from now on, or the port of the one that runs. Where a file system knows no locks there may be two;
    /// what they save is compared all the same.
    pub fn claim(state: &Path) -> io::Result<Result<Running, u16>> {
        let lock = fs::File::options()
            .create(true)
            .truncate(false)
            .write(true)
            .open(state.join("lock"))?;
        if let Err(fs::TryLockError::WouldBlock) = lock.try_lock() {
            // It may have begun this moment and not yet said where.
            for _ in 0..20 {
                if let Some(at) = running_at(state) {
                    return Ok(Err(at));
                }
                std::thread::sleep(std::time::Duration::from_millis(50));
            }
            return Err(io::Error::other("another desk holds this folder and does not say where"));
        }
        let _ = fs::remove_file(state.join(AT));
        Ok(Ok(Running { _lock: lock }))
    }

    pub fn say_where(&self, state: &Path, port: u16) -> io::Result<()> {
        fs::write(state.join(AT), serde_json::to_vec(&RunningAt { port })?)
    }
}

const AT: &str = "at.json";

fn running_at(state: &Path) -> Option<u16> {
    let at: RunningAt = serde_json::from_slice(&fs::read(state.join(AT)).ok()?).ok()?;
    Some(at.port)
}

/// The address that lets a browser in once. The word stands behind `#`, which no server is sent.
pub fn address(port: u16, word: &Secret) -> String {
    format!("http://127.0.0.1:{port}/#{}", word.as_str())
}

/// A word for a desk with this state, whoever serves it.
pub fn word_for(state: &Path) -> io::Result<Secret> {
    Door::leave_word(&state.join(WORDS))
}

/// A file that leads a browser on to an address: named on a command line, the address would stand in the list
/// of processes.
pub fn leading_file(state: &Path, address: &str) -> io::Result<PathBuf> {
    let mut file = tempfile::Builder::new().prefix("open-").suffix(".html").tempfile_in(state)?;
    let page = format!(
        "<!doctype html><meta charset=utf-8><title>Springline</title>\
         <meta http-equiv=refresh content=\"0;url={address}\"><a href=\"{address}\">Open the desk</a>\n"
    );
    io::Write::write_all(&mut file, page.as_bytes())?;
    let (_, path) = file.keep().map_err(|e| e.error)?;
    Ok(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[cfg(unix)]
    #[test]
    fn the_address_is_in_no_list_of_processes_and_in_no_file_of_others() {
        use std::os::unix::fs::PermissionsExt as _;
        let state = tempfile::tempdir().unwrap();
        let file = leading_file(state.path(), "http://127.0.0.1:1/#word").unwrap();
        assert!(
            !file.display().to_string().contains("word"),
            "a browser is given the file's name alone"
        );
        assert_eq!(fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o600);
        assert!(fs::read_to_string(&file).unwrap().contains("url=http://127.0.0.1:1/#word"));
    }

    #[test]
    fn a_page_hears_of_a_new_day_once() {
        let home = tempfile::tempdir().unwrap();
        for part in [WORDS, JOURNAL, SITTING] {
            fs::create_dir(home.path().join(part)).unwrap();
        }
        let folder = PlansFolder::open(home.path()).unwrap();
        let monday: Date = "2026-11-23".parse().unwrap();
        let desk = Desk::new(folder, home.path(), monday, None);
        let (page, mut heard) = mpsc::channel(WAITING);
        desk.join(TabLines { page, language: mpsc::channel(WAITING).0 });
        desk.turn_to(monday);
        assert!(heard.try_recv().is_err(), "it is still the same day");
        desk.turn_to("2026-11-24".parse().unwrap());
        assert!(heard.try_recv().unwrap().contains(r#""today":"2026-11-24""#));
        assert_eq!(desk.today().to_string(), "2026-11-24");
    }

    #[test]
    fn one_desk_at_a_time_holds_a_folder() {
        let state = tempfile::tempdir().unwrap();
        let first = Running::claim(state.path()).unwrap().unwrap();
        first.say_where(state.path(), 4711).unwrap();
        assert_eq!(Running::claim(state.path()).unwrap().unwrap_err(), 4711);
        drop(first);
        assert!(Running::claim(state.path()).unwrap().is_ok());
    }
}
