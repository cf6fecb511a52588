//! The whole way of one case: text to findings and predicted course. The one path that the terminal,
//! the editor and the tests all take.

use std::collections::HashMap;
use std::sync::Arc;

use jiff::civil::Date;

use crate::carried::Judgement;
use crate::course::{self, Forecast, Memory};
use crate::finding::{Code, FileId, Finding, Fix, FixKind, Severity, Span};
use crate::identity_check;
use crate::language_findings::language_finding;
use crate::model::{Case, House};
use crate::resolve::{self, Acceptable, Library, Loaded};
use crate::rules::{self, Judged, Texts};
use crate::syntax::{FileKind, Parse, parse, parse_again};

/// A text with the name it is shown under.
#[derive(Debug, Clone)]
pub struct Source {
    pub name: String,
    pub text: Arc<str>,
}

/// Settings of one check.
#[derive(Debug, Clone, Copy, Default)]
pub struct Options {
    /// The day of the check; the core has no clock of its own.
    pub today: Option<Date>,
}

/// One of the files that a check read.
#[derive(Debug, Clone)]
pub struct File {
    pub id: FileId,
    pub name: String,
    pub text: Arc<str>,
}

/// The result of the fast pass: the language, not yet the mechanics.
#[derive(Debug, Clone)]
pub struct Read {
    /// The file itself first, then the house files it uses.
    pub files: Vec<File>,
    pub parse: Arc<Parse>,
    /// The house of a case, or the house that this file is.
    pub house: Option<Arc<House>>,
    pub case: Option<Arc<Case>>,
    /// Findings of the families syntax, name and unit.
    pub findings: Vec<Finding>,
}

/// The result of a whole check.
#[derive(Debug, Clone)]
pub struct Checked {
    pub files: Vec<File>,
    pub parse: Arc<Parse>,
    pub house: Option<Arc<House>>,
    pub case: Option<Arc<Case>>,
    pub forecast: Option<Arc<Forecast>>,
    /// Worst first, then in the order of the text.
    pub findings: Vec<Finding>,
}

impl Checked {
    /// What is known only to whoever has several files at hand, put where it belongs among the others.
    pub fn add(&mut self, finding: Finding) {
        self.findings.push(finding);
        sort(&mut self.findings);
    }

    /// No error stands that the doctor has not accepted: the case may be printed.
    pub fn may_print(&self) -> bool {
        self.case.is_some() && !self.findings.iter().any(Finding::blocks)
    }

    pub fn file(&self, id: FileId) -> Option<&File> {
        self.files.iter().find(|f| f.id == id)
    }

    pub fn worst(&self) -> Option<Severity> {
        self.findings.iter().filter(|f| f.accepted.is_none()).map(|f| f.severity).min()
    }
}

/// Checks cases one after another and remembers what they share: the house file they use, the trees
/// last read and phases already computed. All of it is bounded, and none changes a result.
#[derive(Debug)]
pub struct Checker {
    houses: HashMap<HouseKey, Arc<Loaded>>,
    /// By the name of the text: what was read last.
    parses: HashMap<String, Arc<Parse>>,
    /// By the name of the text: what was judged last.
    judged: HashMap<String, Judgement>,
    pub memory: Memory,
}

type HouseKey = (String, Arc<str>);

/// House files remembered at most.
const HOUSES: usize = 16;

/// Texts whose tree is kept, so that the next key does not read all of one again.
const PARSES: usize = 8;

/// Phases remembered: ten cases of two arches and eight steps, with room for undoing.
const PHASES: usize = 1024;

impl Default for Checker {
    fn default() -> Self {
        Checker {
            houses: HashMap::new(),
            parses: HashMap::new(),
            judged: HashMap::new(),
            memory: Memory::new(PHASES),
        }
    }
}

impl Checker {
    pub fn new() -> Self {
        Self::default()
    }

    /// The fast pass: reads the file and resolves it against its house.
    pub fn read(&mut self, source: &Source, library: &dyn Library) -> Read {
        let main = FileId(0);
        let parse = self.parse(main, source);
        let mut findings = parse.findings.clone();
        identity_check::check(&parse, &source.name, &mut findings);
        let mut read = Read {
            files: vec![File { id: main, name: source.name.clone(), text: source.text.clone() }],
            parse: parse.clone(),
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

    /// Reads what has changed since the text of that name was read last.
    fn parse(&mut self, file: FileId, source: &Source) -> Arc<Parse> {
        let parse = Arc::new(match self.parses.get(&source.name) {
            Some(before) => parse_again(before, &source.text),
            None => parse(file, &source.text),
        });
        if self.parses.len() >= PARSES && !self.parses.contains_key(&source.name) {
            self.parses.clear();
        }
        self.parses.insert(source.name.clone(), parse.clone());
        parse
    }

    fn read_house(
        &mut self,
        parse: &Parse,
        library: &dyn Library,
        read: &mut Read,
        findings: &mut Vec<Finding>,
    ) {
        let Some(base) = self.base(parse, library, read, findings) else { return };
        read.house = Some(Arc::new(resolve::house(parse, base.as_ref().clone(), findings)));
    }

    fn read_case(
        &mut self,
        parse: &Parse,
        library: &dyn Library,
        read: &mut Read,
        findings: &mut Vec<Finding>,
    ) {
        // Against a house that could not be read every name would be unknown: one mistake, one
        // finding.
        let Some(house) = self.base(parse, library, read, findings) else { return };
        let codes: Vec<&str> = rules::register::RULES.iter().map(|r| r.code).collect();
        let acceptable = Acceptable { known: &known_code, codes: &codes };
        read.house = Some(house.clone());
        let house_has_errors = findings.iter().any(|f| f.code.0 == "name/house-has-errors");
        let house_unread = may_hide_use(parse);
        let before = findings.len();
        read.case = resolve::case(parse, house, &acceptable, findings).map(Arc::new);
        let without_house = resolve::used(parse).is_none() && !house_unread;
        if without_house {
            let arches = || parse.lines().any(|l| matches!(l.keyword(), Some("upper" | "lower")));
            // Where nothing of the drawer is named yet nothing is wrong yet either.
            let severity = match findings[before..].iter().any(is_unknown) {
                true => Some(Severity::Error),
                false => arches().then_some(Severity::Warning),
            };
            findings.extend(severity.map(|severity| no_house(severity, parse, library)));
            findings.retain(|f| !is_unknown(f));
        }
        if house_has_errors || house_unread {
            // What the house could not define is mended there, or at the line that should have named
            // it: one root fault, one finding.
            let mut at = 0;
            findings.retain(|f| {
                at += 1;
                at <= before || !is_unknown(f)
            });
        }
    }

    /// The house that a file uses, or the built-in one; `None` where it cannot be had.
    fn base(
        &mut self,
        parse: &Parse,
        library: &dyn Library,
        read: &mut Read,
        findings: &mut Vec<Finding>,
    ) -> Option<Arc<House>> {
        let Some(used) = resolve::used(parse) else {
            return Some(Arc::new(resolve::builtin::house()));
        };
        let loaded = match resolve::find(&used, library, findings) {
            Some((name, text)) => {
                let key = (name.clone(), text.clone());
                match self.houses.get(&key) {
                    Some(loaded) if loaded.is_current(library) => loaded.clone(),
                    _ => {
                        let loaded = Arc::new(resolve::load(name, text, library));
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
            read.files.push(File { id: *id, name: name.clone(), text: text.clone() });
        }
        if let Some(finding) = loaded.finding_at(&used) {
            findings.push(finding);
        }
        loaded.house.clone()
    }

    /// The whole check: language, mechanics, course and rules.
    pub fn check(&mut self, source: &Source, library: &dyn Library, options: &Options) -> Checked {
        let read = self.read(source, library);
        self.judge(read, options)
    }

    /// The second pass: mechanics, course and rules on what the fast pass read.
    pub fn judge(&mut self, read: Read, options: &Options) -> Checked {
        let known = self.last(&read).and_then(|last| last.carried(&read, options.today));
        let judgement = known.or_else(|| self.compute(&read, options));
        self.concluded(read, judgement)
    }

    /// The second pass where nothing that is judged has changed since that text was judged last, so that
    /// nothing has to be computed.
    pub fn judge_unchanged(&mut self, read: &Read, options: &Options) -> Option<Checked> {
        let judgement = self.last(read)?.carried(read, options.today)?;
        Some(self.concluded(read.clone(), Some(judgement)))
    }

    fn last(&self, read: &Read) -> Option<&Judgement> {
        self.judged.get(&read.files.first()?.name)
    }

    fn compute(&mut self, read: &Read, options: &Options) -> Option<Judgement> {
        let (case, house) = (read.case.as_ref()?, read.house.clone()?);
        let computable = case.computable();
        let forecast = course::forecast_with(&computable, options.today, &mut self.memory);
        let texts = Texts { files: read.files.iter().map(|f| (f.id, f.text.clone())).collect() };
        let judged = Judged { case, forecast: &forecast, today: options.today, texts: &texts };
        let findings = rules::judge(&judged);
        Some(Judgement {
            parse: read.parse.clone(),
            house,
            today: options.today,
            forecast: Arc::new(forecast),
            findings,
        })
    }

    fn concluded(&mut self, read: Read, judgement: Option<Judgement>) -> Checked {
        let mut findings = read.findings;
        let mut forecast = None;
        if let Some(judgement) = judgement {
            findings.extend_from_slice(&judgement.findings);
            forecast = Some(judgement.forecast.clone());
            if let Some(file) = read.files.first() {
                if self.judged.len() >= PARSES && !self.judged.contains_key(&file.name) {
                    self.judged.clear();
                }
                self.judged.insert(file.name.clone(), judgement);
            }
        }
        sort(&mut findings);
        Checked {
            files: read.files,
            parse: read.parse,
            house: read.house,
            case: read.case,
            forecast,
            findings,
        }
    }
}

/// A name that neither the file nor its house has.
fn is_unknown(finding: &Finding) -> bool {
    finding.code.0.starts_with("name/unknown-")
}

/// One fault, one finding: without a house no name of the drawer can be known.
fn no_house(severity: Severity, parse: &Parse, library: &dyn Library) -> Finding {
    let opening = parse.lines().find(|l| l.keyword() == Some("case"));
    let span = opening.map_or(Span::default(), |l| l.span());
    let present = match library.house("") {
        Err(resolve::NotLoaded::Missing { present, .. }) => present,
        _ => Vec::new(),
    };
    let text = match present.is_empty() {
        true => resolve::read::capital(resolve::builtin::NO_PRACTICE_FILE) + ".",
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
    resolve::used(parse).is_none()
        && parse.lines().any(|l| !l.is_read() && matches!(l.keyword(), None | Some("use")))
}

/// Findings of the language listed for one file at most; a file with more is not a plan with
/// mistakes but another kind of file.
const FINDINGS: usize = 400;

/// Cuts a hopeless list short, and says so.
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

/// Worst first: by severity, then by what matters most - what was written, then rules in the order of their
/// weight - and then in the order of the text; accepted ones last.
pub(crate) fn sort(findings: &mut [Finding]) {
    findings.sort_by(|a, b| {
        let key = |f: &Finding| {
            (f.accepted.is_some(), f.severity, weight(f.code), f.place.file, f.place.span)
        };
        key(a).cmp(&key(b)).then_with(|| a.code.cmp(&b.code))
    });
}

/// The code of that name, of a rule or of a finding about the text; `None` where nothing is called so.
pub(crate) fn known_code(code: &str) -> Option<Code> {
    rules::rule(code)
        .map(|rule| rule.code)
        .or_else(|| language_finding(code).map(|finding| finding.code))
        .map(Code)
}

/// Findings about the text first, for the rest stands on it; then by harm, as the register has it.
fn weight(code: Code) -> usize {
    let rank = |c: Code| rules::register::RULES.iter().position(|r| r.code == c.0);
    if code.is_language() { 0 } else { rank(code).map_or(usize::MAX, |n| n + 1) }
}

/// One check without memory; for a single case, and for tests.
pub fn check(source: &Source, library: &dyn Library, options: &Options) -> Checked {
    Checker::new().check(source, library, options)
}
