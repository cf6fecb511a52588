//! The one folder that the desk is about. A page names files relative to it; what leads out of it, by its
//! name or by a link, is not there.

use std::fs;
use std::path::{Component, Path, PathBuf};

use super::bare::SourceKind;
use crate::files::{self, EXTENSION};
use crate::problem::Problem;

/// The longest name that a page may give; no file system has longer paths below a folder of cases.
const LONGEST: usize = 1024;

/// What a page may name below the folder, told by the ending of its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum FolderFile {
    Plan,
    /// A table of points.
    Points,
    /// A picture or mesh that points are picked on.
    Source,
}

impl FolderFile {
    /// As whom a text that is opened is looked for.
    fn of_text(doc: &str) -> FolderFile {
        if FolderFile::Points.is_named(Path::new(doc)) {
            FolderFile::Points
        } else {
            FolderFile::Plan
        }
    }

    fn is_named(self, path: &Path) -> bool {
        match self {
            FolderFile::Plan => path.extension().is_some_and(|e| e == EXTENSION),
            FolderFile::Points => path.extension().is_some_and(|e| e == "csv"),
            FolderFile::Source => SourceKind::of(&path.to_string_lossy()).is_some(),
        }
    }
}

/// A folder with its links resolved.
#[derive(Debug, Clone)]
pub struct PlansFolder {
    root: PathBuf,
}

impl PlansFolder {
    pub fn open(path: &Path) -> Result<PlansFolder, Problem> {
        let root = fs::canonicalize(path).map_err(|e| Problem::not_found(path, &e))?;
        if !root.is_dir() {
            return Err(Problem::usage(
                format!("{} is not a folder.", path.display()),
                "The desk is about a folder of plans: springline desk cases.",
            ));
        }
        Ok(PlansFolder { root })
    }

    pub fn root(&self) -> &Path {
        &self.root
    }

    /// Its own name, for a heading.
    pub fn name(&self) -> String {
        let name = self.root.file_name().unwrap_or(self.root.as_os_str());
        name.to_string_lossy().into_owned()
    }

    /// A plan that is there.
    pub fn plan(&self, doc: &str) -> Result<PathBuf, String> {
        self.present(doc, FolderFile::Plan)
    }

    /// A picture or mesh that is there.
    pub fn source(&self, doc: &str) -> Result<PathBuf, String> {
        self.present(doc, FolderFile::Source)
    }

    fn present(&self, doc: &str, kind: FolderFile) -> Result<PathBuf, String> {
        let path = fs::canonicalize(self.named(doc, kind)?).map_err(|_| not_here(doc))?;
        let inside = path.starts_with(&self.root) && path.is_file();
        if inside && kind.is_named(&path) { Ok(path) } else { Err(not_here(doc)) }
    }

    /// Where a plan or table of points that was open is, or was: it may have been removed meanwhile.
    pub fn place(&self, doc: &str) -> Result<PathBuf, String> {
        let kind = FolderFile::of_text(doc);
        match fs::symlink_metadata(self.named(doc, kind)?) {
            Ok(_) => self.present(doc, kind),
            Err(_) => self.free(doc, kind),
        }
    }

    /// Where a new plan may be written: its folder is there, and it is not.
    pub fn vacant(&self, doc: &str) -> Result<PathBuf, String> {
        self.free(doc, FolderFile::Plan)
    }

    fn free(&self, doc: &str, kind: FolderFile) -> Result<PathBuf, String> {
        let path = self.named(doc, kind)?;
        let folder = path.parent().unwrap_or(&self.root);
        let folder = fs::canonicalize(folder).map_err(|_| not_here(doc))?;
        let name = path.file_name().ok_or_else(|| not_here(doc))?;
        if !folder.starts_with(&self.root) {
            return Err(not_here(doc));
        }
        let path = folder.join(name);
        match files::there_already(&path) {
            Some(_) => Err(format!("{doc} is there already.")),
            None => Ok(path),
        }
    }

    /// Only plain names downwards, none of them hidden.
    fn named(&self, doc: &str, kind: FolderFile) -> Result<PathBuf, String> {
        let odd = doc.is_empty()
            || doc.len() > LONGEST
            || doc.contains(|c: char| c.is_control() || c == '\\' || c == ':');
        let path = Path::new(doc);
        let is_plain = |part: Component<'_>| match part {
            Component::Normal(name) => !name.to_string_lossy().starts_with('.'),
            _ => false,
        };
        if odd || !path.components().all(is_plain) || !kind.is_named(path) {
            return Err(not_here(doc));
        }
        Ok(self.root.join(path))
    }
}

/// The same words whatever the reason: a page learns nothing about what lies elsewhere.
fn not_here(doc: &str) -> String {
    let shown: String = doc.chars().take(80).collect();
    format!("There is no file {} in this folder.", springline_lang::text::visible::line(&shown))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_plans_below_the_folder_are_there() {
        let outer = tempfile::tempdir().unwrap();
        let root = outer.path().join("cases");
        fs::create_dir_all(root.join("sub")).unwrap();
        fs::create_dir_all(root.join(".git")).unwrap();
        for name in ["cases/a.spring", "cases/sub/b.spring", "cases/notes.txt", "out.spring"] {
            fs::write(outer.path().join(name), "x").unwrap();
        }
        fs::write(root.join(".git/c.spring"), "x").unwrap();
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(outer.path().join("out.spring"), root.join("l.spring"))
                .unwrap();
            std::os::unix::fs::symlink(outer.path(), root.join("up")).unwrap();
            std::os::unix::fs::symlink(root.join("notes.txt"), root.join("n.spring")).unwrap();
        }
        let folder = PlansFolder::open(&root).unwrap();
        for good in ["a.spring", "sub/b.spring"] {
            assert!(folder.plan(good).is_ok(), "{good}");
        }
        let long = format!("{}.spring", "a".repeat(2000));
        for bad in [
            "",
            "..",
            "../out.spring",
            "sub/../../out.spring",
            "%2e%2e/out.spring",
            "/etc/passwd",
            "l.spring",
            "up/out.spring",
            "n.spring",
            "notes.txt",
            "a.SPRING",
            ".git/c.spring",
            "sub",
            "a.spring\0",
            "C:\\a.spring",
            "none.spring",
            &long,
        ] {
            assert!(folder.plan(bad).is_err(), "{bad}");
        }
        for bad in ["a.spring", "A.spring", "../n.spring", "up/n.spring", "new.txt", "no/n.spring"]
        {
            assert!(folder.vacant(bad).is_err(), "{bad}");
        }
        assert!(folder.vacant("sub/new.spring").is_ok());
    }
}
