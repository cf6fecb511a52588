//! No crate with a published advisory is built in, by the RustSec database (rustsec.org, CC0).
//!
//! The network is not asked. `tests/advisories.json` is an excerpt of the database: what it says of the crates
//! in `Cargo.lock`, and the names of all others that it knows. A whole database is fed by naming its folder, a
//! clone of github.com/rustsec/advisory-db or an unpacked archive of it:
//!
//! ```sh
//! SPRINGLINE_ADVISORIES=FOLDER cargo test -p springline-tests --test supply                # asked in place of the excerpt
//! SPRINGLINE_ADVISORIES=FOLDER UPDATE_DOCS=1 cargo test -p springline-tests --test supply  # makes the excerpt anew
//! ```

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use semver::{Version, VersionReq};
use serde::{Deserialize, Serialize};

use crate::root;

/// Advisories that are known and borne, each with its reason.
const BORNE: &[(&str, &str)] = &[];

#[derive(Debug, Serialize, Deserialize)]
struct Database {
    source: String,
    /// Day of the newest advisory in it.
    until: String,
    advisories: Vec<Advisory>,
    /// Every crate that the database knows an advisory of.
    crates: BTreeSet<String>,
}

#[derive(Debug, Serialize, Deserialize)]
struct Advisory {
    id: String,
    #[serde(rename = "crate")]
    name: String,
    /// `unmaintained`, `unsound`, `notice`; empty for a vulnerability.
    kind: String,
    patched: Vec<String>,
    unaffected: Vec<String>,
}

impl Advisory {
    /// From a file of the database: a front matter in TOML, of which a few fields are wanted.
    fn read(text: &str) -> Option<(Advisory, String)> {
        let front = text.split("```toml").nth(1)?.split("```").next()?;
        let field = |name: &str| {
            let line =
                front.lines().find(|l| l.split('=').next().is_some_and(|k| k.trim() == name))?;
            line.split('"').nth(1).map(str::to_owned)
        };
        let list = |name: &str| {
            let at =
                front.lines().position(|l| l.split('=').next().is_some_and(|k| k.trim() == name));
            let rest: Vec<&str> = at.map(|at| front.lines().skip(at).collect()).unwrap_or_default();
            let rest = rest.join("\n");
            let inside = rest.split('[').nth(1).and_then(|r| r.split(']').next()).unwrap_or("");
            inside.split('"').skip(1).step_by(2).map(str::to_owned).collect()
        };
        if field("withdrawn").is_some() {
            return None;
        }
        let advisory = Advisory {
            id: field("id")?,
            name: field("package")?,
            kind: field("informational").unwrap_or_default(),
            patched: list("patched"),
            unaffected: list("unaffected"),
        };
        Some((advisory, field("date").unwrap_or_default()))
    }

    fn is_about(&self, version: &Version) -> bool {
        let matches = |ranges: &[String]| {
            ranges.iter().any(|r| {
                let range =
                    VersionReq::parse(r).unwrap_or_else(|e| panic!("{}: {r}: {e}", self.id));
                // A version before its release is judged by the numbers alone.
                range.matches(&Version::new(version.major, version.minor, version.patch))
            })
        };
        !matches(&self.patched) && !matches(&self.unaffected)
    }
}

fn kept() -> PathBuf {
    root().join("tests/advisories.json")
}

/// The excerpt, or the whole where somebody feeds it.
fn database() -> Database {
    if let Some(folder) = std::env::var_os("SPRINGLINE_ADVISORIES") {
        return whole(Path::new(&folder));
    }
    let text = fs::read_to_string(kept()).expect("the excerpt");
    serde_json::from_str(&text).expect("the excerpt")
}

fn whole(folder: &Path) -> Database {
    let mut out = Database {
        source: "https://github.com/rustsec/advisory-db (CC0-1.0), an excerpt".to_owned(),
        until: String::new(),
        advisories: Vec::new(),
        crates: BTreeSet::new(),
    };
    let by_crate = fs::read_dir(folder.join("crates")).expect("a clone of the advisory database");
    for path in
        by_crate.flatten().flat_map(|of| fs::read_dir(of.path()).into_iter().flatten()).flatten()
    {
        let text = fs::read_to_string(path.path()).expect("an advisory");
        let Some((advisory, day)) = Advisory::read(&text) else { continue };
        out.until = out.until.max(day);
        out.crates.insert(advisory.name.clone());
        out.advisories.push(advisory);
    }
    assert!(out.advisories.len() > 500, "only {} advisories", out.advisories.len());
    out.advisories.sort_by(|a, b| (&a.name, &a.id).cmp(&(&b.name, &b.id)));
    out
}

/// Every version in `Cargo.lock`, of any kind of machine.
fn locked() -> BTreeMap<String, Vec<Version>> {
    let text = fs::read_to_string(root().join("Cargo.lock")).expect("a lock");
    let mut out: BTreeMap<String, Vec<Version>> = BTreeMap::new();
    for part in text.split("[[package]]").skip(1) {
        let field = |name: &str| {
            part.lines().find_map(|l| l.strip_prefix(&format!("{name} = \"")))?.strip_suffix('"')
        };
        let (Some(name), Some(version)) = (field("name"), field("version")) else { continue };
        out.entry(name.to_owned()).or_default().push(version.parse().expect("a version"));
    }
    out
}

#[test]
fn nothing_with_a_published_advisory_is_built_in() {
    let mut known = database();
    let locked = locked();
    println!("advisories until {}", known.until);
    let fed = std::env::var_os("SPRINGLINE_ADVISORIES").is_some();
    if fed && std::env::var_os("UPDATE_DOCS").is_some() {
        known.advisories.retain(|a| locked.contains_key(&a.name));
        let text = serde_json::to_string_pretty(&known).expect("JSON") + "\n";
        fs::write(kept(), text).expect("written");
    }
    // A crate that came after the excerpt and that the database knows: the excerpt says nothing of it.
    let told: BTreeSet<&str> = known.advisories.iter().map(|a| a.name.as_str()).collect();
    let untold: Vec<&String> = locked
        .keys()
        .filter(|name| known.crates.contains(*name) && !told.contains(name.as_str()))
        .collect();
    assert!(untold.is_empty(), "make the excerpt anew, it lacks {untold:?} (head of this file)");
    let mut found = Vec::new();
    for advisory in &known.advisories {
        for version in locked.get(&advisory.name).into_iter().flatten() {
            let borne = BORNE.iter().any(|(id, _)| *id == advisory.id);
            if advisory.is_about(version) && !borne {
                found.push(format!(
                    "{} {version}: {} {}",
                    advisory.name, advisory.id, advisory.kind
                ));
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn an_advisory_is_read_and_judged() {
    let text = "```toml\n[advisory]\nid = \"RUSTSEC-2000-0001\"\npackage = \"some\"\ndate = \"2000-01-02\"\n\
                informational = \"unmaintained\"\n\n[versions]\npatched = [\n  \">= 1.2.3, < 2.0.0\",\n  \"^2.1\",\n]\n\
                unaffected = [\"< 0.3\"]\n```\n\n# Title\n";
    let (advisory, day) = Advisory::read(text).expect("read");
    assert_eq!((day.as_str(), advisory.kind.as_str()), ("2000-01-02", "unmaintained"));
    let about = |v: &str| advisory.is_about(&v.parse().expect("a version"));
    assert!(about("1.2.2") && about("2.0.5") && about("0.3.0"), "the check can fail");
    assert!(!about("1.2.3") && !about("2.1.0") && !about("0.2.9"));
    assert!(Advisory::read(&text.replace("date =", "withdrawn =")).is_none());
}
