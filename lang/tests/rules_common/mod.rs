//! Runs an example of a rule through the whole pipeline, with the house of the examples.

use springline_lang::finding::Finding;
use springline_lang::{CheckOptions, Checked, SourceText, check};
use springline_test_support::{Practices, RULES_SALTMARSH};

#[allow(dead_code, reason = "not every test checks from nothing")]
pub fn run(text: &str) -> Checked {
    check(&source(text), &library(), &options())
}

pub fn source(text: &str) -> SourceText {
    SourceText { name: "example.spring".into(), text: text.into() }
}

#[allow(dead_code, reason = "not every test checks itself")]
pub fn library() -> Practices {
    Practices::of(RULES_SALTMARSH)
}

/// On the day of every example.
pub fn options() -> CheckOptions {
    CheckOptions { today: Some(jiff::civil::date(2026, 12, 1)) }
}

/// The line, counted from 1, on which a finding stands; 0 when it is not in the case's own text.
pub fn line_of(text: &str, finding: &Finding) -> usize {
    if finding.place.file.0 != 0 {
        return 0;
    }
    let start = finding.place.span.start as usize;
    text.get(..start).map_or(0, |before| before.matches('\n').count() + 1)
}

/// One line a finding, for a failing test's message.
#[allow(dead_code, reason = "not every test tells")]
pub fn tell(text: &str, findings: &[Finding]) -> String {
    findings
        .iter()
        .map(|f| format!("  line {} {} {}: {}\n", line_of(text, f), f.severity, f.code, f.message))
        .collect()
}
