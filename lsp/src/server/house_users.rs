//! All users of a practice file: every plan that resolves a name to it, in whatever folder the editor has
//! open. A practice file is found from a case's folder upwards, so its users are in its folder or below;
//! all of that is searched, without a limit.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use springline_lang::lower::used;
use springline_lang::syntax::{Parse, parse};
use springline_lang::text::FileId;
use tower_lsp::ls_types::Uri;

use crate::features::names::{self, QualifiedName, Scope};
use crate::owner_message::Snapshots;
use crate::practice_files::{EXTENSION, read_file};
use crate::project::{self, ProjectText};
use crate::session::Session;

/// What is known of the files around the open documents.
pub struct HouseUsers<'a> {
    snapshots: &'a Snapshots,
    session: &'a Session,
    /// Open documents by their path.
    open: HashMap<PathBuf, ProjectText>,
    found: HashMap<(PathBuf, String), Option<PathBuf>>,
    houses: HashMap<PathBuf, Option<Arc<Parse>>>,
}

/// Plans that may use a name, and why the list may not be whole.
pub struct Users {
    pub texts: Vec<ProjectText>,
    pub missed: Vec<String>,
}

/// Longest chain of practice files that build on one another, as in lowering.
const CHAIN: usize = 8;

impl<'a> HouseUsers<'a> {
    pub fn new(snapshots: &'a Snapshots, session: &'a Session) -> HouseUsers<'a> {
        let open = snapshots.values().filter_map(|snapshot| {
            let path = snapshot.path.clone()?;
            Some((path, project::open_text(snapshot)))
        });
        let open = open.collect();
        HouseUsers { snapshots, session, open, found: HashMap::new(), houses: HashMap::new() }
    }

    /// The file that `use NAME` in this text means.
    pub fn house(&mut self, text: &ProjectText, name: &str) -> Option<PathBuf> {
        let folder = self.folder(text)?;
        let key = (folder, name.to_owned());
        if let Some(known) = self.found.get(&key) {
            return known.clone();
        }
        let places = self.session.disk.places(&key.0);
        let paths = places.iter().map(|place| place.join(format!("{name}.{EXTENSION}")));
        let found = paths.into_iter().find(|p| self.open.contains_key(p) || p.is_file());
        self.found.insert(key, found.clone());
        found
    }

    /// Where its practice files are searched: its folder, or the project's where it was never saved.
    fn folder(&self, text: &ProjectText) -> Option<PathBuf> {
        let own = text.path.as_deref().and_then(Path::parent).map(Path::to_path_buf);
        own.or_else(|| self.session.roots().first().cloned())
    }

    /// The file whose definition of a name applies in this text: the text itself, or the nearest of its
    /// practice files.
    pub fn definer(&mut self, text: &ProjectText, name: &QualifiedName) -> Option<PathBuf> {
        if defines(&text.parse, name) {
            return text.path.clone();
        }
        let mut next = used(&text.parse).map(|used| used.name);
        for _ in 0..CHAIN {
            // Practice files further down the chain are searched from the case's folder too.
            let path = self.house(text, &next?)?;
            let parse = self.tree(&path)?;
            if defines(&parse, name) {
                return Some(path);
            }
            next = used(&parse).map(|used| used.name);
        }
        None
    }

    fn tree(&mut self, path: &Path) -> Option<Arc<Parse>> {
        if let Some(open) = self.open.get(path) {
            return Some(open.parse.clone());
        }
        let read = |path: &Path| Some(Arc::new(parse(FileId(0), &read_file(path).ok()?)));
        self.houses.entry(path.to_path_buf()).or_insert_with(|| read(path)).clone()
    }

    /// The text at a path, open or not.
    pub fn text(&self, path: &Path) -> Option<ProjectText> {
        self.open
            .get(path)
            .cloned()
            .or_else(|| crate::disk_texts::text(path, read_file(path).ok()?))
    }

    /// Every plan that could use a practice file in that folder and contains that word.
    pub fn users(&self, folder: &Path, word: &str) -> Users {
        let mut out = Users { texts: Vec::new(), missed: Vec::new() };
        out.texts.extend(self.snapshots.values().map(|snapshot| project::open_text(snapshot)));
        let in_project = folder.ancestors().take(project::LEVELS).any(|f| f.join(".git").exists());
        let depth = if in_project { project::LEVELS } else { 1 };
        let found = project::below(folder, depth, &mut out.missed);
        for path in found.iter().filter(|path| !self.open.contains_key(*path)) {
            match read_file(path) {
                Ok(source) if source.contains(word) => {
                    out.texts.extend(crate::disk_texts::text(path, source));
                }
                Ok(_) => {}
                Err(_) if lacks(path, word) => {}
                Err(why) => out.missed.push(format!("{} ({why})", path.display())),
            }
        }
        out
    }
}

/// What cannot be read as a plan, and does not hold that word either.
fn lacks(path: &Path, word: &str) -> bool {
    let is_small = std::fs::metadata(path).is_ok_and(|m| m.is_file() && m.len() < LARGE);
    is_small && std::fs::read(path).is_ok_and(|b| !String::from_utf8_lossy(&b).contains(word))
}

/// No plan is near this.
const LARGE: u64 = 64 << 20;

fn defines(parse: &Parse, name: &QualifiedName) -> bool {
    names::find(Scope { parse }, name).iter().any(|used| used.defines)
}

/// The address of a file beside another, under a new name.
pub fn beside(path: &Path, name: &str) -> (PathBuf, Option<Uri>) {
    let path = path.with_file_name(format!("{name}.{EXTENSION}"));
    let uri = Uri::from_file_path(&path);
    (path, uri)
}
