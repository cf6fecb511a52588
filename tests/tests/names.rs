//! A type's name means one thing in the whole workspace.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// Names that two crates may both use, each with the reason.
const SHARED: &[(&str, &str)] = &[];

const KEYWORDS: [&str; 5] = ["struct", "enum", "union", "trait", "type"];

#[test]
fn no_two_types_of_the_product_share_a_name() {
    let mut places: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (place, text) in product_sources() {
        for (line, name) in defined_types(&text) {
            places.entry(name.to_owned()).or_default().push(format!("{place}:{line}"));
        }
    }
    assert!(places.len() > 400, "only {} types were found", places.len());
    let twins: Vec<String> = places
        .iter()
        .filter(|(name, at)| at.len() > 1 && SHARED.iter().all(|(shared, _)| shared != name))
        .map(|(name, at)| format!("{name}: {}", at.join(", ")))
        .collect();
    assert!(
        twins.is_empty(),
        "types defined more than once; give each the word of its field:\n{}",
        twins.join("\n")
    );
    for (name, reason) in SHARED {
        let count = places.get(*name).map_or(0, Vec::len);
        assert!(count > 1, "`{name}` is not defined twice any more ({reason}): remove it here");
    }
}

/// Types at the top level of a file; associated types and those inside a function or a test module are
/// indented, since every file is formatted.
fn defined_types(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines().enumerate().filter_map(|(index, line)| {
        let line = match line.strip_prefix("pub") {
            Some(rest) => {
                rest.strip_prefix("(crate)").or(rest.strip_prefix("(super)")).unwrap_or(rest)
            }
            None => line,
        };
        let mut words = line.strip_prefix(' ').unwrap_or(line).split(' ');
        let keyword = words.next()?;
        let rest = words.next()?;
        let end = rest.find(|c: char| !c.is_alphanumeric()).unwrap_or(rest.len());
        let name = &rest[..end];
        let is_type = KEYWORDS.contains(&keyword) && name.starts_with(|c: char| c.is_uppercase());
        is_type.then_some((index + 1, name))
    })
}

/// Every source of the crates that are delivered, without tests, benches and examples.
fn product_sources() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut out = Vec::new();
    for top in ["lang", "lsp", "cli"] {
        collect(&root, &root.join(top), &mut out);
    }
    out.sort();
    out
}

fn collect(root: &Path, folder: &Path, out: &mut Vec<(String, String)>) {
    const NOT_DELIVERED: [&str; 6] = ["tests", "benches", "examples", "fuzz", "target", "tests.rs"];
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    for path in entries {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if NOT_DELIVERED.contains(&name.as_str()) {
            continue;
        }
        if path.is_dir() {
            collect(root, &path, out);
        } else if name.ends_with(".rs") {
            let place = path.strip_prefix(root).map(PathBuf::from).unwrap_or(path.clone());
            out.push((place.display().to_string(), fs::read_to_string(&path).unwrap()));
        }
    }
}

#[test]
fn definitions_are_found_whatever_their_visibility() {
    let text = "pub struct One {\nstruct Two(u8);\npub(crate) enum Three<T> {\npub(super) type Four = u8;\n    \
                type Output = u8;\nfn five() {}\n// struct Six\n";
    let names: Vec<&str> = defined_types(text).map(|(_, name)| name).collect();
    assert_eq!(names, ["One", "Two", "Three", "Four"]);
}

/// The glossary names types that exist.
#[test]
fn the_glossary_names_types_that_exist() {
    let page =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("../DEVELOPERS.md")).unwrap();
    let glossary = page.split("## ").find(|part| part.starts_with("Glossary")).unwrap();
    let sources = product_sources();
    let defined: Vec<&str> =
        sources.iter().flat_map(|(_, text)| defined_types(text)).map(|(_, name)| name).collect();
    let named = glossary.split('`').skip(1).step_by(2);
    let types: Vec<&str> = named.filter(|name| name.starts_with(char::is_uppercase)).collect();
    assert!(types.len() > 40, "only {} types are named", types.len());
    let gone: Vec<&&str> = types.iter().filter(|name| !defined.contains(name)).collect();
    assert!(gone.is_empty(), "the glossary names types that are gone: {gone:?}");
}
