//! Texts that are open, as the page has them. Each has one tab that writes; others read along. The browser
//! stores none of it.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use std::sync::Arc;
use std::time::SystemTime;

use super::journal::{Journal, UnsavedText};
use super::line_ends::LineEnds;
use super::messages::{Attached, OtherText, Saved};
use crate::cases::fingerprint;
use crate::files::{self, Input};
use crate::problem::Problem;

/// A tab's connection.
pub type TabNumber = u64;

#[derive(Debug)]
struct DeskBuffer {
    text: Arc<str>,
    /// Fingerprint of the file that the text began with, and whether the text is still that.
    base: String,
    unsaved: bool,
    recovered: bool,
    ends: LineEnds,
    writer: Option<TabNumber>,
    tabs: BTreeSet<TabNumber>,
    /// When the file was last looked at, so that it is read only when it changes.
    seen: Option<FileStamp>,
    /// The other text that the page was last told of.
    told: Option<String>,
    /// Not yet in the journal.
    unkept: bool,
}

/// Size and time: what tells a changed file from the same.
type FileStamp = (u64, Option<SystemTime>);

/// What tabs are to hear.
#[derive(Debug, PartialEq, Eq)]
pub enum BufferNews {
    /// The file changed and nobody had written: its text is taken in.
    TakenIn { doc: String, tabs: Vec<TabNumber>, text: String, base: String },
    /// The file changed and there is unsaved text.
    Differs { doc: String, tabs: Vec<TabNumber>, other: OtherText },
}

#[derive(Debug, Default)]
pub struct DeskBuffers {
    open: BTreeMap<String, DeskBuffer>,
}

impl DeskBuffers {
    /// Opens a plan for a tab, or joins the tabs that have it open. The second value is the tab that wrote
    /// until now, where this one takes over.
    pub fn attach(
        &mut self,
        doc: &str,
        path: &Path,
        (tab, take): (TabNumber, bool),
        journal: &Journal,
    ) -> Result<(Attached, Option<TabNumber>), String> {
        let other = self.refreshed(doc, path, journal)?;
        let buffer = self.open.get_mut(doc).ok_or("It could not be opened.")?;
        buffer.tabs.insert(tab);
        let before = buffer.writer;
        if take || before.is_none() {
            buffer.writer = Some(tab);
        }
        let attached = Attached {
            doc: doc.to_owned(),
            uri: springline_lsp::address_of(path).unwrap_or_default(),
            text: buffer.text.to_string(),
            base: buffer.base.clone(),
            writer: buffer.writer == Some(tab),
            unsaved: buffer.unsaved,
            recovered: buffer.recovered,
            other,
        };
        Ok((attached, before.filter(|b| take && *b != tab)))
    }

    /// The buffer as it should be shown now, and the file's text where that is another.
    fn refreshed(
        &mut self,
        doc: &str,
        path: &Path,
        journal: &Journal,
    ) -> Result<Option<OtherText>, String> {
        let file = on_disk(path);
        let kept = self.open.get(doc).filter(|b| b.unsaved || !b.tabs.is_empty());
        if kept.is_none() {
            let kept = journal.find(doc);
            let buffer = match (kept, &file) {
                (Some(kept), Ok(file)) if kept.text != LineEnds::on_page(&file.text) => {
                    DeskBuffer::of(kept.text, kept.base, LineEnds::of(&file.text), true)
                }
                (Some(kept), Err(_)) => {
                    DeskBuffer::of(kept.text, kept.base, LineEnds::default(), true)
                }
                (_, Ok(file)) => {
                    let text = LineEnds::on_page(&file.text);
                    DeskBuffer::of(text, fingerprint(&file.text), LineEnds::of(&file.text), false)
                }
                // A table of points begins on the page.
                (None, Err(Problem::Missing { .. })) if is_points(path) => {
                    let (text, base) = (String::new(), GONE.to_owned());
                    DeskBuffer::of(text, base, LineEnds::default(), false)
                }
                (None, Err(Problem::Missing { .. })) => {
                    return Err(format!("There is no plan {doc} in this folder."));
                }
                (None, Err(problem)) => return Err(problem.to_string()),
            };
            self.open.insert(doc.to_owned(), buffer);
        }
        let Some(buffer) = self.open.get(doc) else { return Ok(None) };
        Ok(Some(other(&file)).filter(|other| other.base != buffer.base))
    }

    /// A tab's new text. Tabs that read along are to have it too; `None` where it is not that tab's to write.
    /// A page that has not yet heard that the file changed says so by its base, and then saving finds the
    /// difference.
    pub fn change(
        &mut self,
        doc: &str,
        tab: TabNumber,
        text: &str,
        base: Option<&str>,
    ) -> Option<Vec<TabNumber>> {
        let buffer = self.open.get_mut(doc).filter(|b| b.writer == Some(tab))?;
        if base.is_some_and(|base| base != buffer.base) {
            buffer.base = base.unwrap_or_default().to_owned();
            buffer.unsaved = true;
        }
        if *buffer.text != *text {
            buffer.text = text.into();
            // Typed back to what the file has, it is saved as it is.
            buffer.unsaved = fingerprint(&buffer.ends.in_file(text)) != buffer.base;
            buffer.unkept = true;
        }
        Some(buffer.tabs.iter().copied().filter(|t| *t != tab).collect())
    }

    /// Writes a text over its file, if that is still the one with this base.
    pub fn save(
        &mut self,
        doc: &str,
        path: &Path,
        (tab, base): (TabNumber, &str),
        journal: &Journal,
    ) -> Result<Saved, String> {
        let buffer = self.open.get_mut(doc).filter(|b| b.writer == Some(tab));
        let buffer = buffer.ok_or("Another tab writes in this plan.")?;
        let text = buffer.ends.in_file(&buffer.text);
        let file = on_disk(path);
        match &file {
            // Someone else may have written the very same.
            Ok(before) if *before.text == *text || fingerprint(&before.text) == base => {
                if *before.text != *text {
                    match files::replace(path, before, text.as_bytes()) {
                        Ok(()) => {}
                        // Someone wrote between the two looks.
                        Err(_) if on_disk(path).is_ok_and(|f| f.text != before.text) => {
                            return Ok(Saved::Conflict(other(&on_disk(path))));
                        }
                        Err(problem) => return Err(problem.to_string()),
                    }
                }
            }
            // A file that was removed is written again only if that was asked for.
            Err(Problem::Missing { .. }) if base == GONE => {
                files::create(path, text.as_bytes()).map_err(|p| p.to_string())?;
            }
            Ok(_) | Err(Problem::Missing { .. }) => return Ok(Saved::Conflict(other(&file))),
            Err(problem) => return Err(problem.to_string()),
        }
        buffer.base = fingerprint(&text);
        buffer.unsaved = false;
        buffer.recovered = false;
        buffer.unkept = false;
        buffer.told = None;
        buffer.seen = stamp(path);
        journal.forget(doc);
        Ok(Saved::Base(buffer.base.clone()))
    }

    /// The text as the page has it, where the tab has it open.
    pub fn text(&self, doc: &str, tab: TabNumber) -> Option<Arc<str>> {
        self.open.get(doc).filter(|b| b.tabs.contains(&tab)).map(|b| b.text.clone())
    }

    pub fn is_writer(&self, doc: &str, tab: TabNumber) -> bool {
        self.open.get(doc).is_some_and(|b| b.writer == Some(tab))
    }

    pub fn is_unsaved(&self, doc: &str) -> bool {
        self.open.get(doc).is_some_and(|b| b.unsaved)
    }

    /// The names of all unsaved texts.
    pub fn unsaved(&self) -> Vec<String> {
        self.open.iter().filter(|(_, b)| b.unsaved).map(|(doc, _)| doc.clone()).collect()
    }

    /// Other tabs with the plan.
    pub fn tabs(&self, doc: &str) -> Vec<TabNumber> {
        self.open.get(doc).map_or_else(Vec::new, |b| b.tabs.iter().copied().collect())
    }

    pub fn leave(&mut self, doc: &str, tab: TabNumber) {
        if let Some(buffer) = self.open.get_mut(doc) {
            buffer.tabs.remove(&tab);
            if buffer.writer == Some(tab) {
                buffer.writer = None;
            }
        }
        self.open.retain(|_, b| b.unsaved || !b.tabs.is_empty());
    }

    /// What is new since it was asked for last: texts for the journal, and names that it is to forget.
    pub fn take_unkept(&mut self) -> (Vec<UnsavedText>, Vec<String>) {
        let (mut texts, mut saved) = (Vec::new(), Vec::new());
        for (doc, buffer) in &mut self.open {
            if !std::mem::take(&mut buffer.unkept) {
                continue;
            }
            if !buffer.unsaved {
                saved.push(doc.clone());
                continue;
            }
            let (doc, base) = (doc.clone(), buffer.base.clone());
            texts.push(UnsavedText { doc, base, text: buffer.text.to_string() });
        }
        (texts, saved)
    }

    /// Looks at the files of all open texts.
    pub fn look(
        &mut self,
        path_of: impl Fn(&str) -> Option<std::path::PathBuf>,
    ) -> Vec<BufferNews> {
        let mut news = Vec::new();
        for (doc, buffer) in &mut self.open {
            let Some(path) = path_of(doc) else { continue };
            let seen = stamp(&path);
            if buffer.seen.is_some() && buffer.seen == seen {
                continue;
            }
            buffer.seen = seen.or(Some((0, None)));
            let file = on_disk(&path);
            let other = other(&file);
            if other.base == buffer.base || buffer.told.as_ref() == Some(&other.base) {
                continue;
            }
            let (doc, tabs) = (doc.clone(), buffer.tabs.iter().copied().collect());
            if buffer.unsaved || other.gone {
                buffer.told = Some(other.base.clone());
                news.push(BufferNews::Differs { doc, tabs, other });
            } else if let Ok(file) = file {
                buffer.ends = LineEnds::of(&file.text);
                buffer.text = other.text.as_str().into();
                buffer.base.clone_from(&other.base);
                news.push(BufferNews::TakenIn { doc, tabs, text: other.text, base: other.base });
            }
        }
        news
    }
}

impl DeskBuffer {
    fn of(text: String, base: String, ends: LineEnds, recovered: bool) -> DeskBuffer {
        DeskBuffer {
            text: text.into(),
            base,
            unsaved: recovered,
            recovered,
            ends,
            writer: None,
            tabs: BTreeSet::new(),
            seen: None,
            told: None,
            unkept: false,
        }
    }
}

/// The base of a file that is not there.
const GONE: &str = "gone";

fn is_points(path: &Path) -> bool {
    path.extension().is_some_and(|e| e == "csv")
}

fn on_disk(path: &Path) -> Result<Input, Problem> {
    files::read(path)
}

fn other(file: &Result<Input, Problem>) -> OtherText {
    match file {
        Ok(file) => OtherText {
            text: LineEnds::on_page(&file.text),
            base: fingerprint(&file.text),
            gone: false,
        },
        Err(_) => OtherText { text: String::new(), base: GONE.to_owned(), gone: true },
    }
}

fn stamp(path: &Path) -> Option<FileStamp> {
    let meta = fs::metadata(path).ok()?;
    Some((meta.len(), meta.modified().ok()))
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Bench {
        folder: tempfile::TempDir,
        journal: Journal,
        buffers: DeskBuffers,
    }

    const DOC: &str = "a.spring";

    impl Bench {
        fn new(text: &str) -> Bench {
            let folder = tempfile::tempdir().unwrap();
            fs::create_dir(folder.path().join("journal")).unwrap();
            fs::write(folder.path().join(DOC), text).unwrap();
            let journal = Journal::at(folder.path().join("journal"));
            Bench { folder, journal, buffers: DeskBuffers::default() }
        }

        fn path(&self) -> std::path::PathBuf {
            self.folder.path().join(DOC)
        }

        fn attach(&mut self, tab: TabNumber, take: bool) -> Attached {
            let path = self.path();
            self.buffers.attach(DOC, &path, (tab, take), &self.journal).unwrap().0
        }

        fn save(&mut self, tab: TabNumber, base: &str) -> Result<Saved, String> {
            let path = self.path();
            self.buffers.save(DOC, &path, (tab, base), &self.journal)
        }

        fn look(&mut self) -> Vec<BufferNews> {
            let path = self.path();
            self.buffers.look(|_| Some(path.clone()))
        }

        fn file(&self) -> String {
            fs::read_to_string(self.path()).unwrap()
        }
    }

    #[test]
    fn a_text_is_saved_with_its_line_ends_and_found_equal() {
        let mut bench = Bench::new("one\r\ntwo\r\n");
        let opened = bench.attach(1, false);
        assert_eq!(
            (opened.text.as_str(), opened.writer, opened.unsaved),
            ("one\ntwo\n", true, false)
        );
        bench.buffers.change(DOC, 1, "one\n2\n", Some(&opened.base)).unwrap();
        assert!(bench.buffers.is_unsaved(DOC));
        let Ok(Saved::Base(base)) = bench.save(1, &opened.base) else { panic!("saved") };
        assert_eq!(bench.file(), "one\r\n2\r\n");
        assert_eq!(base, fingerprint("one\r\n2\r\n"));
        bench.buffers.change(DOC, 1, "x\n", Some(&base)).unwrap();
        bench.buffers.change(DOC, 1, "one\n2\n", Some(&base)).unwrap();
        assert!(!bench.buffers.is_unsaved(DOC), "typed back");
    }

    #[cfg(unix)]
    #[test]
    fn the_mode_of_a_file_is_kept() {
        use std::os::unix::fs::PermissionsExt as _;
        let mut bench = Bench::new("one\n");
        fs::set_permissions(bench.path(), fs::Permissions::from_mode(0o640)).unwrap();
        let base = bench.attach(1, false).base;
        bench.buffers.change(DOC, 1, "two\n", Some(&base)).unwrap();
        bench.save(1, &base).unwrap();
        assert_eq!(fs::metadata(bench.path()).unwrap().permissions().mode() & 0o777, 0o640);
    }

    #[test]
    fn what_someone_else_saved_is_never_written_over() {
        let mut bench = Bench::new("one\n");
        let base = bench.attach(1, false).base;
        bench.buffers.change(DOC, 1, "mine\n", Some(&base)).unwrap();
        fs::write(bench.path(), "theirs\n").unwrap();
        let Ok(Saved::Conflict(other)) = bench.save(1, &base) else { panic!("a conflict") };
        assert_eq!((other.text.as_str(), bench.file().as_str()), ("theirs\n", "theirs\n"));
        // Decided: mine over that one.
        assert!(matches!(bench.save(1, &other.base), Ok(Saved::Base(_))));
        assert_eq!(bench.file(), "mine\n");
    }

    #[test]
    fn a_change_outside_is_taken_in_or_told() {
        let mut bench = Bench::new("one\n");
        let base = bench.attach(1, false).base;
        assert!(bench.look().is_empty());
        fs::write(bench.path(), "longer\n").unwrap();
        let [BufferNews::TakenIn { text, .. }] = &bench.look()[..] else { panic!("taken in") };
        assert_eq!(text, "longer\n");
        // The page had typed before it heard of it: that is a difference, not a save.
        bench.buffers.change(DOC, 1, "typed\n", Some(&base)).unwrap();
        assert!(matches!(bench.save(1, &base), Ok(Saved::Conflict(_))));
        fs::write(bench.path(), "again longer\n").unwrap();
        assert!(matches!(&bench.look()[..], [BufferNews::Differs { .. }]));
        assert!(bench.look().is_empty(), "told once");
        fs::remove_file(bench.path()).unwrap();
        let [BufferNews::Differs { other, .. }] = &bench.look()[..] else { panic!("gone") };
        assert!(other.gone);
        assert!(matches!(bench.save(1, GONE), Ok(Saved::Base(_))));
        assert_eq!(bench.file(), "typed\n");
    }

    #[test]
    fn one_tab_writes_and_another_may_take_over() {
        let mut bench = Bench::new("one\n");
        let base = bench.attach(1, false).base;
        assert!(!bench.attach(2, false).writer);
        assert_eq!(bench.buffers.change(DOC, 2, "two\n", Some(&base)), None);
        assert!(bench.save(2, &base).is_err());
        assert_eq!(bench.buffers.change(DOC, 1, "two\n", Some(&base)), Some(vec![2]));
        let path = bench.path();
        let (taken, before) = bench.buffers.attach(DOC, &path, (2, true), &bench.journal).unwrap();
        assert_eq!((taken.text.as_str(), taken.writer, before), ("two\n", true, Some(1)));
        assert_eq!(bench.buffers.change(DOC, 1, "late\n", Some(&base)), None);
        bench.buffers.leave(DOC, 2);
        assert!(bench.attach(3, false).writer, "whoever wrote has gone");
    }

    #[test]
    fn unsaved_text_outlives_the_program() {
        let mut bench = Bench::new("one\n");
        let base = bench.attach(1, false).base;
        bench.buffers.change(DOC, 1, "typed\n", Some(&base)).unwrap();
        let (texts, _) = bench.buffers.take_unkept();
        texts.iter().for_each(|text| bench.journal.keep(text).unwrap());
        bench.buffers = DeskBuffers::default();
        let again = bench.attach(1, false);
        assert_eq!((again.text.as_str(), again.recovered, again.other), ("typed\n", true, None));
        assert!(matches!(bench.save(1, &base), Ok(Saved::Base(_))));
        assert!(bench.journal.names().is_empty());
        bench.buffers = DeskBuffers::default();
        bench.buffers.change(DOC, 1, "x\n", None);
        assert!(!bench.attach(1, false).recovered);
    }
}
