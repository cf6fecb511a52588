//! The second stage of a check: every offered fix is applied to the text and judged before it is shown.
//!
//! The first stage runs at every key and only knows that a fix should mend what was found. Here it is
//! tried: a fix that does not take the finding away, or brings an error that was not there, is withdrawn;
//! the others say what the recomputed plan gives ("then 43 g on 12"). Each try is a whole check that
//! shares the checker's memory, so only the phases that the fix touches are computed; a budget bounds
//! them all the same.

use std::collections::BTreeMap;

use crate::check::{Checked, Checker, Options, Source};
use crate::course::{Forecast, Phase};
use crate::finding::{Edit, FileId, Finding, Fix, FixKind, Place, Severity, Span};
use crate::model::Tooth;
use crate::model::quantity::{newtons_to_grams, plain};
use crate::resolve::Library;
use crate::rules::force::{Judges, judges};
use crate::rules::rule;

/// How many fixes are tried for one case; those of later findings stay as they were offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Budget {
    pub tries: usize,
}

impl Default for Budget {
    fn default() -> Budget {
        Budget { tries: 24 }
    }
}

/// What trying a fix gave.
#[derive(Debug, Clone, PartialEq)]
pub enum Tried {
    /// It mends, and this is what the recomputed plan says.
    Mends(String),
    /// The finding stands after it, or an error is new.
    Fails,
    /// It changes another file than the case, or is only about the text: not judged here.
    NotTried,
}

impl Checker {
    /// Tries the fixes of all findings, worst finding first.
    pub fn try_fixes(
        &mut self,
        mut checked: Checked,
        library: &dyn Library,
        options: &Options,
        budget: Budget,
    ) -> Checked {
        let mut left = budget.tries;
        let mut findings = std::mem::take(&mut checked.findings);
        let before = Before::of(&findings);
        for finding in findings.iter_mut().filter(|f| f.accepted.is_none()) {
            let offered = std::mem::take(&mut finding.fixes);
            for fix in offered {
                if left == 0 {
                    finding.fixes.push(fix);
                    continue;
                }
                match self.tried(&checked, &before, finding, &fix, library, options) {
                    Tried::Fails => left -= 1,
                    Tried::NotTried => finding.fixes.push(fix),
                    Tried::Mends(outcome) => {
                        left -= 1;
                        finding.fixes.push(fix.outcome(outcome));
                    }
                }
            }
        }
        checked.findings = findings;
        checked
    }

    /// Tries one fix of one finding of a checked case.
    pub fn try_fix(
        &mut self,
        checked: &Checked,
        finding: &Finding,
        fix: &Fix,
        library: &dyn Library,
        options: &Options,
    ) -> Tried {
        let before = Before::of(&checked.findings);
        self.tried(checked, &before, finding, fix, library, options)
    }

    /// A fix that would leave a line without effect takes that line out as well.
    pub fn tidied(&mut self, checked: &Checked, fix: Fix, library: &dyn Library) -> Fix {
        let elsewhere = fix.edits.iter().any(|e| e.place.file != FileId(0));
        let Some(file) = checked.file(FileId(0)).filter(|_| !elsewhere) else { return fix };
        let Some(mended) = fix.apply(FileId(0), &file.text) else { return fix };
        let idle = |text: &str, findings: &[Finding]| -> Vec<(Span, String)> {
            let found = findings.iter().filter(|f| f.code.0 == IDLE && f.place.file == FileId(0));
            let line = |f: &Finding| whole_line(text, f.place.span);
            found.map(|f| (line(f), text[line(f).range()].to_owned())).collect()
        };
        let before = idle(&file.text, &checked.findings);
        let source = Source { name: file.name.clone(), text: mended.as_str().into() };
        let read = self.read(&source, library);
        let mut tidy = mended.clone();
        for (span, line) in idle(&mended, &read.findings).into_iter().rev() {
            // A line that opens braces holds more than itself.
            if !line.contains('{') && before.iter().all(|(_, known)| *known != line) {
                tidy.replace_range(span.range(), "");
            }
        }
        if tidy == mended {
            return fix;
        }
        Fix { edits: vec![between(&file.text, &tidy)], ..fix }
    }

    fn tried(
        &mut self,
        checked: &Checked,
        before: &Before,
        finding: &Finding,
        fix: &Fix,
        library: &dyn Library,
        options: &Options,
    ) -> Tried {
        let elsewhere = fix.edits.iter().any(|e| e.place.file != FileId(0));
        if fix.kind == FixKind::Safe || finding.code.is_language() || elsewhere {
            return Tried::NotTried;
        }
        let Some(file) = checked.file(FileId(0)) else { return Tried::NotTried };
        let Some(text) = fix.apply(FileId(0), &file.text) else { return Tried::Fails };
        let source = Source { name: file.name.clone(), text: text.into() };
        let after = self.check(&source, library, options);
        let now = Before::of(&after.findings);
        if after.case.is_none() || !before.is_mended(finding, &now) {
            return Tried::Fails;
        }
        let brought = before.brought(&now);
        // What costs more than it mends is not offered: no warning for advice, one for a warning.
        let most = match finding.severity {
            Severity::Error => 3,
            Severity::Warning => 1,
            Severity::Advice => 0,
        };
        if brought.len() > most {
            return Tried::Fails;
        }
        let mut said: Vec<String> = figure(finding, checked, &after).into_iter().collect();
        if said.is_empty() {
            // Geometry the rule has worked out itself: no figure of the course says it better.
            said.extend(fix.outcome.clone());
        }
        if !brought.is_empty() {
            // Its title says more to a reader than its name.
            let titles: Vec<&str> =
                brought.iter().map(|code| rule(code).map_or(*code, |r| r.title)).collect();
            said.push(format!("also causes: {}", titles.join(", and ")));
        }
        if said.is_empty() {
            said.push("checked: resolves this finding".to_owned());
        }
        Tried::Mends(said.join("; "))
    }
}

const IDLE: &str = "name/change-without-effect";

/// The line or lines of a stretch of text, with the last one's end.
fn whole_line(text: &str, span: Span) -> Span {
    let start = text[..span.start as usize].rfind('\n').map_or(0, |i| i + 1);
    let rest = &text[span.end as usize..];
    let end = span.end as usize + rest.find('\n').map_or(rest.len(), |i| i + 1);
    Span::new(start, end)
}

/// The one edit that turns a text into another.
fn between(old: &str, new: &str) -> Edit {
    let same = |(a, b): &(char, char)| a == b;
    let head: usize =
        old.chars().zip(new.chars()).take_while(same).map(|(c, _)| c.len_utf8()).sum();
    let (a, b) = (&old[head..], &new[head..]);
    let tail: usize =
        a.chars().rev().zip(b.chars().rev()).take_while(same).map(|(c, _)| c.len_utf8()).sum();
    let place = Place { file: FileId(0), span: Span::new(head, old.len() - tail) };
    Edit { place, text: b[..b.len() - tail].to_owned() }
}

type Kind = (&'static str, Option<String>);

/// How often each kind of finding stands in a case, by step.
struct Before {
    kinds: BTreeMap<Kind, usize>,
    errors: BTreeMap<&'static str, usize>,
    warnings: BTreeMap<&'static str, usize>,
}

impl Before {
    fn of(findings: &[Finding]) -> Before {
        let mut out =
            Before { kinds: BTreeMap::new(), errors: BTreeMap::new(), warnings: BTreeMap::new() };
        for finding in findings.iter().filter(|f| f.accepted.is_none()) {
            *out.kinds.entry(kind(finding)).or_default() += 1;
            match finding.severity {
                Severity::Error => *out.errors.entry(finding.code.0).or_default() += 1,
                Severity::Warning => *out.warnings.entry(finding.code.0).or_default() += 1,
                Severity::Advice => {}
            }
        }
        out
    }

    /// The finding is gone, and no error is new.
    fn is_mended(&self, finding: &Finding, now: &Before) -> bool {
        let count = |of: &Before| of.kinds.get(&kind(finding)).copied().unwrap_or(0);
        let more = |code: &&str| now.errors.get(*code) > self.errors.get(*code);
        count(now) < count(self) && !now.errors.keys().any(more)
    }

    /// Warnings that only the fix brings.
    fn brought(&self, now: &Before) -> Vec<&'static str> {
        let more = |code: &&&'static str| now.warnings.get(**code) > self.warnings.get(**code);
        now.warnings.keys().filter(more).copied().collect()
    }
}

fn kind(finding: &Finding) -> Kind {
    (finding.code.0, finding.step.as_ref().map(|s| s.to_string()))
}

/// The figure of the finding in the recomputed plan: "with niti-14 instead: 43 g on 12", or, where the
/// wire of the step stays, "then 43 g on 12".
fn figure(finding: &Finding, before: &Checked, after: &Checked) -> Option<String> {
    let (case, forecast) = (after.case.as_ref()?, after.forecast.as_ref()?);
    let tooth = *finding.teeth.first()?;
    let step = finding.step.as_ref()?;
    let on = tooth.write(case.house.notation.value);
    let now = phase(forecast, step, tooth)?;
    let was = before.forecast.as_ref().and_then(|f| phase(f, step, tooth));
    let other = was.is_some_and(|w| !w.wire.same_wires(&now.wire));
    let then = match other {
        true => format!("with {} instead:", now.wire.names()),
        false => "then".to_owned(),
    };
    if let Some((value, unit)) = left(finding, now, tooth) {
        return Some(format!("{then} {value} {unit} out of line at {on}"));
    }
    let (value, unit) = value_of(judges(finding.code.0)?, now, tooth)?;
    Some(format!("{then} {} {unit} on {on}", plain(value.round())))
}

fn phase<'f>(forecast: &'f Forecast, step: &str, tooth: Tooth) -> Option<&'f Phase> {
    forecast.arch(tooth.arch())?.phases.iter().rev().find(|p| *p.name == *step)
}

/// What is left for a wire that cannot flex, in the unit of the finding.
fn left(finding: &Finding, phase: &Phase, tooth: Tooth) -> Option<(String, &'static str)> {
    let unit = finding.figure.as_ref()?.unit;
    if judges(finding.code.0) != Some(Judges::LeftOver) || phase.wire.wire.alloy.is_niti() {
        return None;
    }
    let entry = phase.tooth(tooth)?.entry;
    Some(match unit {
        "mm" => (plain((entry.off_mm() * 10.0).round() / 10.0), unit),
        _ => {
            let rad = entry.rotated_rad.abs().max(entry.tipped_rad.abs());
            (plain(rad.to_degrees().round()), unit)
        }
    })
}

/// The figure that a rule judges, in the recomputed phase.
fn value_of(judges: Judges, phase: &Phase, tooth: Tooth) -> Option<(f64, &'static str)> {
    let load = phase.insertion.tooth(tooth)?;
    let couple = |a: &crate::course::Action| {
        a.rotation_nmm.abs().max(a.tip_nmm.abs()).max(a.torque_nmm.abs())
    };
    match judges {
        Judges::Sustained => Some((newtons_to_grams(load.sustained_n), "g")),
        Judges::Delivered | Judges::LeftOver => Some((newtons_to_grams(load.delivered_n), "g")),
        Judges::Intrusion => Some((newtons_to_grams(load.delivered.gingival_n), "g")),
        Judges::Peak => Some((newtons_to_grams(load.peak_n), "g")),
        Judges::Couple => Some((couple(&load.delivered), "N\u{b7}mm")),
        Judges::Torque => {
            let torque = crate::course::torque::torque(phase, tooth)?;
            Some((torque.arrives_deg.abs(), "deg expressed"))
        }
        Judges::NoForce => None,
    }
}
