//! The notices that go with every package: `THIRD-PARTY-NOTICES.txt` holds the licence of everything that is
//! built into the program, and of its typeface. `UPDATE_DOCS=1 cargo test -p springline-tests --test supply`
//! writes it.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use crate::crates::{Crate, crates};
use crate::root;

/// Name under which every package carries the notices.
const FILE: &str = "THIRD-PARTY-NOTICES.txt";

/// Files in a crate's folder that hold a licence or a notice.
fn texts(one: &Crate) -> Vec<PathBuf> {
    let folder = one.manifest.parent().expect("a folder");
    let mut found: Vec<PathBuf> = fs::read_dir(folder)
        .expect("a folder")
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.is_file() && is_licence(path))
        .collect();
    // Not checked out of a version control, so no order of its own.
    found.sort();
    let is = |path: &PathBuf, word: &str| name(path).contains(word);
    // One of several may be chosen: the shortest that nobody has to read twice.
    let choice = one.licence.contains(" OR ") || one.licence.contains('/');
    if choice && one.licence.contains("MIT") && found.iter().any(|p| is(p, "MIT")) {
        found.retain(|p| is(p, "MIT") || is(p, "NOTICE") || is(p, "UNICODE"));
    }
    found
}

fn name(path: &Path) -> String {
    path.file_name().unwrap_or_default().to_string_lossy().to_uppercase()
}

fn is_licence(path: &Path) -> bool {
    let name = name(path);
    let code = [".RS", ".TOML", ".JSON"].iter().any(|end| name.ends_with(end));
    !code
        && ["LICENSE", "LICENCE", "COPYING", "NOTICE", "UNLICENSE", "COPYRIGHT"]
            .iter()
            .any(|word| name.contains(word))
}

/// The same words are the same text, however they are wrapped.
fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Texts by the crates that come with them, and the crates that come with none.
fn gathered(all: &[Crate]) -> (Vec<(String, Vec<String>)>, Vec<&Crate>) {
    let mut by_words: BTreeMap<String, (String, Vec<String>)> = BTreeMap::new();
    let mut without = Vec::new();
    for one in all {
        let files = texts(one);
        if files.is_empty() {
            without.push(one);
        }
        for file in files {
            let text = String::from_utf8_lossy(&fs::read(&file).expect("read")).into_owned();
            let text: String = text.lines().map(|l| l.trim_end().to_owned() + "\n").collect();
            let kept = by_words.entry(words(&text)).or_insert_with(|| (text, Vec::new()));
            kept.1.push(format!("{} {}", one.name, one.version));
        }
    }
    let mut texts: Vec<(String, Vec<String>)> = by_words.into_values().collect();
    texts.iter_mut().for_each(|(_, names)| names.dedup());
    texts.sort_by(|a, b| a.1.cmp(&b.1).then_with(|| a.0.cmp(&b.0)));
    (texts, without)
}

/// The typeface of the printed pages lies in a crate whose own licence is another one.
fn typeface(all: &[Crate]) -> String {
    let home = all.iter().find(|c| c.name == "dejavu").expect("the crate of the typeface");
    let folder = home.manifest.parent().expect("a folder").join("assets");
    let inside = fs::read_dir(folder).expect("assets").flatten().map(|e| e.path().join("LICENSE"));
    let text = inside.filter_map(|path| fs::read_to_string(path).ok()).next();
    text.expect("the licence of the typeface")
}

/// What the build of the desk's page wrote beside it.
fn page_packages() -> String {
    fs::read_to_string(root().join("cli/assets/desk/licences.txt")).expect("the page's licences")
}

/// The terms of the MIT licence, from our own: all but whose it is.
fn mit() -> String {
    let own = fs::read_to_string(root().join("LICENSE")).expect("our licence");
    let terms = own.lines().filter(|line| !line.starts_with("Copyright"));
    terms.collect::<Vec<_>>().join("\n").replace("\n\n\n", "\n\n").trim().to_owned()
}

fn notices() -> String {
    let all: Vec<Crate> =
        crates().into_iter().filter(|c| c.in_program && c.source.is_some()).collect();
    assert!(all.len() > 50, "only {} crates", all.len());
    let (texts, without) = gathered(&all);
    let rule = "-".repeat(80);
    let mut out = format!(
        "What the program `springline` is built with ({} crates, and a typeface), and under which licences.\n\
         Springline itself is under the licence in LICENSE. Of several licences that a crate offers the MIT\n\
         licence is taken where it is among them.\n\n",
        all.len()
    );
    for one in &all {
        let home = one.repository.as_deref().unwrap_or("https://crates.io");
        out.push_str(&format!("{} {}: {}; {home}\n", one.name, one.version, one.licence));
    }
    if !without.is_empty() {
        out.push_str(&format!(
            "\n{rule}\nThese come without a licence file; their authors, as they state them\n"
        ));
        for one in &without {
            assert!(one.licence.contains("MIT"), "{}: no text for {}", one.name, one.licence);
            let authors = match one.authors.as_slice() {
                [] => "not stated".to_owned(),
                some => some.join(", "),
            };
            out.push_str(&format!("  {} {}: {authors}\n", one.name, one.version));
        }
        out.push_str(&format!("{rule}\n\n{}\n", mit()));
    }
    out.push_str(&format!("\n{rule}\nThe typeface DejaVu, in printed pages\n{rule}\n\n"));
    out.push_str(typeface(&all).trim());
    out.push('\n');
    out.push_str(&format!("\n{rule}\nThe packages in the page of `springline desk`\n{rule}\n\n"));
    out.push_str(page_packages().trim());
    out.push('\n');
    for (text, names) in texts {
        out.push_str(&format!("\n{rule}\n{}\n{rule}\n\n{}\n", names.join(", "), text.trim()));
    }
    out
}

#[test]
fn the_notices_are_those_of_what_is_built_in() {
    let made = notices();
    let path = root().join(FILE);
    if std::env::var_os("UPDATE_DOCS").is_some() {
        fs::write(&path, &made).expect("written");
    }
    let kept = fs::read_to_string(&path).unwrap_or_default();
    assert!(
        kept == made,
        "{FILE} is not current: run UPDATE_DOCS=1 cargo test -p springline-tests --test supply"
    );
    assert!(made.contains("Bitstream Vera"), "the typeface has its licence");
    assert!(made.contains("@codemirror/view"), "and so has the editor in the desk's page");
}

/// Whatever is given on and holds work of others carries them; the other editors' files are our own.
#[test]
fn every_package_carries_the_notices() {
    for recipe in
        [".ci/package", ".ci/wheel.py", "editors/package.sh", "editors/vscode/package.json"]
    {
        let text = fs::read_to_string(root().join(recipe)).expect("a recipe");
        assert!(text.contains(FILE), "{recipe} does not pack {FILE}");
    }
}
