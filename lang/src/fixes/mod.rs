//! Validation of fixes, the second stage of a check: every fix is applied to the text and the result is
//! checked before the fix is offered.
//!
//! The first stage runs at every keystroke and offers fixes unchecked. This stage recomputes the plan
//! with each fix. A fix is kept only if its finding is gone, no other finding is new, no figure gets
//! worse, the treatment still ends and its goals are no farther off, and the plan has lost
//! nothing. Each trial is a whole check that shares the phases already
//! computed, so only the phases that the fix changes are simulated; a budget limits the number of trials.

mod figures;
mod losses;
mod outcome_text;
mod tidy;
mod whole_course;

use std::collections::BTreeMap;

use crate::check::{CheckOptions, Checked, Checker, LoweredFile, SourceText};
use crate::judgement_cache::JudgementCache;
use springline_finding::{Code, Finding, Fix, FixKind, Severity};
use springline_lower::Library;
use springline_rules::rule;
use springline_text::FileId;
use springline_units::tooth::Arch;

pub use losses::lost;

/// Number of fixes tried for one case; later ones stay unvalidated, and say so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Budget {
    pub tries: usize,
}

impl Default for Budget {
    fn default() -> Budget {
        Budget { tries: 24 }
    }
}

/// Note on a fix that was not tried.
pub const NOT_TRIED: &str = "not tested: too many fixes at once";

/// What trying a fix gave.
#[derive(Debug, Clone, PartialEq)]
pub enum Tried {
    /// The fix works: with its outcome in the recomputed plan.
    Mends(Fix),
    Fails(Harm),
    /// It changes another file than the case, or is only about the text: not judged here.
    NotTried,
}

/// Why a fix is withdrawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Harm {
    /// It does not fit the text, or makes one that cannot be read.
    Unreadable,
    /// What was found is found again.
    Stands,
    /// Something is found that was not there before.
    Brings(Code),
    /// A figure past its limit gets worse: which, from what to what.
    Worse(String),
    /// The plan would lose this.
    Loses(String),
}

/// The resources of a trial: a text database and the phases simulated so far.
pub struct Trial<'a> {
    pub read: &'a mut dyn FnMut(&SourceText) -> LoweredFile,
    pub judgements: &'a mut JudgementCache,
    pub options: &'a CheckOptions,
}

impl Checker {
    /// Tries the fixes of all findings, worst finding first.
    pub fn try_fixes(
        &mut self,
        checked: Checked,
        library: &dyn Library,
        options: &CheckOptions,
        budget: Budget,
    ) -> Checked {
        self.with_trial(library, options, |mut trial| trial.try_fixes(checked, budget))
    }

    /// Tries one fix of one finding of a checked case.
    pub fn try_fix(
        &mut self,
        checked: &Checked,
        finding: &Finding,
        fix: &Fix,
        library: &dyn Library,
        options: &CheckOptions,
    ) -> Tried {
        self.with_trial(library, options, |mut trial| trial.try_fix(checked, finding, fix))
    }

    fn with_trial<T>(
        &mut self,
        library: &dyn Library,
        options: &CheckOptions,
        work: impl FnOnce(Trial<'_>) -> T,
    ) -> T {
        let Checker { texts, judgements } = self;
        let mut read = |source: &SourceText| texts.read_trial(source, library);
        work(Trial { read: &mut read, judgements, options })
    }

    /// Whether a fix that is only about the text takes its finding away. Other findings may come with it:
    /// a line that can be read at last is judged for the first time.
    pub fn fixes_text(
        &mut self,
        checked: &Checked,
        finding: &Finding,
        fix: &Fix,
        library: &dyn Library,
    ) -> bool {
        let Some(file) = checked.file(FileId(0)) else { return false };
        let Some(text) = fix.apply(FileId(0), &file.text) else { return false };
        let source = SourceText { name: file.name.clone(), text: text.into() };
        let same = |f: &&Finding| f.code == finding.code && f.message == finding.message;
        let count = |findings: &[Finding]| findings.iter().filter(same).count();
        count(&self.texts.read_trial(&source, library).findings) < count(&checked.findings)
    }
}

impl Trial<'_> {
    /// Tries the fixes of all findings, worst finding first.
    fn try_fixes(&mut self, mut checked: Checked, budget: Budget) -> Checked {
        let mut left = budget.tries;
        let mut findings = checked.findings.clone();
        for finding in findings.iter_mut().filter(|f| f.accepted.is_none()) {
            let offered = std::mem::take(&mut finding.fixes);
            for fix in offered {
                if !is_judged(finding, &fix) {
                    finding.fixes.push(fix);
                } else if left == 0 {
                    finding.fixes.push(fix.outcome(NOT_TRIED));
                } else {
                    left -= 1;
                    if let Tried::Mends(fix) = self.try_fix(&checked, finding, &fix) {
                        finding.fixes.push(fix);
                    }
                }
            }
        }
        checked.findings = findings;
        checked
    }

    /// Tries one fix of one finding of a checked case.
    pub fn try_fix(&mut self, checked: &Checked, finding: &Finding, fix: &Fix) -> Tried {
        if !is_judged(finding, fix) {
            return Tried::NotTried;
        }
        let Some(file) = checked.file(FileId(0)) else { return Tried::NotTried };
        let fix = self.tidied(checked, fix.clone());
        let Some(text) = fix.apply(FileId(0), &file.text) else {
            return Tried::Fails(Harm::Unreadable);
        };
        let source = SourceText { name: file.name.clone(), text: text.into() };
        let read = (self.read)(&source);
        let after = self.judgements.judge_trial(read, self.options);
        if let Some(harm) = harm(checked, &after, finding) {
            return Tried::Fails(harm);
        }
        let mut said: Vec<String> =
            outcome_text::figure(finding, checked, &after).into_iter().collect();
        if said.is_empty() {
            // Geometry computed by the rule itself, for which the course has no figure.
            said.extend(fix.outcome.clone());
        }
        // Findings that a more severe one had suppressed.
        let mut also: Vec<&str> = Vec::new();
        for new in new_findings(checked, &after) {
            let title = rule(new.code.as_str()).map_or(new.code.as_str(), |r| r.page().title);
            if !also.contains(&title) {
                also.push(title);
            }
        }
        if !also.is_empty() {
            said.push(format!("remaining, no worse than before: {}", also.join(", and ")));
        }
        if said.is_empty() {
            said.push("checked: resolves this finding".to_owned());
        }
        said.extend(whole_course::new_end(checked, &after));
        Tried::Mends(fix.outcome(said.join("; ")))
    }
}

/// The one fix of a finding that changes nothing but how the text is written; `None` where there are
/// several to choose from, or where it is in another file.
pub fn only_safe(finding: &Finding) -> Option<&Fix> {
    let mut safe = finding.fixes.iter().filter(|f| f.kind == FixKind::Safe);
    let one = safe.next().filter(|_| safe.next().is_none())?;
    let elsewhere = one.edits.iter().any(|e| e.place.file != finding.place.file);
    (!elsewhere && finding.accepted.is_none()).then_some(one)
}

/// Only what changes the plan is recomputed; and only in the case's own file.
fn is_judged(finding: &Finding, fix: &Fix) -> bool {
    let elsewhere = fix.edits.iter().any(|e| e.place.file != FileId(0));
    fix.kind == FixKind::Clinical && !finding.code.is_language() && !elsewhere
}

/// Reasons to reject a fix, cheapest test first.
fn harm(before: &Checked, after: &Checked, finding: &Finding) -> Option<Harm> {
    let (Some(was), Some(is)) = (&before.case, &after.case) else { return Some(Harm::Unreadable) };
    if count(&after.findings, finding) >= count(&before.findings, finding) {
        return Some(Harm::Stands);
    }
    let spoken = figures::FigureText::of(before, after, finding);
    if let Some(new) = new_findings(before, after).find(|new| !spoken.stood_unsaid(new)) {
        return Some(Harm::Brings(new.code.clone()));
    }
    if let Some(what) = lost(was, is, before.forecast.as_deref(), after.forecast.as_deref()) {
        return Some(Harm::Loses(what));
    }
    if let Some(device) = whole_course::lost_device(was, is, finding) {
        return Some(Harm::Loses(device));
    }
    let worse = figures::worse(before, after).or_else(|| whole_course::worse(before, after));
    worse.map(Harm::Worse)
}

/// Counts of each kind of finding in a case, per arch: errors; errors and warnings; all.
struct FindingTally(BTreeMap<FindingKind, [usize; 3]>);

type FindingKind = (Code, Option<Arch>);

impl FindingTally {
    fn of(findings: &[Finding]) -> FindingTally {
        let mut out: BTreeMap<FindingKind, [usize; 3]> = BTreeMap::new();
        for finding in findings.iter().filter(|f| f.accepted.is_none()) {
            let counts = out.entry(figures::kind(finding)).or_default();
            let milder = match finding.severity {
                Severity::Error => 0,
                Severity::Warning => 1,
                Severity::Advice => 2,
            };
            counts.iter_mut().skip(milder).for_each(|n| *n += 1);
        }
        FindingTally(out)
    }

    /// Of this kind there are more now, or graver ones.
    fn has_fewer(&self, now: &FindingTally, kind: FindingKind) -> bool {
        let counts = |of: &FindingTally| of.0.get(&kind).copied().unwrap_or_default();
        counts(now).iter().zip(counts(self)).any(|(now, had)| *now > had)
    }
}

/// Findings of the kinds of which there are more than before, or graver ones.
fn new_findings<'a>(before: &Checked, after: &'a Checked) -> impl Iterator<Item = &'a Finding> {
    let (had, has) = (FindingTally::of(&before.findings), FindingTally::of(&after.findings));
    let open = after.findings.iter().filter(|f| f.accepted.is_none());
    open.filter(move |f| had.has_fewer(&has, figures::kind(f)))
}

/// How often this finding is made, in whichever step of its arch: one that only goes elsewhere stands.
fn count(findings: &[Finding], of: &Finding) -> usize {
    let same = |f: &&Finding| figures::kind(f) == figures::kind(of) && f.accepted.is_none();
    findings.iter().filter(same).count()
}
