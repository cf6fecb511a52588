//! Comparison of findings: those resolved and those new.

use serde::Serialize;

use crate::masked;
use crate::plan::Plan;
use springline_finding::{Code, Finding, Severity};

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FindingChange {
    /// It is in the new plan and was not in the old.
    pub new: bool,
    pub code: Code,
    pub severity: Severity,
    pub message: String,
    pub accepted: bool,
}

impl FindingChange {
    pub fn line(&self) -> String {
        let sign = if self.new { "+" } else { "-" };
        let accepted = if self.accepted { ", accepted" } else { "" };
        format!("{sign} {}{accepted}: {} [{}]", self.severity, self.message, self.code)
    }
}

/// Findings are equal when code, step and teeth are equal, whatever the figure.
fn same(a: &Finding, b: &Finding) -> bool {
    a.code == b.code
        && a.step == b.step
        && a.teeth == b.teeth
        && a.severity == b.severity
        && a.accepted.is_some() == b.accepted.is_some()
}

pub fn changes(old: &Plan<'_>, new: &Plan<'_>) -> Vec<FindingChange> {
    let told = |f: &Finding, new: bool| FindingChange {
        new,
        code: f.code.clone(),
        severity: f.severity,
        message: masked(&f.message),
        accepted: f.accepted.is_some(),
    };
    let come = new.findings.iter().filter(|f| !old.findings.iter().any(|o| same(o, f)));
    let gone = old.findings.iter().filter(|f| !new.findings.iter().any(|n| same(n, f)));
    gone.map(|f| told(f, false)).chain(come.map(|f| told(f, true))).collect()
}
