//! The server over the wire, from an in-memory client.

mod client;
mod desk;
mod desk_forms;
mod documents;
mod drafting;
mod everywhere;
mod features;
mod hostile;
mod houses;
mod lifecycle;
mod mutants;
mod ordering;
mod quiet;
mod renaming;
mod wire;
mod writing;

/// A small sound case that needs no house.
pub const CASE: &str = "springline 1\ncase \"SM-0001\"\ndoctor KL\nstart 2026-11-23\npatient adult\n\
                        retain {\n  night-time both\n}\n";

pub const URI: &str = "file:///plans/sm-0001.spring";

/// The folder of the examples.
pub fn examples() -> std::path::PathBuf {
    std::fs::canonicalize(concat!(env!("CARGO_MANIFEST_DIR"), "/../examples")).unwrap()
}
