//! Documentation pages for findings, to which diagnostics link. An editor opens files, so the pages are
//! written to the user's cache folder.

use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use etcetera::BaseStrategy as _;
use springline_lang::finding::language::LANGUAGE_FINDINGS;
use springline_lang::rules::register::RULES;
use tower_lsp::ls_types::Uri;

use crate::features::hover;

/// The folder of the pages, once it is needed.
#[derive(Debug, Default)]
pub struct Pages {
    folder: OnceLock<Option<PathBuf>>,
}

impl Pages {
    /// The page of a finding; none where there is no place for files.
    pub fn of(&self, code: &str) -> Option<Uri> {
        let folder = self.folder.get_or_init(|| {
            let folder = cache()?.join(format!("findings-{:016x}", fingerprint()));
            let there = folder.clone();
            // A link is followed seconds after it is shown, at the soonest.
            std::thread::spawn(move || write(&there));
            Some(folder)
        });
        Uri::from_file_path(folder.as_ref()?.join(file_name(code)))
    }
}

fn file_name(code: &str) -> String {
    format!("{}.md", code.replace('/', "-"))
}

/// Every finding by its name, with its page.
fn pages() -> impl Iterator<Item = (&'static str, String)> {
    let language = LANGUAGE_FINDINGS.iter().map(|f| {
        let text = format!("**{}**: {}\n\n*What to do*: {}", f.code, f.title, f.what_to_do);
        (f.code, text)
    });
    let rules = RULES.iter().filter_map(|rule| Some((rule.code, hover::rule(rule.code)?)));
    language.chain(rules)
}

/// Another text, another folder.
fn fingerprint() -> u64 {
    let mut hasher = DefaultHasher::new();
    pages().for_each(|page| page.hash(&mut hasher));
    hasher.finish()
}

fn cache() -> Option<PathBuf> {
    Some(etcetera::choose_base_strategy().ok()?.cache_dir().join("springline"))
}

/// All pages or none: they are written beside their place and put there as one.
fn write(folder: &Path) {
    if folder.is_dir() {
        return;
    }
    let beside = folder.with_extension(format!("{}.new", std::process::id()));
    let written = || -> std::io::Result<()> {
        std::fs::create_dir_all(&beside)?;
        for (code, text) in pages() {
            std::fs::write(beside.join(file_name(code)), text + "\n")?;
        }
        std::fs::rename(&beside, folder)
    };
    if let Err(error) = written() {
        // Another server of the same user may have been first.
        if !folder.is_dir() {
            crate::log(&format!("the pages of the findings could not be written: {error}"));
        }
        let _ = std::fs::remove_dir_all(&beside);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_finding_has_a_page_and_they_are_written_as_one() {
        let folder = tempfile::tempdir().unwrap();
        let there = folder.path().join("findings");
        write(&there);
        for (code, text) in pages() {
            let page = std::fs::read_to_string(there.join(file_name(code))).unwrap();
            assert_eq!(page.trim_end(), text, "{code}");
            assert!(page.contains("*What to do*: "), "{code}");
        }
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
        write(&there);
    }
}
