//! Whether a mutant was found, and where: by the findings that the sound text did not have.

use std::collections::BTreeMap;

use springline_lang::Checked;
use springline_lang::finding::{Finding, Severity};
use springline_lang::text::FileId;

use super::{Mutant, Operator};

/// What became of a mutant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// An error or warning of a right family at a right line.
    Right,
    /// An error or warning, of another family or at another line.
    Otherwise,
    /// No new error or warning.
    Missed,
}

/// A mutant judged.
#[derive(Debug, Clone)]
pub struct Outcome {
    pub verdict: Verdict,
    /// The findings that are new: line, severity, code, message.
    pub new: Vec<(usize, Severity, String, String)>,
}

/// Worse than this many times the figure it had, and a finding that stood before is new again.
const GROWN: f64 = 1.2;

pub fn line_of(checked: &Checked, finding: &Finding) -> usize {
    if finding.place.file != FileId(0) {
        return 0;
    }
    let text = checked.parse.source.as_ref();
    let start = finding.place.span.start as usize;
    text.get(..start).map_or(0, |t| t.matches('\n').count() + 1)
}

/// What a finding is about, whatever the text around it: not its line, nor its words.
fn about(finding: &Finding) -> (String, Option<String>, Vec<u32>) {
    let mut teeth: Vec<u32> = finding.teeth.iter().map(|t| t.code()).collect();
    teeth.sort_unstable();
    (finding.code.as_str().to_owned(), finding.step.as_ref().map(|s| s.to_string()), teeth)
}

/// How bad it is: severity, then how often its figure is its limit.
fn weight(finding: &Finding) -> (Severity, f64) {
    let times = finding.figure.as_ref().map_or(1.0, |f| {
        let (value, limit) = (f.value.abs().max(1e-9), f.limit.abs().max(1e-9));
        (value / limit).max(limit / value)
    });
    (finding.severity, times)
}

fn open(checked: &Checked) -> impl Iterator<Item = &Finding> {
    checked.findings.iter().filter(|f| f.accepted.is_none())
}

/// The findings of `after` that `before` did not have, or had milder.
pub fn new_findings<'a>(before: &Checked, after: &'a Checked) -> Vec<&'a Finding> {
    let mut had: BTreeMap<_, Vec<(Severity, f64)>> = BTreeMap::new();
    for finding in open(before) {
        had.entry(about(finding)).or_default().push(weight(finding));
    }
    let mut out = Vec::new();
    for finding in open(after) {
        let (severity, times) = weight(finding);
        let same = had.get_mut(&about(finding)).and_then(|list| {
            let milder = |(s, t): &(Severity, f64)| *s <= severity && *t * GROWN >= times;
            let at = list.iter().position(milder)?;
            Some(list.remove(at))
        });
        if same.is_none() {
            out.push(finding);
        }
    }
    out
}

/// Judges an unsafe mutant.
pub fn judge(operator: &Operator, mutant: &Mutant, before: &Checked, after: &Checked) -> Outcome {
    let new = new_findings(before, after);
    let serious = |f: &&&Finding| f.severity != Severity::Advice;
    let right = |f: &&&Finding| {
        operator.families.contains(&f.code.family()) && mutant.lines.contains(&line_of(after, f))
    };
    let verdict = if new.iter().filter(serious).any(|f| right(&f)) {
        Verdict::Right
    } else if new.iter().any(|f| serious(&f)) {
        Verdict::Otherwise
    } else {
        Verdict::Missed
    };
    Outcome { verdict, new: told(after, &new) }
}

/// Judges a harmless one by what findings there are of each kind, for names and lines may have changed.
pub fn judge_harmless(before: &Checked, after: &Checked) -> Outcome {
    let count = |checked: &Checked| {
        let mut out: BTreeMap<(String, Severity, bool), i64> = BTreeMap::new();
        for f in &checked.findings {
            *out.entry((f.code.as_str().to_owned(), f.severity, f.accepted.is_some()))
                .or_default() += 1;
        }
        out
    };
    let had = count(before);
    let mut more: Vec<&Finding> = Vec::new();
    for (key, n) in count(after) {
        let extra = n - had.get(&key).copied().unwrap_or(0);
        let of_kind = after.findings.iter().filter(|f| {
            f.code.as_str() == key.0 && f.severity == key.1 && f.accepted.is_some() == key.2
        });
        more.extend(of_kind.take(extra.max(0) as usize));
    }
    let verdict = if more.is_empty() { Verdict::Right } else { Verdict::Otherwise };
    Outcome { verdict, new: told(after, &more) }
}

fn told(checked: &Checked, findings: &[&Finding]) -> Vec<(usize, Severity, String, String)> {
    findings
        .iter()
        .map(|f| (line_of(checked, f), f.severity, f.code.as_str().to_owned(), f.message.clone()))
        .collect()
}
