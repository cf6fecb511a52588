//! What a build takes in, as cargo tells it.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;

use crate::{NO_WORDS, root};

pub const REGISTRY: &str = "registry+https://github.com/rust-lang/crates.io-index";

#[derive(Debug, Clone)]
pub struct Crate {
    pub name: String,
    pub version: String,
    pub licence: String,
    pub source: Option<String>,
    pub manifest: PathBuf,
    pub repository: Option<String>,
    pub authors: Vec<String>,
    /// Built into the program, and not only into its tests and build scripts.
    pub in_program: bool,
}

/// Everything that is built on this kind of machine, tests included.
pub fn crates() -> Vec<Crate> {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let out = Command::new(cargo)
        .current_dir(root())
        .args(["metadata", "--format-version", "1", "--locked"])
        .args(["--filter-platform", "x86_64-unknown-linux-gnu"])
        .output()
        .expect("cargo");
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let told: Value = serde_json::from_slice(&out.stdout).expect("JSON");
    let nodes = told["resolve"]["nodes"].as_array().expect("nodes");
    let used: BTreeSet<&str> = nodes.iter().filter_map(|n| n["id"].as_str()).collect();
    let program = program(nodes);
    let text = |v: &Value| v.as_str().unwrap_or_default().to_owned();
    let packages = told["packages"].as_array().expect("packages").iter();
    packages
        .filter_map(|p| Some((p, p["id"].as_str().filter(|id| used.contains(id))?)))
        .map(|(p, id)| Crate {
            name: text(&p["name"]),
            version: text(&p["version"]),
            licence: p["license"].as_str().unwrap_or(NO_WORDS).to_owned(),
            source: p["source"].as_str().map(str::to_owned),
            manifest: PathBuf::from(text(&p["manifest_path"])),
            repository: p["repository"].as_str().map(str::to_owned),
            authors: p["authors"].as_array().into_iter().flatten().map(text).collect(),
            in_program: program.contains(id),
        })
        .collect()
}

/// What the command line reaches by ordinary dependencies.
fn program(nodes: &[Value]) -> BTreeSet<&str> {
    let normal = |dep: &&Value| {
        let kinds = dep["dep_kinds"].as_array();
        kinds.is_some_and(|kinds| kinds.iter().any(|k| k["kind"].is_null()))
    };
    let mut needs: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for node in nodes {
        let Some(id) = node["id"].as_str() else { continue };
        let deps = node["deps"].as_array().into_iter().flatten().filter(normal);
        needs.insert(id, deps.filter_map(|d| d["pkg"].as_str()).collect());
    }
    let mut open: Vec<&str> = needs
        .keys()
        .copied()
        .filter(|id| id.contains("/cli#") || id.contains("springline-cli"))
        .collect();
    assert_eq!(open.len(), 1, "the command line: {open:?}");
    let mut reached = BTreeSet::new();
    while let Some(id) = open.pop() {
        if reached.insert(id) {
            open.extend(needs.get(id).into_iter().flatten());
        }
    }
    reached
}
