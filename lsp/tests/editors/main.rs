//! What stands under `editors/`: its words are those of the language, and real editors can use it.

mod emacs;
mod grammar;
mod kakoune;
#[path = "../protocol/mutants.rs"]
mod mutants;
mod neovim;
mod session;
mod tree_sitter;
mod word_lists;

use std::path::PathBuf;

/// The project's folder.
pub fn project() -> PathBuf {
    std::fs::canonicalize(concat!(env!("CARGO_MANIFEST_DIR"), "/..")).unwrap()
}
