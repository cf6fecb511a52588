//! The files of `examples/`.

use std::fs;
use std::path::{Path, PathBuf};

/// The folder itself.
pub fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples")
}

/// The text of a file there: `cases/sm-0410-both-arches.spring`.
///
/// # Panics
/// If it cannot be read.
pub fn example(path: &str) -> String {
    let path = examples().join(path);
    fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// The plans and practice files of a folder there, name without `.spring` and text, by name.
///
/// # Panics
/// If one cannot be read.
pub fn examples_in(folder: &str) -> Vec<(String, String)> {
    let all = fs::read_dir(examples().join(folder)).expect("a folder of examples");
    let mut paths: Vec<PathBuf> = all
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|e| e == "spring"))
        .collect();
    paths.sort();
    let named = paths.iter().map(|path| {
        let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
        (name, fs::read_to_string(path).expect("a text"))
    });
    named.collect()
}
