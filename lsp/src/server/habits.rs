//! Caches the habits of the plans around a document; updated in the background, so that completion never
//! waits for it.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::SystemTime;

use springline_lang::lower::used;
use springline_lang::syntax::{FileKind, SIZE_LIMIT, parse};
use springline_lang::text::FileId;

use super::answer::DocumentView;
use crate::features::habits::{Habits, statement_before};
use crate::practice_files::EXTENSION;

/// Plans that are counted, the newest ones.
const PLANS: usize = 60;

/// Files of a folder that are looked at to find those.
const FILES: usize = 2000;

/// What a menu at this place should know of the practice.
pub fn of(view: &DocumentView, offset: usize) -> Arc<Habits> {
    let statement = statement_before(view.snapshot.text(), offset);
    let session = &view.snapshot.session;
    let today = Some(session.settings().today());
    if statement.trim_start().starts_with("use") {
        let houses = view.snapshot.houses_present();
        return Arc::new(Habits::unknown(houses, today));
    }
    let Some(path) = &view.snapshot.path else {
        return Arc::new(Habits::unknown(Vec::new(), today));
    };
    let folder = path.parent().unwrap_or(path).to_path_buf();
    let house = used(&view.reading.read.parse).map(|u| u.name).unwrap_or_default();
    let key = (folder, house);
    if let Some(known) = session.habits.known(&key, today) {
        return known;
    }
    let mut habits = counted(&key.0, path, &key.1);
    habits.today = today;
    let habits = Arc::new(habits);
    session.habits.keep(key, habits.clone());
    habits
}

/// Counts the plans of that house in a folder, without the one at hand: that counts for itself.
fn counted(folder: &Path, own: &Path, house: &str) -> Habits {
    let mut out = Habits::default();
    let Ok(entries) = std::fs::read_dir(folder) else { return out };
    let mut files: Vec<(SystemTime, PathBuf)> = entries
        .flatten()
        .take(FILES)
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|e| e == EXTENSION) && path != own)
        .filter_map(|path| {
            let metadata = std::fs::symlink_metadata(&path).ok()?;
            let fits = metadata.is_file() && metadata.len() <= SIZE_LIMIT as u64;
            fits.then(|| (metadata.modified().unwrap_or(SystemTime::UNIX_EPOCH), path))
        })
        .collect();
    files.sort_by(|a, b| b.cmp(a));
    let mut counted = 0;
    for (_, path) in files {
        let Ok(text) = std::fs::read_to_string(&path) else { continue };
        let tree = parse(FileId(0), &text);
        let same = house.is_empty() || used(&tree).is_some_and(|u| u.name == house);
        if tree.kind == FileKind::Case && same {
            out.learn(tree.all_lines());
            counted += 1;
        }
        if counted >= PLANS {
            break;
        }
    }
    out
}
