//! The typed tree is written from the vocabulary, and held to it.
//! `UPDATE_DOCS=1 cargo test -p springline-syntax --test typed_tree` writes it anew.

mod model;
mod writer;

use std::io::Write as _;
use std::process::{Command, Stdio};

const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/src/ast/generated.rs");

/// Laid out as `cargo fmt` would.
fn laid_out(source: &str) -> String {
    let mut rustfmt = Command::new("rustfmt")
        .args(["--edition", "2024"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("rustfmt, which rust-toolchain.toml names");
    rustfmt.stdin.take().unwrap().write_all(source.as_bytes()).unwrap();
    let output = rustfmt.wait_with_output().unwrap();
    assert!(output.status.success(), "rustfmt cannot read what was written:\n{source}");
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_typed_tree_is_that_of_the_vocabulary() {
    let made = laid_out(&writer::source());
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(FILE, &made).unwrap();
    }
    let kept = std::fs::read_to_string(FILE).unwrap_or_default();
    assert!(
        kept == made,
        "src/ast/generated.rs is out of date: run UPDATE_DOCS=1 cargo test -p springline-syntax --test typed_tree"
    );
}
