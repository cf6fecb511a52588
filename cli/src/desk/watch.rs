//! Looks at the files: those that are open five times a second, the whole folder once. Folders that several
//! machines share tell nobody what changes in them, so looking is the only way that always works.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Duration, SystemTime};

use serde_json::json;

use super::buffers::BufferNews;
use super::messages::notice;
use super::state::Desk;
use crate::find;
use crate::today;

const LOOK: Duration = Duration::from_millis(200);

/// Looks at open texts until the folder is looked at as well.
const OPEN_ONLY: u32 = 5;

type FolderStamps = BTreeMap<PathBuf, (u64, Option<SystemTime>)>;

/// Looks until the program ends; on a thread of its own, because a shared folder may be slow.
pub fn follow(desk: &Arc<Desk>) {
    let mut stamps = if desk.task.is_some() { FolderStamps::new() } else { stamps(desk) };
    let mut count = 0;
    while !*desk.ending.borrow() {
        std::thread::sleep(LOOK);
        tell(desk, look(desk));
        desk.keep_unsaved();
        count += 1;
        if count % OPEN_ONLY == 0 {
            if let Ok(day) = today::today() {
                desk.turn_to(day);
            }
            // Nobody sees the list.
            if desk.task.is_some() {
                continue;
            }
            let now = self::stamps(desk);
            if now != stamps {
                tell_changed(desk, &stamps, &now);
                stamps = now;
            }
        }
    }
}

fn look(desk: &Desk) -> Vec<BufferNews> {
    desk.buffers().look(|doc| desk.folder.place(doc).ok())
}

fn tell(desk: &Desk, news: Vec<BufferNews>) {
    for news in news {
        let (tabs, params) = match news {
            BufferNews::TakenIn { doc, tabs, text, base } => {
                (tabs, json!({"doc": doc, "text": text, "base": base}))
            }
            BufferNews::Differs { doc, tabs, other } => (tabs, json!({"doc": doc, "other": other})),
        };
        desk.tell(&tabs, &notice("desk/changed", params));
    }
}

fn stamps(desk: &Desk) -> FolderStamps {
    let plans = find::find(&[desk.folder.root().to_path_buf()]).paths();
    let stamp = |path: PathBuf| {
        let meta = std::fs::metadata(&path).ok()?;
        Some((path, (meta.len(), meta.modified().ok())))
    };
    plans.into_iter().filter_map(stamp).collect()
}

/// To every page that the list is another, and to every language server which files are.
fn tell_changed(desk: &Desk, before: &FolderStamps, now: &FolderStamps) {
    let names: std::collections::BTreeSet<&PathBuf> = before.keys().chain(now.keys()).collect();
    let changed = names.into_iter().filter(|path| before.get(*path) != now.get(*path));
    let changes: Vec<_> = changed
        .filter_map(|path| springline_lsp::address_of(path))
        // 2 is "changed", which asks for the same as the other kinds.
        .map(|uri| json!({"uri": uri, "type": 2}))
        .collect();
    let language = notice("workspace/didChangeWatchedFiles", json!({"changes": changes}));
    desk.tell_all(&notice("desk/listed", json!({})), &language);
}
