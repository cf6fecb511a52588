//! First pass of a check: parsing and lowering. Caches the trees last parsed and the practice files that
//! cases share; neither cache changes a result.

use springline_syntax::ast::StatementKind;
use std::collections::HashMap;
use std::sync::Arc;

use crate::checked::{LoweredFile, SourceText, known_code, sort};
use crate::identity_check;
use springline_finding::{Finding, Fix, FixKind, Severity};
use springline_lower as lower;
use springline_lower::{Acceptable, Library, LoadedHouse};
use springline_model::House;
use springline_rules as rules;
use springline_syntax::{FileKind, Parse, parse, reparse};
use springline_text::{FileId, SourceFile, Span};

/// Reads texts one after another. What it remembers is bounded.
#[derive(Debug, Default)]
pub struct TextDatabase {
    houses: HashMap<HouseKey, Arc<LoadedHouse>>,
    /// By the name of the text: what was read last.
    parses: HashMap<String, Arc<Parse>>,
}

type HouseKey = (String, Arc<str>);

/// Most practice files cached.
const HOUSES: usize = 16;

/// Texts whose tree is kept, so that the next key does not read all of one again.
const PARSES: usize = 8;

impl TextDatabase {
    pub fn new() -> TextDatabase {
        TextDatabase::default()
    }

    /// The fast pass: parses the file and lowers it with its practice file.
    pub fn read(&mut self, source: &SourceText, library: &dyn Library) -> LoweredFile {
        let parse = self.parse(source);
        if self.parses.len() >= PARSES && !self.parses.contains_key(&source.name) {
            self.parses.clear();
        }
        self.parses.insert(source.name.clone(), parse.clone());
        self.lower(parse, source, library)
    }

    /// The same of a text that is only tried, such as that of a fix: what was read last stays what the next
    /// text of that name is compared with.
    pub fn read_trial(&mut self, source: &SourceText, library: &dyn Library) -> LoweredFile {
        let parse = self.parse(source);
        self.lower(parse, source, library)
    }

    /// Reads what has changed since the text of that name was read last.
    fn parse(&self, source: &SourceText) -> Arc<Parse> {
        Arc::new(match self.parses.get(&source.name) {
            Some(before) => reparse(before, &source.text),
            None => parse(FileId(0), &source.text),
        })
    }

    fn lower(
        &mut self,
        parse: Arc<Parse>,
        source: &SourceText,
        library: &dyn Library,
    ) -> LoweredFile {
        let mut findings = parse.findings.clone();
        identity_check::check(&parse, &source.name, &mut findings);
        let mut read = LoweredFile {
            files: vec![SourceFile {
                id: FileId(0),
                name: source.name.clone(),
                text: source.text.clone(),
            }],
            parse: parse.clone(),
            house_trees: Vec::new(),
            house: None,
            case: None,
            findings: Vec::new(),
        };
        if parse.unread.is_none() {
            match parse.kind {
                FileKind::House => self.read_house(&parse, library, &mut read, &mut findings),
                FileKind::Case => self.read_case(&parse, library, &mut read, &mut findings),
                FileKind::Unsaid => {}
            }
        }
        sort(&mut findings);
        bound(&parse, &mut findings);
        read.findings = findings;
        read
    }

    fn read_house(
        &mut self,
        parse: &Parse,
        library: &dyn Library,
        read: &mut LoweredFile,
        findings: &mut Vec<Finding>,
    ) {
        let Some(base) = self.base(parse, library, read, findings) else { return };
        read.house = Some(Arc::new(lower::house(parse, base.as_ref().clone(), findings)));
    }

    fn read_case(
        &mut self,
        parse: &Parse,
        library: &dyn Library,
        read: &mut LoweredFile,
        findings: &mut Vec<Finding>,
    ) {
        // Without its practice file every name would be unknown: one mistake, one finding.
        let Some(house) = self.base(parse, library, read, findings) else { return };
        let codes: Vec<&str> = rules::register::RULES.iter().map(|r| r.code).collect();
        let acceptable = Acceptable { known: &known_code, codes: &codes };
        read.house = Some(house.clone());
        let house_has_errors = findings.iter().any(|f| f.code.as_str() == "name/house-has-errors");
        let house_unread = may_hide_use(parse);
        let before = findings.len();
        read.case = lower::case(parse, house, &acceptable, findings).map(Arc::new);
        if let Some(case) = &read.case {
            lower::check_points_files(case, library, findings);
        }
        let without_house = lower::used(parse).is_none() && !house_unread;
        if without_house {
            let arches = || {
                parse
                    .lines()
                    .any(|l| matches!(l.kind(), Some(StatementKind::Upper | StatementKind::Lower)))
            };
            // Where nothing of the drawer is named yet nothing is wrong yet either.
            let severity = match findings[before..].iter().any(is_unknown) {
                true => Some(Severity::Error),
                false => arches().then_some(Severity::Warning),
            };
            findings.extend(severity.map(|severity| no_house(severity, parse, library)));
            findings.retain(|f| !is_unknown(f));
        }
        if house_has_errors || house_unread {
            // Names that the practice file could not define are fixed there, or at the line that should
            // have named it: one root cause, one finding.
            let mut at = 0;
            findings.retain(|f| {
                at += 1;
                at <= before || !is_unknown(f)
            });
        }
    }

    /// The practice that a file uses, or the built-in one; `None` where it cannot be loaded.
    fn base(
        &mut self,
        parse: &Parse,
        library: &dyn Library,
        read: &mut LoweredFile,
        findings: &mut Vec<Finding>,
    ) -> Option<Arc<House>> {
        let Some(used) = lower::used(parse) else {
            return Some(Arc::new(springline_model::builtin::house()));
        };
        let loaded = match lower::find(&used, library, findings) {
            Some((name, text)) => {
                let key = (name.clone(), text.clone());
                match self.houses.get(&key) {
                    Some(loaded) if loaded.is_current(library) => loaded.clone(),
                    _ => {
                        let loaded = Arc::new(lower::load(name, text, library));
                        if self.houses.len() >= HOUSES {
                            self.houses.clear();
                        }
                        self.houses.insert(key, loaded.clone());
                        loaded
                    }
                }
            }
            None => return None,
        };
        for (id, name, text) in &loaded.files {
            read.files.push(SourceFile { id: *id, name: name.clone(), text: text.clone() });
        }
        read.house_trees.clone_from(&loaded.trees);
        if let Some(finding) = loaded.finding_at(&used) {
            findings.push(finding);
        }
        loaded.house.clone()
    }
}

/// A name that neither the file nor its practice file defines.
fn is_unknown(finding: &Finding) -> bool {
    finding.code.as_str().starts_with("name/unknown-")
}

/// One fault, one finding: without a house no name of the drawer can be known.
fn no_house(severity: Severity, parse: &Parse, library: &dyn Library) -> Finding {
    let opening = parse.lines().find(|l| l.is(StatementKind::Case));
    let span = opening.map_or(Span::default(), |l| l.span());
    let present = match library.house("") {
        Err(lower::NotLoaded::Missing { present, .. }) => present,
        _ => Vec::new(),
    };
    let text = match present.is_empty() {
        true => springline_text::capital(springline_model::builtin::NO_PRACTICE_FILE) + ".",
        false => "The case names no practice file.".to_owned(),
    };
    let mut finding = Finding::new("name/no-house", severity, parse.place(span), text)
        .why("Wires, brackets, limits and sequences come from it; without one none of this plan is known.");
    let end = Span { start: span.end, end: span.end };
    let kind = if present.len() == 1 { FixKind::Safe } else { FixKind::Clinical };
    for name in present {
        let place = parse.place(line_end(&parse.source, end));
        let title = format!("write `use {name}`");
        finding = finding.fix(Fix::replace(title, kind, place, format!("\nuse {name}")));
    }
    finding
}

/// The end of the line, behind its comment.
fn line_end(text: &str, at: Span) -> Span {
    let from = at.start as usize;
    let rest = text.get(from..).unwrap_or_default();
    let end = from + rest.find(['\n', '\r']).unwrap_or(rest.len());
    Span::new(end, end)
}

/// No house is named, and a line outside all braces cannot be read: it may be the one that names it.
fn may_hide_use(parse: &Parse) -> bool {
    lower::used(parse).is_none()
        && parse
            .lines()
            .any(|l| !l.is_read() && (l.keyword().is_none() || l.is(StatementKind::Use)))
}

/// Findings of the language listed for one file at most; a file with more is not a plan with
/// mistakes but another kind of file.
const FINDINGS: usize = 400;

/// Truncates an excessive list of findings, and says so.
fn bound(parse: &Parse, findings: &mut Vec<Finding>) {
    if findings.len() <= FINDINGS {
        return;
    }
    let rest = findings.len() - FINDINGS;
    findings.truncate(FINDINGS);
    let end = parse.source.len();
    findings.push(Finding::error(
        "syntax/too-many",
        parse.place(Span::new(end, end)),
        format!("There are {rest} more findings; the first {FINDINGS} are listed."),
    ));
}
