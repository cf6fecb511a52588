//! Which files of a crate use which, read from their paths: `use` lines, and paths in the code.
//!
//! An item re-exported by a module above counts as the file that defines it. A file and the modules
//! above it are not held to be a circle: a module's root names its parts, and they share what it says.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use regex_lite::Regex;

/// A module: the segments of its path below the crate.
type Module = Vec<String>;

struct Sources {
    texts: BTreeMap<Module, String>,
    /// A name that a module re-exports, and where from.
    exports: BTreeMap<(Module, String), Vec<String>>,
}

/// Groups of files each of which reaches every other.
pub fn circles(folder: &Path) -> Vec<Vec<String>> {
    let sources = Sources::read(folder);
    let edges: BTreeMap<Module, BTreeSet<Module>> = sources
        .texts
        .keys()
        .filter(|module| !module.is_empty())
        .map(|module| (module.clone(), sources.used_by(module)))
        .collect();
    let reach: BTreeMap<&Module, BTreeSet<&Module>> =
        edges.keys().map(|module| (module, reached(module, &edges))).collect();
    let mut out: BTreeSet<Vec<String>> = BTreeSet::new();
    for (module, to) in &reach {
        let with = |other: &&&Module| reach.get(**other).is_some_and(|back| back.contains(module));
        let circle: Vec<String> = to.iter().filter(with).map(|m| m.join("/")).collect();
        if circle.len() > 1 {
            out.insert(circle);
        }
    }
    out.into_iter().collect()
}

fn reached<'a>(
    from: &'a Module,
    edges: &'a BTreeMap<Module, BTreeSet<Module>>,
) -> BTreeSet<&'a Module> {
    let mut out = BTreeSet::new();
    let mut open: Vec<&Module> = edges[from].iter().collect();
    while let Some(module) = open.pop() {
        if out.insert(module) {
            open.extend(edges.get(module).into_iter().flatten());
        }
    }
    out
}

impl Sources {
    fn read(folder: &Path) -> Sources {
        let mut texts = BTreeMap::new();
        collect(folder, &mut Vec::new(), &mut texts);
        let mut exports = BTreeMap::new();
        let exported = Regex::new(r"pub(?:\([^)]*\))? use ([^;]+);").expect("a pattern");
        for (module, text) in &texts {
            for found in exported.captures_iter(text) {
                for path in leaves(&found[1]) {
                    if let Some(name) = path.last().cloned() {
                        exports.insert((module.clone(), name), path);
                    }
                }
            }
        }
        Sources { texts, exports }
    }

    fn used_by(&self, module: &Module) -> BTreeSet<Module> {
        let text = &self.texts[module];
        let used = Regex::new(r"\buse ([^;]+);").expect("a pattern");
        let path = Regex::new(r"\b(?:crate|super)(?:::\w+)+").expect("a pattern");
        let mut paths: Vec<Vec<String>> =
            used.captures_iter(text).flat_map(|found| leaves(&found[1])).collect();
        let rest = used.replace_all(text, "");
        paths.extend(path.find_iter(&rest).map(|p| segments(p.as_str())));
        let is_relative = |path: &Vec<String>| {
            matches!(path[0].as_str(), "crate" | "super" | "self")
                || self.texts.contains_key(&joined(module, &path[0]))
        };
        paths
            .into_iter()
            .filter(|path| !path.is_empty() && is_relative(path))
            .map(|path| self.defined_in(module, &path, 0))
            .filter(|to| !to.starts_with(module) && !module.starts_with(to))
            .collect()
    }

    /// The module that a path leads to from another, through re-exports.
    fn defined_in(&self, from: &Module, path: &[String], depth: u32) -> Module {
        let mut at = from.clone();
        let mut rest = path.iter().peekable();
        if rest.next_if(|s| *s == "crate").is_some() {
            at.clear();
        }
        while rest.next_if(|s| *s == "super").is_some() {
            at.pop();
        }
        let _ = rest.next_if(|s| *s == "self");
        while let Some(next) = rest.next_if(|s| self.texts.contains_key(&joined(&at, s))) {
            at.push(next.clone());
        }
        let exported =
            rest.peek().and_then(|name| self.exports.get(&(at.clone(), (**name).clone())));
        match exported {
            Some(path) if depth < 8 => self.defined_in(&at, path, depth + 1),
            _ => at,
        }
    }
}

fn joined(module: &Module, name: &str) -> Module {
    let mut out = module.clone();
    out.push(name.to_owned());
    out
}

fn segments(path: &str) -> Vec<String> {
    path.split("::").map(|s| s.trim().to_owned()).filter(|s| !s.is_empty()).collect()
}

/// The paths of a `use` line, with its braces written out.
fn leaves(text: &str) -> Vec<Vec<String>> {
    let mut out = Vec::new();
    for part in split(text) {
        let part = part.trim();
        match part.split_once('{') {
            Some((before, inner)) => {
                let before = segments(before);
                let inner = inner.trim_end().strip_suffix('}').unwrap_or(inner);
                out.extend(leaves(inner).into_iter().map(|leaf| [before.clone(), leaf].concat()));
            }
            None => {
                let name = part.split(" as ").next().unwrap_or(part);
                let path = segments(name);
                if !path.is_empty() {
                    out.push(path);
                }
            }
        }
    }
    out
}

/// At the commas outside all braces.
fn split(text: &str) -> Vec<&str> {
    let (mut depth, mut start, mut out) = (0, 0, Vec::new());
    for (at, c) in text.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                out.push(&text[start..at]);
                start = at + 1;
            }
            _ => {}
        }
    }
    out.push(&text[start..]);
    out
}

/// The texts of a crate's files, without comments and test modules.
fn collect(folder: &Path, module: &mut Module, out: &mut BTreeMap<Module, String>) {
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        let stem = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        if path.is_dir() {
            module.push(stem);
            collect(&path, module, out);
            module.pop();
        } else if path.extension().is_some_and(|e| e == "rs")
            && stem != "tests"
            && stem != "testing"
        {
            let text = std::fs::read_to_string(&path).unwrap_or_default();
            let is_root = matches!(stem.as_str(), "lib" | "main" | "mod");
            let at = if is_root { module.clone() } else { joined(module, &stem) };
            out.insert(at, product(&text));
        }
    }
}

fn product(text: &str) -> String {
    let end = text.find("\n#[cfg(test)]\nmod ").unwrap_or(text.len());
    let code = text[..end].lines().map(|line| line.split("//").next().unwrap_or_default());
    code.collect::<Vec<_>>().join("\n")
}
