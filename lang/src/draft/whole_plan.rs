//! What the checker says of drafted steps in the whole case: with the other arch, the elastics and the steps after the
//! working wire, which are left out while one arch is drafted.

use super::tried_plan::{TriedPlan, is_open};
use super::{DraftRequest, RoomSaid, frame_of, writing};
use crate::check::SourceText;
use crate::fixes::Trial;
use springline_finding::{Finding, Severity};
use springline_units::tooth::Arch;

/// Errors and warnings that the whole case has with these drafts and had not as written, and that none of them has
/// alone; each with the arch that it is about, where it is about one.
pub fn brought_by_drafts(
    trial: &mut Trial<'_>,
    source: &SourceText,
    drafts: &[(DraftRequest, &TriedPlan)],
) -> Vec<(Option<Arch>, String)> {
    let Some((before, after)) = texts(trial, source, drafts) else { return Vec::new() };
    let before = open_findings(trial, &before);
    let alone = drafts.iter().flat_map(|(_, plan)| plan.findings.iter().map(key));
    let known: Vec<FindingKey<'_>> = before.iter().map(key).chain(alone).collect();
    let what = match drafts {
        [_, _] => "With the elastics, both arches as drafted also have",
        _ => "With the other arch and the elastics it also has",
    };
    let after = open_findings(trial, &after);
    let new = after.iter().filter(|f| !known.iter().any(|k| covers(k, &key(f))));
    new.map(|f| (arch_of(f), format!("{what} this {}: {}", f.severity, f.message))).collect()
}

/// The text that the drafts depart from, and the text with their steps and no line that says they are drafted.
fn texts(
    trial: &mut Trial<'_>,
    source: &SourceText,
    drafts: &[(DraftRequest, &TriedPlan)],
) -> Option<(SourceText, SourceText)> {
    let today = trial.options.today?;
    let (mut before, mut after) = (source.clone(), source.clone());
    for (request, plan) in drafts {
        before = frame_of(trial, &before, request, today, RoomSaid::Here).ok()?.source;
        let frame = frame_of(trial, &after, request, today, RoomSaid::Here).ok()?;
        after.text = writing::written(&frame, &plan.steps, &[])?.into();
    }
    Some((before, after))
}

fn open_findings(trial: &mut Trial<'_>, source: &SourceText) -> Vec<Finding> {
    let Some(case) = (trial.read)(source).case else { return Vec::new() };
    let trees = springline_rules::Trees::new([]);
    let (_, findings) = trial.judgements.judge_part(&case, &trees, trial.options);
    findings.into_iter().filter(is_open).collect()
}

/// What makes two findings the same in two texts of one case. Both arches have steps of the same names.
struct FindingKey<'f> {
    code: &'f str,
    step: Option<&'f str>,
    arch: Option<Arch>,
    severity: Severity,
}

fn key(finding: &Finding) -> FindingKey<'_> {
    FindingKey {
        code: finding.code.as_str(),
        step: finding.step.as_deref(),
        arch: arch_of(finding),
        severity: finding.severity,
    }
}

fn covers(known: &FindingKey<'_>, new: &FindingKey<'_>) -> bool {
    (known.code, known.step, known.arch) == (new.code, new.step, new.arch)
        && known.severity >= new.severity
}

fn arch_of(finding: &Finding) -> Option<Arch> {
    finding.teeth.first().map(|t| t.arch())
}
