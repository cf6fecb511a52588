//! One immutable state of one document, with lazily computed results. A request is answered on the
//! snapshot that was current when it arrived.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use std::time::Duration;

use springline_lang::check::{LoweredFile, SourceText};
use springline_lang::finding::Fix;
use springline_lang::fixes::{Trial, Tried};
use springline_lang::text::FileId;
use springline_lang::{CheckOptions, Checked, TextDatabase};
use tokio::sync::watch;
use tower_lsp::ls_types::Uri;

use crate::analysis::Revision;
use crate::document::Document;
use crate::features::while_typing::Typing;
use crate::position::{LineIndex, Positions};
use crate::practice_files::{OpenTexts, PracticeFiles};
use crate::session::Session;

/// Fixes of one finding tried at most: each is a whole check.
const TRIES: usize = 12;

/// A document at one revision.
#[derive(Debug)]
pub struct Snapshot {
    pub document: Document,
    /// Where it lies; `None` for one that was never saved.
    pub path: Option<PathBuf>,
    pub stamp: Revision,
    pub session: Arc<Session>,
    /// Where it is being typed in.
    pub hand: Typing,
    /// The hand has rested since.
    rested: AtomicBool,
    /// Something was not told, or is out of date.
    holds_back: AtomicBool,
    shelf: OpenTexts,
    index: OnceLock<LineIndex>,
    reading: OnceLock<Arc<Reading>>,
    judged: watch::Sender<Option<Arc<Checked>>>,
    /// Somebody who asked for diagnostics had to go without the mechanics.
    incomplete_reply: AtomicBool,
    /// By the finding's place in the list: the fixes of it that were tried and mend it.
    tried: Mutex<HashMap<usize, Vec<Fix>>>,
}

/// The fast pass over a snapshot: the language, without the mechanics.
#[derive(Debug)]
pub struct Reading {
    pub read: LoweredFile,
    pub files: Vec<SnapshotFile>,
    /// Names of houses that were asked for, found or not.
    pub asked: Vec<String>,
}

/// One of the texts that a case is made of.
#[derive(Debug)]
pub struct SnapshotFile {
    pub id: FileId,
    /// `None` where a text has no place that an editor could open.
    pub uri: Option<Uri>,
    pub text: Arc<str>,
    pub index: LineIndex,
}

impl Snapshot {
    pub fn new(
        document: Document,
        path: Option<PathBuf>,
        stamp: Revision,
        hand: Typing,
        session: Arc<Session>,
        shelf: OpenTexts,
    ) -> Snapshot {
        Snapshot {
            document,
            path,
            stamp,
            session,
            hand,
            rested: AtomicBool::new(false),
            holds_back: AtomicBool::new(false),
            shelf,
            index: OnceLock::new(),
            reading: OnceLock::new(),
            judged: watch::Sender::new(None),
            incomplete_reply: AtomicBool::new(false),
            tried: Mutex::default(),
        }
    }

    pub fn text(&self) -> &str {
        &self.document.text
    }

    pub fn index(&self) -> &LineIndex {
        self.index.get_or_init(|| LineIndex::new(self.text()))
    }

    pub fn positions(&self) -> Positions<'_> {
        Positions::new(self.text(), self.index(), self.session.encoding())
    }

    /// It is still what the client sees.
    pub fn is_current(&self) -> bool {
        self.session.currents.is(&self.document.uri, self.stamp)
    }

    /// Where the hand is, as far as it matters what is told.
    pub fn typing(&self) -> Typing {
        let rested = self.rested.load(Ordering::SeqCst);
        let may_wait =
            self.session.can_publish_later() && self.session.settings().pause().is_some();
        if rested || !may_wait { Typing::Away } else { self.hand }
    }

    /// No key has come for a while: from now on everything is told. Whether anything was not.
    pub fn rest(&self) -> bool {
        !self.rested.swap(true, Ordering::SeqCst) && self.holds_back.load(Ordering::SeqCst)
    }

    pub fn is_rested(&self) -> bool {
        self.rested.load(Ordering::SeqCst)
    }

    pub fn hold_back(&self) {
        self.holds_back.store(true, Ordering::SeqCst);
    }

    /// The fast pass, made by whoever needs it first.
    pub fn reading(&self) -> Arc<Reading> {
        let read = || {
            self.read(|source, houses| self.session.with_texts(|texts| texts.read(source, houses)))
        };
        self.reading.get_or_init(|| Arc::new(read())).clone()
    }

    /// The same with texts of one's own.
    pub fn reading_by(&self, texts: &mut TextDatabase) -> Arc<Reading> {
        let reading = || Arc::new(self.read(|source, houses| texts.read(source, houses)));
        self.reading.get_or_init(reading).clone()
    }

    fn read(&self, by: impl FnOnce(&SourceText, &PracticeFiles<'_>) -> LoweredFile) -> Reading {
        let roots = self.session.roots();
        let houses = self.houses();
        let source = SourceText { name: self.shown(roots), text: self.document.text.clone() };
        let read = by(&source, &houses);
        let (found, asked) = houses.into_record();
        let files = read
            .files
            .iter()
            .map(|file| {
                let uri = if file.id == FileId(0) {
                    Some(self.document.uri.clone())
                } else {
                    let path = found.iter().find(|(name, _)| *name == file.name);
                    path.and_then(|(_, path)| Uri::from_file_path(path))
                };
                let index = LineIndex::new(&file.text);
                SnapshotFile { id: file.id, uri, text: file.text.clone(), index }
            })
            .collect();
        Reading { read, files, asked: asked.into_iter().collect() }
    }

    fn houses(&self) -> PracticeFiles<'_> {
        let roots = self.session.roots();
        let own = self.path.as_deref().and_then(Path::parent);
        let folder = own.or(roots.first().map(PathBuf::as_path)).map(Path::to_path_buf);
        let bases = roots.iter().chain(&folder).cloned().collect();
        PracticeFiles::new(folder, bases, &self.shelf, &self.session.disk)
    }

    /// The houses that this file could use, by name.
    pub fn houses_present(&self) -> Vec<String> {
        self.houses().present()
    }

    /// The fixes of a finding that mend it, with what the recomputed plan says of each. They are tried
    /// when they are first asked for, and only as long as this is what the client sees.
    pub fn fixes(&self, checked: &Checked, index: usize) -> Vec<Fix> {
        let known = |tried: &HashMap<usize, Vec<Fix>>| tried.get(&index).cloned();
        if let Some(fixes) = known(&self.tried.lock().unwrap_or_else(PoisonError::into_inner)) {
            return fixes;
        }
        let Some(finding) = checked.findings.get(index) else { return Vec::new() };
        let options = CheckOptions { today: Some(self.session.settings().today()) };
        let mut fixes = Vec::new();
        for fix in finding.fixes.iter().take(TRIES) {
            if !self.is_current() {
                return fixes;
            }
            let houses = self.houses();
            let mut read = |source: &SourceText| {
                self.session.with_texts(|texts| texts.read_trial(source, &houses))
            };
            let tried = self.session.with_judgements(|judgements| {
                let mut trial = Trial { read: &mut read, judgements, options: &options };
                trial.try_fix(checked, finding, fix)
            });
            match tried {
                Tried::Fails(_) => {}
                Tried::NotTried => fixes.push(fix.clone()),
                Tried::Mends(fix) => fixes.push(fix),
            }
        }
        let mut tried = self.tried.lock().unwrap_or_else(PoisonError::into_inner);
        tried.insert(index, fixes.clone());
        fixes
    }

    /// The name under which messages speak of this file.
    fn shown(&self, roots: &[PathBuf]) -> String {
        let Some(path) = &self.path else { return self.document.uri.as_str().to_owned() };
        let short = roots.iter().filter_map(|root| path.strip_prefix(root).ok()).next();
        let short = short.or_else(|| path.file_name().map(Path::new)).unwrap_or(path);
        short.display().to_string()
    }

    /// The whole check, if it has been made.
    pub fn judged(&self) -> Option<Arc<Checked>> {
        self.judged.borrow().clone()
    }

    /// Says that an answer goes out without the mechanics; those, if they have come just now.
    pub fn mark_incomplete_reply(&self) -> Option<Arc<Checked>> {
        self.incomplete_reply.store(true, Ordering::SeqCst);
        self.judged()
    }

    pub fn has_incomplete_reply(&self) -> bool {
        self.incomplete_reply.load(Ordering::SeqCst)
    }

    pub fn set_judged(&self, checked: Arc<Checked>) {
        self.judged.send_replace(Some(checked));
    }

    /// The whole check; `None` where something changes first, or it takes too long.
    pub async fn wait_judged_for(&self, patience: Duration) -> Option<Arc<Checked>> {
        let mut receiver = self.judged.subscribe();
        let wait = async {
            loop {
                if let Some(checked) = receiver.borrow_and_update().clone() {
                    return Some(checked);
                }
                if !self.is_current() {
                    return None;
                }
                // A superseded snapshot is never judged, and nobody says so: look again now and then.
                let _ = tokio::time::timeout(Duration::from_millis(50), receiver.changed()).await;
            }
        };
        tokio::time::timeout(patience, wait).await.ok().flatten()
    }
}

impl Reading {
    pub fn file(&self, id: FileId) -> Option<&SnapshotFile> {
        self.files.iter().find(|f| f.id == id)
    }
}
