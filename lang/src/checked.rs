//! Input and result of a check, as plain values, and the order of findings.

use std::sync::Arc;

use jiff::civil::Date;

use springline_course::Forecast;
use springline_finding::language::{LanguageFinding, language_finding};
use springline_finding::{Code, Finding, FindingReport, RuleText};
use springline_model::{Case, House};
use springline_rules as rules;
use springline_syntax::Parse;
use springline_text::{FileId, SourceFile};

/// A text with the name it is shown under.
#[derive(Debug, Clone)]
pub struct SourceText {
    pub name: String,
    pub text: Arc<str>,
}

/// Settings of one check.
#[derive(Debug, Clone, Copy, Default)]
pub struct CheckOptions {
    /// The day of the check; the core has no clock of its own.
    pub today: Option<Date>,
}

/// The result of the fast pass: the language, not yet the mechanics.
#[derive(Debug, Clone)]
pub struct LoweredFile {
    /// The file itself first, then the practice files it uses.
    pub files: Vec<SourceFile>,
    pub parse: Arc<Parse>,
    /// The trees of the practice files it uses.
    pub house_trees: Vec<Arc<Parse>>,
    /// The practice of a case, or of the practice file itself.
    pub house: Option<Arc<House>>,
    pub case: Option<Arc<Case>>,
    /// Findings of the families syntax, name and unit.
    pub findings: Vec<Finding>,
}

/// The result of a whole check.
#[derive(Debug, Clone)]
pub struct Checked {
    pub files: Vec<SourceFile>,
    pub parse: Arc<Parse>,
    pub house: Option<Arc<House>>,
    pub case: Option<Arc<Case>>,
    pub forecast: Option<Arc<Forecast>>,
    /// Worst first, then in the order of the text.
    pub findings: Vec<Finding>,
}

impl Checked {
    /// What was read, the mechanics left out.
    pub fn without_judgement(read: LoweredFile) -> Checked {
        let LoweredFile { files, parse, house_trees: _, house, case, findings } = read;
        Checked { files, parse, house, case, forecast: None, findings }
    }

    /// Adds a finding that needs knowledge of several files, in its order.
    pub fn add(&mut self, finding: Finding) {
        self.findings.push(finding);
        sort(&mut self.findings);
    }

    /// The case with its forecast; `None` where it could not be read that far.
    pub fn course(&self) -> Option<(&Case, &Forecast)> {
        Some((self.case.as_deref()?, self.forecast.as_deref()?))
    }

    /// Whether the case may be printed: there is no error that the doctor has not accepted.
    pub fn may_print(&self) -> bool {
        self.case.is_some() && !self.findings.iter().any(Finding::blocks)
    }

    pub fn file(&self, id: FileId) -> Option<&SourceFile> {
        self.files.iter().find(|f| f.id == id)
    }
}

impl FindingReport for Checked {
    fn files(&self) -> &[SourceFile] {
        &self.files
    }

    fn chart(&self) -> Option<&str> {
        self.case.as_ref().map(|c| c.chart.as_str())
    }

    fn may_print(&self) -> bool {
        Checked::may_print(self)
    }

    fn findings(&self) -> &[Finding] {
        &self.findings
    }
}

/// Worst first: by severity, then by what matters most - what was written, then rules in the order of their
/// weight - and then in the order of the text; accepted ones last.
pub fn sort(findings: &mut [Finding]) {
    findings.sort_by(|a, b| {
        let key = |f: &Finding| {
            (f.accepted.is_some(), f.severity, weight(&f.code), f.place.file, f.place.span)
        };
        key(a).cmp(&key(b)).then_with(|| a.code.cmp(&b.code))
    });
}

/// The code of that name, of a rule or of a finding about the text; `None` where nothing is called so.
pub fn known_code(code: &str) -> Option<Code> {
    rules::rule(code)
        .map(|rule| rule.code)
        .or_else(|| language_finding(code).map(|finding| finding.code))
        .map(Code::new)
}

/// Documentation of a code, of a clinical rule or of a language finding.
pub fn rule_text(code: &str) -> Option<RuleText> {
    let of_rule = |rule: &rules::Rule| {
        let page = rule.page();
        RuleText {
            short: page.title.to_owned(),
            full: Some(format!("{} {}", page.finds, page.why)),
            help: format!("{} Source: {}", page.what_to_do, page.source),
        }
    };
    let of_text = |f: &LanguageFinding| RuleText {
        short: f.title.to_owned(),
        full: None,
        help: f.what_to_do.to_owned(),
    };
    rules::rule(code).map(of_rule).or_else(|| language_finding(code).map(of_text))
}

/// Language findings first, because the rest depends on them; then by severity, in the order of the
/// register.
fn weight(code: &Code) -> usize {
    let rank = || rules::register::RULES.iter().position(|r| r.code == code.as_str());
    if code.is_language() { 0 } else { rank().map_or(usize::MAX, |n| n + 1) }
}
