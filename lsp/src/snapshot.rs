//! One immutable state of one document, with lazily computed results. A request is answered on the
//! snapshot that was current when it arrived.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use std::time::Duration;

use springline_lang::check::{LoweredFile, SourceText};
use springline_lang::course::StopSignal;
use springline_lang::draft::{ArchDraft, NotDrafted, StandingDraft};
use springline_lang::finding::Fix;
use springline_lang::fixes::{Trial, Tried};
use springline_lang::text::FileId;
use springline_lang::units::tooth::Arch;
use springline_lang::{CheckOptions, Checked, Checker, TextDatabase};
use tokio::sync::watch;
use tower_lsp::ls_types::Uri;

use crate::analysis::Revision;
use crate::document::Document;
use crate::features::while_typing::Typing;
use crate::position::Positions;
use crate::practice_files::{OpenTexts, PracticeFiles};
use crate::session::Session;
use springline_lang::text::LineIndex;

/// Fixes of one finding tried at most: each is a whole check.
const TRIES: usize = 12;

/// Whether long work is still wanted; asked again and again while it goes on.
pub type AskProceed<'a> = dyn Fn() -> bool + 'a;

/// A document at one revision.
#[derive(Debug)]
pub struct Snapshot {
    pub document: Document,
    /// Its path; `None` for one that was never saved.
    pub path: Option<PathBuf>,
    pub stamp: Revision,
    pub session: Arc<Session>,
    /// Where it is being typed in.
    pub typing: Typing,
    /// Typing has paused since.
    rested: AtomicBool,
    /// Some findings were held back, or are out of date.
    holds_back: AtomicBool,
    shelf: OpenTexts,
    index: OnceLock<LineIndex>,
    reading: OnceLock<Arc<Reading>>,
    judged: watch::Sender<Option<Arc<Checked>>>,
    /// A request for diagnostics was answered without the mechanics.
    incomplete_reply: AtomicBool,
    /// By index of the finding: its validated fixes.
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
        typing: Typing,
        session: Arc<Session>,
        shelf: OpenTexts,
    ) -> Snapshot {
        Snapshot {
            document,
            path,
            stamp,
            session,
            typing,
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

    /// Where the user is typing, as far as that affects what is published.
    pub fn typing(&self) -> Typing {
        let rested = self.rested.load(Ordering::SeqCst);
        let may_wait =
            self.session.can_publish_later() && self.session.settings().pause().is_some();
        if rested || !may_wait { Typing::Away } else { self.typing }
    }

    /// Typing has paused: from now on everything is published. Returns whether anything was held back.
    pub fn rest(&self) -> bool {
        !self.rested.swap(true, Ordering::SeqCst) && self.holds_back.load(Ordering::SeqCst)
    }

    pub fn is_rested(&self) -> bool {
        self.rested.load(Ordering::SeqCst)
    }

    pub fn hold_back(&self) {
        self.holds_back.store(true, Ordering::SeqCst);
    }

    /// The fast pass, computed on first use.
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

    /// The practice files that this file could use, by name.
    pub fn houses_present(&self) -> Vec<String> {
        self.houses().present()
    }

    /// The validated fixes of a finding, with their outcome in the recomputed plan. They are tried on
    /// first request, and only while this snapshot is current.
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

    /// The same document with a text that is only tried, as the first pass reads it.
    pub fn read_trial(&self, text: &str) -> LoweredFile {
        let source = SourceText { name: self.shown(self.session.roots()), text: text.into() };
        let houses = self.houses();
        self.session.with_texts(|texts| texts.read_trial(&source, &houses))
    }

    /// The same as the whole check has it.
    pub fn judge_trial(&self, text: &str) -> Checked {
        let options = CheckOptions { today: Some(self.session.settings().today()) };
        let read = self.read_trial(text);
        self.session.with_judgements(|judgements| judgements.judge(read, &options))
    }

    /// The steps of an arch worked out. The work is long: it has its own memory, so that nobody waits for it, and goes
    /// on only while `proceed` says so.
    pub fn draft(
        &self,
        arch: Arch,
        stop: StopSignal,
        proceed: &AskProceed<'_>,
    ) -> Result<ArchDraft, NotDrafted> {
        self.with_drafter(stop, |drafter, source, houses, options| {
            drafter.draft(source, arch, houses, options, &mut |_| proceed())
        })
    }

    /// Why the drafted steps of an arch stand as they do; nothing where no draft stands in it.
    pub fn why_drafted(
        &self,
        arch: Arch,
        stop: StopSignal,
        proceed: &AskProceed<'_>,
    ) -> Result<Option<StandingDraft>, NotDrafted> {
        self.with_drafter(stop, |drafter, source, houses, options| {
            drafter.why_drafted(source, arch, houses, options, &mut |_| proceed())
        })
    }

    fn with_drafter<T>(
        &self,
        stop: StopSignal,
        work: impl FnOnce(&mut Checker, &SourceText, &PracticeFiles<'_>, &CheckOptions) -> T,
    ) -> T {
        let options = CheckOptions { today: Some(self.session.settings().today()) };
        let name = self.shown(self.session.roots());
        let source = SourceText { name, text: self.document.text.clone() };
        let houses = self.houses();
        self.session.with_drafter(|drafter| {
            drafter.judgements.stop_drafts_on(stop);
            let answer = work(drafter, &source, &houses, &options);
            drafter.judgements.stop_drafts_on(StopSignal::default());
            answer
        })
    }

    /// The display name of this file.
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

    /// Marks that an answer goes out without the mechanics; returns them if they have just arrived.
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
                // A superseded snapshot is never judged, without notification, so it is polled.
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
