//! Checks cases that are not open when the practice file they use changes, so that an edit that breaks
//! sixty cases reports it. Runs on its own thread, after all open documents; newer work replaces older.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

use springline_lang::finding::Finding;
use springline_lang::lower::used;
use springline_lang::syntax::{FileKind, SIZE_LIMIT};
use springline_lang::{CheckOptions, Checker};
use tower_lsp::ls_types::{Diagnostic, Uri};

use super::mailbox::Mailbox;
use super::revisions::Revision;
use crate::convert::diagnostic;
use crate::document::Document;
use crate::features::while_typing::Typing;
use crate::practice_files::{EXTENSION, OpenTexts};
use crate::session::Session;
use crate::snapshot::Snapshot;

/// Most files searched below a practice file's folder; the rest is logged.
const FILES: usize = 5000;

/// Of the cases so many are judged whole; of the others only the language is looked at.
const JUDGED: usize = 500;

/// Deepest folder searched below the practice file's own.
const DEPTH: usize = 6;

/// Open documents come first.
const WAIT: Duration = Duration::from_millis(150);

/// The sender; dropping it ends the thread.
#[derive(Debug)]
pub struct Closed {
    inbox: Arc<Mailbox<Job>>,
    newest: Arc<AtomicU64>,
}

impl Drop for Closed {
    fn drop(&mut self) {
        self.inbox.close();
        self.newest.fetch_add(1, Ordering::SeqCst);
    }
}

/// A practice file that has changed.
#[derive(Debug)]
struct Job {
    number: u64,
    house: PathBuf,
    shelf: OpenTexts,
    session: Arc<Session>,
}

impl Closed {
    pub fn start() -> Closed {
        let inbox = Arc::new(Mailbox::default());
        let newest = Arc::new(AtomicU64::new(0));
        let (jobs, last) = (inbox.clone(), newest.clone());
        super::worker::spawn("springline-closed", move || {
            while let Some(job) = jobs.take() {
                std::thread::sleep(WAIT);
                if catch_unwind(AssertUnwindSafe(|| look(&job, &last))).is_err() {
                    crate::log("looking at closed cases panicked; they are not told of");
                }
            }
        });
        Closed { inbox, newest }
    }

    /// Checks the cases that use this practice file, except open ones.
    pub fn look(&self, house: &Path, shelf: OpenTexts, session: Arc<Session>) {
        let number = self.newest.fetch_add(1, Ordering::SeqCst) + 1;
        let job = Job { number, house: house.to_path_buf(), shelf, session };
        self.inbox.put("house", job, true);
    }
}

fn look(job: &Job, newest: &AtomicU64) {
    let Some(name) = job.house.file_stem().and_then(|s| s.to_str()) else { return };
    let Some(folder) = job.house.parent() else { return };
    let mut files = Vec::new();
    below(folder, DEPTH, &mut files);
    if files.len() >= FILES {
        crate::log(&format!(
            "{}: more than {FILES} files; the rest is not checked",
            folder.display()
        ));
    }
    let mut checker = Checker::new();
    let mut judged = 0;
    for path in files {
        if newest.load(Ordering::SeqCst) != job.number {
            return;
        }
        if job.shelf.contains_key(&path) {
            continue;
        }
        let Some((uri, list)) = case(job, name, &path, &mut checker, &mut judged) else { continue };
        job.session.publisher.closed(&uri, list);
    }
}

/// The errors of a closed case; `None` where the file is no case or uses another practice file.
fn case(
    job: &Job,
    house: &str,
    path: &Path,
    checker: &mut Checker,
    judged: &mut usize,
) -> Option<(Uri, Vec<Diagnostic>)> {
    let metadata = std::fs::symlink_metadata(path).ok()?;
    if !metadata.is_file() || metadata.len() > SIZE_LIMIT as u64 {
        return None;
    }
    let text = std::fs::read_to_string(path).ok().filter(|text| text.contains(house))?;
    let uri = Uri::from_file_path(path)?;
    let document = Document { uri: uri.clone(), version: 0, text: text.into() };
    let stamp = Revision { revision: 0, text: 0 };
    let (session, shelf) = (job.session.clone(), job.shelf.clone());
    let snapshot =
        Snapshot::new(document, Some(path.to_path_buf()), stamp, Typing::Away, session, shelf);
    let reading = snapshot.reading_by(&mut checker.texts);
    let tree = &reading.read.parse;
    if tree.kind != FileKind::Case || used(tree).is_none_or(|u| u.name != house) {
        return None;
    }
    let mut findings = reading.read.findings.clone();
    if *judged < JUDGED {
        *judged += 1;
        let options = CheckOptions { today: Some(job.session.settings().today()) };
        findings = checker.judge(reading.read.clone(), &options).findings;
    }
    let positions = snapshot.positions();
    let errors = findings.iter().filter(|f: &&Finding| f.blocks());
    let list = errors.map(|f| diagnostic::diagnostic(f, &snapshot, &reading, &positions));
    Some((uri, list.collect()))
}

/// The plans in a folder and below it. Links are not followed: they could lead anywhere.
fn below(folder: &Path, depth: usize, out: &mut Vec<PathBuf>) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    let mut entries: Vec<_> = entries.flatten().collect();
    entries.sort_by_key(std::fs::DirEntry::file_name);
    for entry in entries {
        if out.len() >= FILES {
            return;
        }
        let (path, name) = (entry.path(), entry.file_name());
        match entry.file_type() {
            Ok(kind) if kind.is_dir() && depth > 0 => {
                let skipped = name == "target" || name == "node_modules";
                if !skipped && !name.to_string_lossy().starts_with('.') {
                    below(&path, depth - 1, out);
                }
            }
            Ok(kind) if kind.is_file() && path.extension().is_some_and(|e| e == EXTENSION) => {
                out.push(path);
            }
            _ => {}
        }
    }
}
