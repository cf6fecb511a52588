//! Follows a case on disk: checks it again whenever it or one of its practice files changes.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use jiff::civil::Date;
use springline_emit::preview::{PreviewChoice, held, is_drawable, view};
use springline_lang::{CheckOptions, Checked, Checker, step_at};
use springline_lsp::previewed;
use tokio::sync::watch;

use crate::files;

/// How often the files are looked at. They are small, and a look is a read of each.
const LOOK: Duration = Duration::from_millis(200);

/// What is known of the case now.
#[derive(Debug, Default)]
pub struct PreviewState {
    /// Counts the changes.
    pub revision: u64,
    checked: Option<Arc<Checked>>,
    /// The last one that could be drawn whole.
    drawn: Option<Arc<Checked>>,
    /// Where the text was last changed: its author is at work there.
    changed_at: Option<usize>,
    /// Why the file cannot be read at the moment.
    problem: Option<String>,
}

impl PreviewState {
    /// The inside of the page; without a moment chosen, the step last worked on, else today's.
    pub fn view(&self, at: Option<usize>) -> String {
        match (&self.checked, &self.problem) {
            (Some(checked), None) => {
                let shown = self.drawn.as_ref().unwrap_or(checked);
                let choice = match (at, self.changed_at) {
                    (Some(at), _) => PreviewChoice::Moment(at),
                    (None, Some(offset)) => step_at(shown, offset).into(),
                    (None, None) => PreviewChoice::Today,
                };
                let view = view(&previewed(shown), choice);
                if Arc::ptr_eq(shown, checked) { view } else { held(&view) }
            }
            (_, problem) => {
                let why = problem.as_deref().unwrap_or("It is still being read.");
                format!("<h1>Nothing to draw</h1><p>{}</p>", escaped(why))
            }
        }
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

/// Returns the newest state.
#[derive(Debug, Clone)]
pub struct Follower {
    pub path: PathBuf,
    pub states: watch::Receiver<Arc<PreviewState>>,
}

impl Follower {
    /// Follows on a thread of its own, until all receivers are gone.
    pub fn start(path: PathBuf, today: Date) -> Follower {
        let (send, states) = watch::channel(Arc::new(PreviewState::default()));
        let follower = Follower { path: path.clone(), states };
        std::thread::spawn(move || follow(&path, today, &send));
        follower
    }
}

fn follow(path: &Path, today: Date, send: &watch::Sender<Arc<PreviewState>>) {
    let mut checker = Checker::new();
    let mut seen: Option<Vec<(String, Option<String>)>> = None;
    while !send.is_closed() {
        if seen.as_ref().is_none_or(|files| files.iter().any(is_other)) {
            let before = send.borrow().clone();
            let next = look(path, today, &mut checker, &before);
            seen = Some(texts(path, &next));
            // An editor that replaces a file may leave a moment without one.
            if next.problem.is_none() || next.problem != before.problem {
                send.send_replace(Arc::new(next));
            }
        }
        std::thread::sleep(LOOK);
    }
}

fn look(path: &Path, today: Date, checker: &mut Checker, before: &PreviewState) -> PreviewState {
    let revision = before.revision + 1;
    match files::read(path) {
        Ok(input) => {
            let options = CheckOptions { today: Some(today) };
            let checked = checker.check(&input.source(), &input.library(), &options);
            let changed_at = match &before.checked {
                Some(old) => first_difference(&old.parse.source, &input.text).or(before.changed_at),
                None => None,
            };
            let checked = Arc::new(checked);
            let drawn = if is_drawable(&previewed(&checked)) {
                Some(checked.clone())
            } else {
                before.drawn.clone()
            };
            PreviewState { revision, checked: Some(checked), drawn, changed_at, problem: None }
        }
        Err(problem) => {
            PreviewState { revision, problem: Some(problem.to_string()), ..PreviewState::default() }
        }
    }
}

fn first_difference(old: &str, new: &str) -> Option<usize> {
    if old == new {
        return None;
    }
    let same = old.bytes().zip(new.bytes()).take_while(|(a, b)| a == b).count();
    Some(new.floor_char_boundary(same))
}

/// The files that the state was made of, by name, with the texts it was made from. A file that was not
/// there has none.
fn texts(path: &Path, state: &PreviewState) -> Vec<(String, Option<String>)> {
    let main = path.display().to_string();
    let Some(checked) = &state.checked else { return vec![(main, None)] };
    let mut out = vec![(main, Some(checked.parse.source.to_string()))];
    let houses = checked.files.iter().skip(1);
    out.extend(houses.map(|f| (f.name.clone(), Some(f.text.to_string()))));
    let used = springline_lang::lower::used(&checked.parse);
    if let (Some(used), true) = (used, checked.files.len() < 2) {
        let folder = path.parent().unwrap_or(Path::new("."));
        let file = format!("{}.{}", used.name, files::EXTENSION);
        let places = folder.ancestors().take(2).map(|f| f.join(&file).display().to_string());
        out.extend(places.map(|place| (place, None)));
    }
    out
}

fn is_other((name, text): &(String, Option<String>)) -> bool {
    // A path that has become a pipe or a device is not read, since that could block.
    let is_file = fs::metadata(name).is_ok_and(|m| m.is_file());
    is_file.then(|| fs::read_to_string(name).ok()).flatten() != *text
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day() -> Date {
        jiff::civil::date(2026, 11, 24)
    }

    /// Waits for a state that satisfies, and not for ever.
    fn wait(follower: &Follower, is: impl Fn(&PreviewState) -> bool) -> Arc<PreviewState> {
        for _ in 0..300 {
            let state = follower.states.borrow().clone();
            if is(&state) {
                return state;
            }
            std::thread::sleep(Duration::from_millis(50));
        }
        panic!("it did not come: {:?}", follower.states.borrow().problem);
    }

    #[test]
    fn a_case_and_its_house_are_followed() {
        let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../examples");
        let read = |name: &str| fs::read_to_string(format!("{root}/{name}")).unwrap();
        let folder = tempfile::tempdir().unwrap();
        let case = folder.path().join("a.spring");
        let text = read("cases/sm-0410-both-arches.spring");
        fs::write(&case, &text).unwrap();
        let follower = Follower::start(case.clone(), day());
        let first = wait(&follower, |s| s.checked.is_some());
        assert!(first.view(None).contains("Nothing to draw"), "no house yet");
        fs::write(folder.path().join("saltmarsh.spring"), read("saltmarsh.spring")).unwrap();
        let drawn = wait(&follower, |s| s.view(None).contains("<svg"));
        assert!(drawn.view(None).contains("Upper, work"));
        assert!(drawn.view(Some(0)).contains("Upper, align"));
        // What is worked on is what is shown.
        fs::write(&case, text.replace("ipr 0.2 mm", "ipr 0.3 mm")).unwrap();
        let edited = wait(&follower, |s| s.revision > drawn.revision);
        assert!(edited.view(None).contains("Lower, finish: forecast force"));
        fs::remove_file(&case).unwrap();
        let gone = wait(&follower, |s| s.problem.is_some());
        assert!(gone.view(None).contains("a.spring"));
        fs::write(&case, &text).unwrap();
        wait(&follower, |s| s.view(None).contains("<svg"));
    }

    #[test]
    fn the_place_of_a_change_is_where_texts_part() {
        assert_eq!(first_difference("abc", "abc"), None);
        assert_eq!(first_difference("abc", "abd"), Some(2));
        assert_eq!(first_difference("a\u{e9}", "a\u{ea}"), Some(1));
        assert_eq!(first_difference("ab", "a"), Some(1));
    }
}
