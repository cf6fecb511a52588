//! Where everything that is built in comes from, and under which licence. The list of all crates stands
//! in `lang/docs/dependencies.md`; `UPDATE_DOCS=1 cargo test -p springline-tests --test supply` writes it.

mod advisories;
mod crates;
mod notices;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use crates::{REGISTRY, crates};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Licences under which a crate may be built in: all let a program that has them be given on under any
/// terms, as long as the notices go with it.
const LICENCES: [&str; 10] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "Zlib",
];

/// Others, each for one crate and a reason.
const EXCEPTIONS: &[(&str, &str, &str)] = &[
    ("*", "Unicode-3.0", "tables of the Unicode consortium; notice only"),
    ("*", "CC0-1.0", "given to the public"),
    ("*", "Unlicense", "given to the public"),
    ("ical", NO_WORDS, "states a file, not a name: Apache-2.0; in tests alone"),
];

/// A crate that states no licence by its name, but comes with a file.
const NO_WORDS: &str = "none stated";

fn is_allowed(name: &str, licence: &str) -> Result<bool, String> {
    if licence == NO_WORDS {
        return Ok(EXCEPTIONS.iter().any(|(n, l, _)| *n == name && *l == NO_WORDS));
    }
    // Older crates write a stroke for "or".
    let expression = spdx::Expression::parse_mode(licence, spdx::ParseMode::LAX)
        .map_err(|e| format!("{name}: `{licence}`: {e}"))?;
    Ok(expression.evaluate(|asked| {
        let asked = asked.to_string();
        LICENCES.contains(&asked.as_str())
            || EXCEPTIONS.iter().any(|(n, l, _)| (*n == "*" || *n == name) && *l == asked)
    }))
}

#[test]
fn every_crate_has_a_licence_that_we_may_use_and_comes_from_the_registry() {
    let all = crates();
    assert!(all.len() > 50, "only {} crates", all.len());
    let mut wrong = Vec::new();
    for one in all.iter().filter(|c| c.source.is_some()) {
        if one.source.as_deref() != Some(REGISTRY) {
            wrong.push(format!("{} comes from {:?}", one.name, one.source));
        }
        match is_allowed(&one.name, &one.licence) {
            Ok(true) => {}
            Ok(false) => wrong.push(format!("{} is under {}", one.name, one.licence)),
            Err(why) => wrong.push(why),
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(!is_allowed("some", "GPL-3.0-only").expect("read"), "the check can fail");
    assert!(is_allowed("some", "GPL-3.0-only OR MIT").expect("read"));
}

/// The page is what the build takes in.
#[test]
fn the_list_of_crates_is_current() {
    let mut by_licence: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for one in crates().iter().filter(|c| c.source.is_some()) {
        by_licence
            .entry(one.licence.replace("  ", " ").replace('/', " OR "))
            .or_default()
            .insert(one.name.clone());
    }
    let count: usize = by_licence.values().map(BTreeSet::len).sum();
    let mut page = format!(
        "# What is built in\n\nAll {count} crates that a build with its tests takes in on Linux, by licence. \
         All come from crates.io, and `Cargo.lock` names each by version and checksum. Written by \
         `UPDATE_DOCS=1 cargo test -p springline-tests --test supply`, which also checks licences and \
         sources. Why each crate that we name ourselves is there stands beside it in the `Cargo.toml`.\n"
    );
    for (licence, names) in &by_licence {
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        page.push_str(&format!("\n**{licence}**: {}\n", names.join(", ")));
    }
    page.push_str("\nExceptions, each with its reason:\n\n");
    for (name, licence, why) in EXCEPTIONS.iter().filter(|(n, _, _)| *n != "*") {
        page.push_str(&format!("- {name}, {licence}: {why}\n"));
    }
    let path = root().join("lang/docs/dependencies.md");
    if std::env::var_os("UPDATE_DOCS").is_some() {
        fs::write(&path, &page).expect("written");
    }
    let written = fs::read_to_string(&path).unwrap_or_default();
    assert!(written == page, "lang/docs/dependencies.md is not current: run with UPDATE_DOCS=1");
}

/// Every dependency of ours has its reason on its line.
#[test]
fn every_dependency_says_why() {
    let ours = crates().into_iter().filter(|c| c.source.is_none());
    let mut silent = Vec::new();
    for one in ours {
        let text = fs::read_to_string(&one.manifest).expect("a manifest");
        let mut inside = false;
        for line in text.lines() {
            if line.starts_with('[') {
                inside = line.ends_with("dependencies]");
            } else if inside && line.contains('=') && !line.contains("path =") {
                let said = line.split_once(" # ").is_some_and(|(_, why)| why.len() > 3);
                let above = line.trim_start().starts_with('#');
                if !said && !above {
                    silent.push(format!("{} {}: {line}", one.name, one.version));
                }
            }
        }
    }
    assert!(silent.is_empty(), "{}", silent.join("\n"));
}

/// The compiler forbids it in every crate of ours, and no source asks for it.
#[test]
fn no_unsafe_code_of_ours() {
    let workspace = fs::read_to_string(root().join("Cargo.toml")).expect("a manifest");
    assert!(workspace.contains("unsafe_code = \"forbid\""));
    for one in crates().iter().filter(|c| c.source.is_none()) {
        let text = fs::read_to_string(&one.manifest).expect("a manifest");
        assert!(text.contains("[lints]\nworkspace = true"), "{} does not keep our lints", one.name);
    }
    let mut asking = Vec::new();
    for folder in ["lang", "lsp", "cli", "tests"] {
        sources(&root().join(folder), &mut asking);
    }
    assert!(asking.is_empty(), "{asking:?}");
}

fn sources(folder: &Path, asking: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder").flatten() {
        let path = entry.path();
        let name = entry.file_name();
        if path.is_dir() && name != "target" && name != "node_modules" {
            sources(&path, asking);
        } else if path.extension().is_some_and(|e| e == "rs") {
            let text = fs::read_to_string(&path).expect("a source");
            // Put together, so that this line does not find itself.
            let words =
                [concat!("un", "safe {"), concat!("un", "safe fn"), concat!("un", "safe impl")];
            if words.iter().any(|w| text.contains(w)) {
                asking.push(path);
            }
        }
    }
}
