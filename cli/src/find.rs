//! Which files a command is about: those named, and every plan below a named folder. What is skipped is
//! reported.

use std::fs;
use std::path::{Path, PathBuf};

use walkdir::{DirEntry, WalkDir};

use crate::files::{self, EXTENSION};
use crate::problem::Problem;

/// A file to be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlanFile {
    pub path: PathBuf,
    /// Its path relative to the folder it was found below; its own name where it was named.
    pub within: PathBuf,
}

/// What is there, what could not be looked at, and what was passed over on purpose.
#[derive(Debug, Default)]
pub struct FoundPlans {
    pub plans: Vec<PlanFile>,
    pub problems: Vec<Problem>,
    passed: Vec<Passed>,
}

/// Plans that are not looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Passed {
    /// Their name, or that of a folder above, begins with a dot.
    Hidden,
    /// A link to a folder outside.
    LinkedFolder,
}

impl FoundPlans {
    pub fn paths(&self) -> Vec<PathBuf> {
        self.plans.iter().map(|plan| plan.path.clone()).collect()
    }

    /// Reports what could not be read, each with a remedy, and returns their number.
    pub fn tell_problems(&mut self) -> usize {
        let problems = std::mem::take(&mut self.problems);
        let count = problems.len();
        problems.into_iter().for_each(Problem::show);
        count
    }

    /// What is left out without being a mistake; `None` where that is nothing.
    pub fn left_out(&self) -> Option<String> {
        let count = |what| self.passed.iter().filter(|p| **p == what).count();
        let mut parts = Vec::new();
        match count(Passed::Hidden) {
            0 => {}
            1 => parts.push("1 hidden .spring file".to_owned()),
            n => parts.push(format!("{n} hidden .spring files")),
        }
        match count(Passed::LinkedFolder) {
            0 => {}
            1 => parts.push("1 linked folder".to_owned()),
            n => parts.push(format!("{n} linked folders")),
        }
        (!parts.is_empty())
            .then(|| format!("Skipped: {}. They are read if you name them.", parts.join(" and ")))
    }

    /// How many files and folders were passed over.
    pub fn passed_over(&self) -> usize {
        self.passed.len()
    }
}

/// The files named, and those found in folders named, in a stable order; each once.
pub fn find(paths: &[PathBuf]) -> FoundPlans {
    let mut found = FoundPlans::default();
    for path in paths {
        if path.as_os_str() == "-" {
            found.plans.push(PlanFile { path: path.clone(), within: path.clone() });
            continue;
        }
        match fs::metadata(path) {
            Ok(meta) if meta.is_dir() => walk(path, &mut found),
            Ok(meta) if meta.is_file() => {
                let within = path.file_name().map_or_else(|| path.clone(), PathBuf::from);
                found.plans.push(PlanFile { path: path.clone(), within });
            }
            Ok(meta) => found.problems.push(Problem::no_file(path, files::kind(&meta))),
            Err(error) => found.problems.push(Problem::not_found(path, &error)),
        }
    }
    let mut seen = std::collections::HashSet::new();
    found.plans.retain(|plan| seen.insert(plan.path.clone()));
    found
}

/// Every plan below a folder. Files ignored by version control are included, because otherwise they would
/// never be checked.
fn walk(folder: &Path, found: &mut FoundPlans) {
    let inside = match fs::canonicalize(folder) {
        Ok(inside) => inside,
        Err(error) => return found.problems.push(Problem::unreadable(folder, &error)),
    };
    let first = found.plans.len();
    let mut entries = WalkDir::new(folder).into_iter();
    while let Some(entry) = entries.next() {
        let entry = match entry {
            Ok(entry) => entry,
            Err(error) => {
                found.problems.push(Problem::walk(folder, &error));
                continue;
            }
        };
        if entry.depth() > 0 && is_hidden(&entry) {
            if entry.file_type().is_dir() {
                entries.skip_current_dir();
            }
            let count = hidden_plans(&entry);
            found.passed.extend(std::iter::repeat_n(Passed::Hidden, count));
            continue;
        }
        look_at(&entry, folder, &inside, found);
    }
    found.plans[first..].sort_by(|a, b| a.path.cmp(&b.path));
}

fn look_at(entry: &DirEntry, folder: &Path, inside: &Path, found: &mut FoundPlans) {
    let path = entry.path();
    let is_link = entry.path_is_symlink() && entry.depth() > 0;
    let is_named_so = path.extension().is_some_and(|e| e == EXTENSION);
    if !is_link && (entry.file_type().is_dir() || !is_named_so) {
        return;
    }
    let meta = match fs::metadata(path) {
        Ok(meta) => meta,
        // What is not called a plan and leads nowhere is nothing to us.
        Err(_) if !is_named_so => return,
        Err(error) => return found.problems.push(Problem::unreadable(path, &error)),
    };
    let leaves = is_link && !fs::canonicalize(path).is_ok_and(|p| p.starts_with(inside));
    if meta.is_dir() {
        // A folder behind a link is not walked: it could lead back here. One that lies here is.
        if leaves {
            found.passed.push(Passed::LinkedFolder);
        }
    } else if !is_named_so {
    } else if leaves {
        // Whoever names a folder does not mean what lies elsewhere; findings quote what they are about.
        found.problems.push(Problem::leaves(path, folder));
    } else if !meta.is_file() {
        found.problems.push(Problem::no_file(path, files::kind(&meta)));
    } else {
        let within = path.strip_prefix(folder).unwrap_or(path).to_path_buf();
        found.plans.push(PlanFile { path: path.to_path_buf(), within });
    }
}

fn is_hidden(entry: &DirEntry) -> bool {
    entry.file_name().to_string_lossy().starts_with('.')
}

/// How many plans are hidden here. In version control's own folder there are none: what is called
/// like one there is a branch.
fn hidden_plans(entry: &DirEntry) -> usize {
    let is_plan = |path: &Path| path.extension().is_some_and(|e| e == EXTENSION);
    if entry.file_type().is_file() {
        return usize::from(is_plan(entry.path()));
    }
    if entry.file_name() == ".git" || !entry.file_type().is_dir() {
        return 0;
    }
    let inner = WalkDir::new(entry.path()).into_iter().flatten();
    inner.filter(|e| e.file_type().is_file() && is_plan(e.path())).count()
}
