//! Whether a fix makes a figure worse: figures named in findings, and figures past a limit for which no
//! finding is shown.

use std::collections::BTreeMap;

use super::FindingKind;
use crate::check::Checked;
use springline_finding::{Figure, Finding};
use springline_model::limits::Limit;
use springline_rules::force::past_limits::{FigurePastLimit, PastLimits, past_limits};
use springline_rules::rule;
use springline_rules::rule::Unsaid;
use springline_units::quantity::plain;

/// Relative tolerance within which a recomputed figure counts as equal.
const SHAKES: f64 = 1.05;
/// The same for a figure at predicted positions after other wires, which vary with every earlier change.
const DRIFTS: f64 = 1.25;

/// Judges nothing but predicted positions.
const LEFT_OVER: &str = "force/left-over";

/// What is worse after than before, in words for a person who looks into why a fix is withdrawn.
pub(super) fn worse(before: &Checked, after: &Checked) -> Option<String> {
    worse_figure(&before.findings, &after.findings).or_else(|| worse_course(before, after))
}

/// The kind of finding, in its arch.
pub(super) fn kind(finding: &Finding) -> FindingKind {
    (finding.code.clone(), finding.teeth.first().map(|t| t.arch()))
}

/// Of each kind of finding the figure farthest past its limit.
fn worse_figure(before: &[Finding], after: &[Finding]) -> Option<String> {
    let (had, has) = (farthest(before), farthest(after));
    has.into_iter().find_map(|(kind, (times, figure))| {
        let (was, old) = had.get(&kind)?;
        let share = if kind.0.as_str() == LEFT_OVER { DRIFTS } else { SHAKES };
        let far = times > was * share;
        far.then(|| format!("{}: {old} before, {figure} after", kind.0))
    })
}

fn farthest(findings: &[Finding]) -> BTreeMap<FindingKind, (f64, Figure)> {
    let mut out: BTreeMap<FindingKind, (f64, Figure)> = BTreeMap::new();
    for finding in findings.iter().filter(|f| f.accepted.is_none()) {
        let Some(figure) = &finding.figure else { continue };
        let times = times(figure);
        let known = out.entry(kind(finding)).or_insert_with(|| (times, figure.clone()));
        if times > known.0 {
            *known = (times, figure.clone());
        }
    }
    out
}

/// How often the limit is in the figure, or, where at least that much is wanted, the figure in the limit.
fn times(figure: &Figure) -> f64 {
    let (value, limit) = (figure.value.abs().max(1e-9), figure.limit.abs().max(1e-9));
    (value / limit).max(limit / value)
}

/// Tooth by tooth and step by step, as the wires go in.
fn worse_course(before: &Checked, after: &Checked) -> Option<String> {
    let (had, has) = (limits_of(before)?, limits_of(after)?);
    has.past.iter().find_map(|now| {
        let was = had.of(now).unwrap_or(now.most);
        is_worse(was, now).then(|| {
            let (limit, unit) = (now.limit.word(), now.limit.unit());
            let (was, value) = (plain(was.round()), plain(now.value.round()));
            format!("{limit} at {} in {}: {was} before, {value} {unit} after", now.tooth, now.step)
        })
    })
}

fn is_worse(was: f64, now: &FigurePastLimit) -> bool {
    let share = if now.predicted { DRIFTS } else { SHAKES };
    now.value > was * share + slack(now.limit)
}

/// Figures without a finding, because a more severe finding covers that wire.
pub(super) struct FigureText<'a> {
    mended: &'a Finding,
    past: Option<(PastLimits, PastLimits)>,
}

impl<'a> FigureText<'a> {
    pub fn of(before: &Checked, after: &Checked, mended: &'a Finding) -> FigureText<'a> {
        FigureText { mended, past: limits_of(before).zip(limits_of(after)) }
    }

    /// A finding that appears only because a more severe one is gone; its figure existed before and was
    /// no better.
    pub fn stood_unsaid(&self, new: &Finding) -> bool {
        let Some((had, has)) = self.past.as_ref().filter(|_| self.mended.code.family() == "force")
        else {
            return false;
        };
        let figure = rule(new.code.as_str()).and_then(|rule| rule.figure);
        let limits = match figure.map_or(Unsaid::Never, |figure| figure.unsaid) {
            Unsaid::Past(limits) => limits,
            Unsaid::Stands => {
                let same = new.teeth.iter().all(|t| self.mended.teeth.contains(t));
                return same && new.step == self.mended.step;
            }
            Unsaid::Never => return false,
        };
        let about = |p: &&FigurePastLimit| {
            let here = new.step.as_ref().is_some_and(|step| p.step == *step);
            here && limits.contains(&p.limit) && new.teeth.contains(&p.tooth)
        };
        let mut now = has.past.iter().filter(about).peekable();
        now.peek().is_some() && now.all(|p| had.of(p).is_some_and(|was| !is_worse(was, p)))
    }
}

/// Smallest relevant difference, in the limit's unit.
fn slack(limit: Limit) -> f64 {
    match limit.unit() {
        "mm" => 0.05,
        "g" => 2.0,
        _ => 0.5,
    }
}

fn limits_of(checked: &Checked) -> Option<PastLimits> {
    checked.course().map(|(case, forecast)| past_limits(case, forecast))
}
