//! Resolves `use NAME`, the practice file of a case. The core asks through a trait; the caller, who has
//! access to files, answers.

use std::sync::Arc;

use super::house;
use springline_finding::{Finding, Severity};
use springline_model::House;
use springline_model::builtin;
use springline_syntax::ast::UseLine;
use springline_syntax::{FileKind, Parse, parse};
use springline_text::{FileId, Place};

/// How the core asks for practice files. A name has no slashes and no dots, so no request can leave the
/// folders that the caller searches.
pub trait Library {
    /// The practice file of that name: its display name and its text.
    fn house(&self, name: &str) -> Result<(String, Arc<str>), NotLoaded>;

    /// The file of points of that name in the case's folder. A name is a file's own, without folders.
    fn points(&self, _name: &str) -> PointsFile {
        PointsFile::NotLookedFor
    }
}

/// What is known of a file of points.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PointsFile {
    /// It is there, and this is its fingerprint.
    There(String),
    /// It is not there, or cannot be read.
    Missing,
    /// The caller has no folder to look in.
    NotLookedFor,
}

/// Why a practice file could not be loaded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotLoaded {
    /// Not in any of these places; with the names of practice files that are.
    Missing { looked_for: Vec<String>, present: Vec<String> },
    /// There, but unreadable: no permission, not UTF-8, too large.
    Unreadable { name: String, why: String },
}

/// An empty library: every case uses the built-in practice.
pub struct NoLibrary;

impl Library for NoLibrary {
    fn house(&self, _name: &str) -> Result<(String, Arc<str>), NotLoaded> {
        Err(NotLoaded::Missing { looked_for: Vec::new(), present: Vec::new() })
    }
}

/// A `use` line.
#[derive(Debug, Clone)]
pub struct Used {
    pub name: String,
    pub place: Place,
}

/// The practice file that a file uses.
pub fn used(parse: &Parse) -> Option<Used> {
    let hole = parse.lines().find_map(UseLine::cast)?.house;
    Some(Used { name: hole.text().to_owned(), place: hole.place() })
}

/// Loads it; on failure there is a finding at the `use` line.
pub fn find(
    used: &Used,
    library: &dyn Library,
    findings: &mut Vec<Finding>,
) -> Option<(String, Arc<str>)> {
    match library.house(&used.name) {
        Ok(found) => Some(found),
        Err(not) => {
            findings.push(not_loaded(used, &not));
            None
        }
    }
}

fn not_loaded(used: &Used, not: &NotLoaded) -> Finding {
    let why = "Wires, brackets, limits and the sequence come from the practice file; without it the plan cannot \
        be checked.";
    match not {
        NotLoaded::Missing { looked_for, present } => {
            let mut finding = Finding::error(
                "name/house-not-found",
                used.place,
                format!("There is no practice file `{}.spring`.", used.name),
            )
            .why(why);
            if !looked_for.is_empty() {
                finding = finding.note(format!("Looked for: {}.", looked_for.join(", ")));
            }
            for candidate in present.iter().take(3) {
                finding = finding.clinical_fix(
                    format!("write `{candidate}`"),
                    used.place,
                    candidate.clone(),
                );
            }
            finding
        }
        NotLoaded::Unreadable { name, why: reason } => Finding::error(
            "name/house-unreadable",
            used.place,
            format!("The practice file {name} cannot be read: {reason}."),
        )
        .why(why),
    }
}

/// A practice with all it builds on, loaded once and shared by its cases.
#[derive(Debug, Clone)]
pub struct LoadedHouse {
    /// `None` where it, or one it uses, cannot be read.
    pub house: Option<Arc<House>>,
    pub files: Vec<(FileId, String, Arc<str>)>,
    /// The trees of those that are practice files, for edits of them.
    pub trees: Vec<Arc<Parse>>,
    findings: Vec<Finding>,
    /// What it used, so that a change of any of these is noticed.
    uses: Vec<(String, String, Arc<str>)>,
}

/// Longest chain of practice files that build on one another.
const DEPTH: usize = 8;

/// Loads a practice file and those it uses.
pub fn load(name: String, text: Arc<str>, library: &dyn Library) -> LoadedHouse {
    let mut loaded = LoadedHouse {
        house: None,
        files: Vec::new(),
        trees: Vec::new(),
        findings: Vec::new(),
        uses: Vec::new(),
    };
    let (mut name, mut text) = (name, text);
    // To the end of the chain first: the last one builds on the built-in practice.
    loop {
        let id = FileId(u32::try_from(loaded.files.len() + 1).unwrap_or(u32::MAX));
        let parsed = parse(id, &text);
        loaded.files.push((id, name.clone(), text.clone()));
        loaded.findings.extend(parsed.findings.iter().cloned());
        if parsed.unread.is_some() {
            return loaded;
        }
        if parsed.kind != FileKind::House {
            loaded.findings.push(Finding::error(
                "name/not-a-house",
                parsed.place(springline_text::Span::default()),
                format!("{name} is not a practice file: it does not say `practice`."),
            ));
            return loaded;
        }
        let next = used(&parsed);
        loaded.trees.push(Arc::new(parsed));
        let Some(next) = next else { break };
        let Some((next_name, next_text)) = find(&next, library, &mut loaded.findings) else {
            return loaded;
        };
        loaded.uses.push((next.name.clone(), next_name.clone(), next_text.clone()));
        let names: Vec<&str> = loaded.files.iter().map(|(_, n, _)| n.as_str()).collect();
        if names.contains(&next_name.as_str()) || names.len() >= DEPTH {
            loaded.findings.push(Finding::error(
                "name/house-cycle",
                next.place,
                format!(
                    "Practice files use each other in a circle: {} -> {next_name}.",
                    names.join(" -> ")
                ),
            ));
            return loaded;
        }
        (name, text) = (next_name, next_text);
    }
    let mut built = builtin::house();
    for parsed in loaded.trees.iter().rev() {
        built = house(parsed, built, &mut loaded.findings);
    }
    loaded.house = Some(Arc::new(built));
    loaded
}

impl LoadedHouse {
    /// Whether everything it builds on is unchanged.
    pub fn is_current(&self, library: &dyn Library) -> bool {
        self.uses.iter().all(|(used, name, text)| {
            library.house(used).is_ok_and(|(n, t)| n == *name && t == *text)
        })
    }

    /// One finding at the case's `use` line for all errors in the practice file, because they are fixed
    /// there.
    pub fn finding_at(&self, used: &Used) -> Option<Finding> {
        let errors: Vec<&Finding> =
            self.findings.iter().filter(|f| f.severity == Severity::Error).collect();
        let first = errors.first()?;
        let name = self.files.first().map_or(used.name.as_str(), |(_, n, _)| n.as_str());
        let count = match errors.len() {
            1 => "one error".to_owned(),
            n => format!("{n} errors"),
        };
        let mut finding = Finding::error(
            "name/house-has-errors",
            used.place,
            format!("The practice file {name} has {count}; correct it first."),
        )
        .why("A plan that depends on a practice file with errors cannot be trusted.");
        finding = finding.related(first.place, first.message.clone());
        Some(finding)
    }
}
