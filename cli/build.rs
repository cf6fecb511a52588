//! Marks the build: what the cache of checks remembers was computed by exactly these sources.

use std::hash::{DefaultHasher, Hasher as _};
use std::path::{Path, PathBuf};

/// What a check is computed by, seen from this folder.
const SOURCES: [&str; 4] = ["../Cargo.lock", "../lang/src", "../lang/mechanics/src", "src"];

fn main() {
    let mut hasher = DefaultHasher::new();
    for source in SOURCES {
        println!("cargo::rerun-if-changed={source}");
        put(Path::new(source), &mut hasher);
    }
    for setting in ["TARGET", "PROFILE", "OPT_LEVEL", "CARGO_PKG_VERSION", "CARGO_CFG_FEATURE"] {
        hasher.write(std::env::var(setting).unwrap_or_default().as_bytes());
        hasher.write_u8(0);
    }
    println!("cargo::rustc-env=SPRINGLINE_BUILD={:016x}", hasher.finish());
}

/// A file's text, or those of a folder in the order of their names.
fn put(path: &Path, hasher: &mut DefaultHasher) {
    if let Ok(entries) = std::fs::read_dir(path) {
        let mut inside: Vec<PathBuf> = entries.flatten().map(|e| e.path()).collect();
        inside.sort();
        inside.iter().for_each(|p| put(p, hasher));
    } else if let Ok(text) = std::fs::read(path) {
        hasher.write(path.to_string_lossy().as_bytes());
        hasher.write_usize(text.len());
        hasher.write(&text);
    }
}
