//! The map of the house in DEVELOPERS.md is drawn from what cargo builds, and no crate has a circle of
//! files in it. `UPDATE_DOCS=1 cargo test -p springline-tests --test map` redraws the map.

mod files;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde::Deserialize;

const BEGIN: &str = "<!-- map: drawn by tests/tests/map -->\n";
const END: &str = "<!-- end of map -->";

/// Circles between files that are left, each with the reason.
const ARGUED: &[(&str, &[&str], &str)] = &[];

#[derive(Deserialize)]
struct Metadata {
    packages: Vec<Package>,
}

#[derive(Deserialize)]
struct Package {
    name: String,
    description: Option<String>,
    manifest_path: PathBuf,
    dependencies: Vec<Dependency>,
}

#[derive(Deserialize)]
struct Dependency {
    name: String,
    /// `None` for an ordinary dependency, `dev` for one of the tests.
    kind: Option<String>,
    path: Option<PathBuf>,
}

impl Package {
    fn short(&self) -> &str {
        short(&self.name)
    }

    /// Crates of the workspace that the product code uses.
    fn uses(&self) -> impl Iterator<Item = &str> {
        let product = self.dependencies.iter().filter(|d| d.kind.is_none() && d.path.is_some());
        product.map(|d| short(&d.name))
    }

    fn folder(&self) -> &Path {
        self.manifest_path.parent().unwrap_or(Path::new(""))
    }
}

fn short(name: &str) -> &str {
    name.strip_prefix("springline-").unwrap_or(name)
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// The crates of the product, without those of the tests.
fn packages() -> Vec<Package> {
    let cargo = std::env::var_os("CARGO").unwrap_or("cargo".into());
    let out = Command::new(cargo)
        .args(["metadata", "--no-deps", "--offline", "--format-version", "1"])
        .current_dir(root())
        .output()
        .expect("cargo runs");
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let metadata: Metadata = serde_json::from_slice(&out.stdout).expect("cargo's own format");
    let mut all = metadata.packages;
    all.retain(|p| !p.name.contains("test"));
    all
}

/// Lowest first: a crate comes after all that it uses; among equals by name.
fn in_order(packages: &[Package]) -> Vec<&Package> {
    let mut left: BTreeMap<&str, &Package> = packages.iter().map(|p| (p.short(), p)).collect();
    let mut out = Vec::new();
    while !left.is_empty() {
        let free: Vec<&str> = left
            .iter()
            .filter(|(_, p)| p.uses().all(|u| !left.contains_key(u)))
            .map(|(name, _)| *name)
            .collect();
        assert!(!free.is_empty(), "cargo allows no circle");
        out.extend(free.iter().filter_map(|name| left.remove(name)));
    }
    out
}

/// Everything a crate uses, directly or through others.
fn reached<'a>(from: &'a Package, all: &BTreeMap<&'a str, &'a Package>) -> BTreeSet<&'a str> {
    let mut out = BTreeSet::new();
    let mut open: Vec<&str> = from.uses().collect();
    while let Some(name) = open.pop() {
        if out.insert(name) {
            open.extend(all.get(name).into_iter().flat_map(|p| p.uses()));
        }
    }
    out
}

/// A drawing of the arrows that no other path replaces, and a table of all of them.
fn map(packages: &[Package]) -> String {
    let all: BTreeMap<&str, &Package> = packages.iter().map(|p| (p.short(), p)).collect();
    let order = in_order(packages);
    let mut out = String::from("```mermaid\ngraph BT\n");
    for package in &order {
        let uses: Vec<&str> = package.uses().collect();
        let through_others = |used: &&str| {
            uses.iter().any(|other| all.get(other).is_some_and(|p| reached(p, &all).contains(used)))
        };
        for used in uses.iter().filter(|u| !through_others(u)) {
            writeln!(out, "  {} --> {used}", package.short()).expect("a string");
        }
    }
    out += "```\n\n| crate | in | promise | uses |\n| --- | --- | --- | --- |\n";
    for package in order {
        let folder = package.folder().canonicalize().expect("a folder");
        let root = root().canonicalize().expect("a folder");
        let folder = folder.strip_prefix(root).expect("below the root").display().to_string();
        let mut uses: Vec<&str> = package.uses().collect();
        uses.sort_unstable();
        let uses = if uses.is_empty() { "-".to_owned() } else { uses.join(", ") };
        let promise = package.description.as_deref().unwrap_or_default();
        writeln!(out, "| `{}` | `{folder}` | {promise} | {uses} |", package.short())
            .expect("a string");
    }
    out
}

#[test]
fn the_map_for_contributors_is_the_graph_that_cargo_builds() {
    let path = root().join("DEVELOPERS.md");
    let page = std::fs::read_to_string(&path).expect("a page");
    let begin = page.find(BEGIN).expect("where the map begins") + BEGIN.len();
    let end = begin + page[begin..].find(END).expect("where the map ends");
    let drawn = map(&packages());
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(&path, format!("{}{drawn}{}", &page[..begin], &page[end..]))
            .expect("written");
        return;
    }
    assert!(page[begin..end] == drawn, "the map is stale; run with UPDATE_DOCS=1");
}

#[test]
fn every_crate_of_the_language_says_what_it_must_not_know() {
    for package in packages() {
        let lib = package.folder().join("src/lib.rs");
        let Ok(text) = std::fs::read_to_string(&lib) else { continue };
        let lines = text.lines().map_while(|line| line.strip_prefix("//!"));
        let head = lines.map(str::trim).collect::<Vec<_>>().join(" ");
        let says =
            ["must not know", "knows nothing", "no knowledge"].iter().any(|s| head.contains(s));
        assert!(says, "{}: what must it not know?", lib.display());
    }
}

/// Paths in backticks, as far as they name something of this repository and no pattern.
#[test]
fn every_path_in_the_guide_for_contributors_exists() {
    let page = std::fs::read_to_string(root().join("DEVELOPERS.md")).expect("a page");
    let tops = ["lang/", "lsp/", "cli/", "editors/", "examples/", "tests/", ".ci/"];
    let named = page.split('`').skip(1).step_by(2).map(|p| p.split([' ', ':']).next().unwrap_or(p));
    let missing: BTreeSet<&str> = named
        .filter(|p| tops.iter().any(|top| p.starts_with(top)))
        .filter(|p| !p.contains(['*', '{', '<']) && !p.contains("TARGET") && !p.contains("FAMILY"))
        .filter(|p| !root().join(p).exists())
        .collect();
    assert!(missing.is_empty(), "DEVELOPERS.md names what is not there: {missing:?}");
}

#[test]
fn no_circle_of_files_is_in_a_crate() {
    let mut found = Vec::new();
    for package in packages() {
        for circle in files::circles(&package.folder().join("src")) {
            let same = |(name, files, _): &&(&str, &[&str], &str)| {
                *name == package.short() && files.iter().eq(circle.iter())
            };
            if ARGUED.iter().find(same).is_none() {
                found.push(format!("{}: {}", package.short(), circle.join(", ")));
            }
        }
    }
    assert!(found.is_empty(), "files that use one another in a circle:\n{}", found.join("\n"));
}
