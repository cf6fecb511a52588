//! Bends and torque larger than a tooth can follow in one go.

use crate::prelude::*;
use crate::support::strength::is_rigid_alloy;
use springline_model::case::Caution;
use springline_model::stand::Stand;

pub const RULE: Rule = Rule {
    code: "force/asked-at-once",
    severity: Severity::Error,
    page: include_str!("asked_at_once.md"),
    check,
    figure: Some(ToothFigure { judges: Judges::NoForce, unsaid: Unsaid::Never }),
    ..Rule::PLAIN
};

const TORQUE_DEG: f64 = 25.0;
const TORQUE_STOPS_DEG: f64 = 40.0;
/// A bend that a tooth follows until the next visit.
const NOW_MM: f64 = 0.3;
const NOW_DEG: f64 = 5.0;
/// So many times the figure that stops, and the bend itself is an error.
const TWICE: f64 = 2.0;

/// The message gives only the size of the bend.
pub(super) fn is_said(view: &StepView<'_>, by: &Stand) -> bool {
    bent(view, by).is_some()
}

/// Severity, figure, limit and unit of a bend that is too large.
fn bent(view: &StepView<'_>, by: &Stand) -> Option<(Severity, f64, f64, Unit)> {
    if !is_rigid_alloy(&view.wire().wire) {
        return None;
    }
    let stop = |limit: Limit| {
        let figures = view.case.house.limits.of(limit).value;
        figures.stop.unwrap_or(figures.warn)
    };
    let length = by
        .in_out
        .map(|(l, _)| mm(l.length()))
        .into_iter()
        .chain(by.up_down.map(|(l, _)| mm(l.length())));
    let angle = by
        .rotated
        .map(|(a, _)| degrees(a.angle()))
        .into_iter()
        .chain(by.tipped.map(|(a, _)| degrees(a)));
    let all = length
        .map(|v| (v, stop(Limit::Misfit), Unit::Mm))
        .chain(angle.map(|v| (v, stop(Limit::Turn), Unit::Deg)));
    let (value, limit, unit) = all.max_by(|a, b| (a.0 / a.1).total_cmp(&(b.0 / b.1)))?;
    let severity = match value {
        v if v > limit * TWICE + 1e-9 => Severity::Error,
        v if v > limit + 1e-9 => Severity::Warning,
        _ => return None,
    };
    Some((severity, value, limit, unit))
}

/// What a tooth with a caution bears of the usual torque: half, as of forces.
const CAUTION_SHARE: f64 = 0.5;

/// The caution of one of these teeth.
fn careful<'v>(view: &StepView<'v>, teeth: &[Tooth]) -> Option<&'v Caution> {
    view.arch.cautions.iter().find(|c| teeth.contains(&c.tooth))
}

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views().into_iter().filter(|v| !v.is_in_mouth()) {
        for act in &view.step.acts {
            let (teeth, (severity, value, limit, unit), what) = match &act.kind {
                ActKind::Bend { teeth, by } => match bent(&view, by) {
                    Some(past) => (teeth, past, "Bend"),
                    None => continue,
                },
                ActKind::Torque { teeth, angle, .. } if !view.wire().wire.section.is_round() => {
                    let deg = degrees(*angle);
                    let share = if careful(&view, teeth).is_some() { CAUTION_SHARE } else { 1.0 };
                    let stops = deg > TORQUE_STOPS_DEG * share + 1e-9;
                    let severity = if stops { Severity::Error } else { Severity::Warning };
                    let limit = TORQUE_DEG * share;
                    if deg <= limit + 1e-9 {
                        continue;
                    }
                    (teeth, (severity, deg, limit, Unit::Deg), "Torque")
                }
                _ => continue,
            };
            let say = |v: f64| if unit == Unit::Mm { say_mm(v) } else { say_deg(v) };
            let mut finding = view
                .finding(
                    RULE.code,
                    severity,
                    view.act_place(act),
                    format!(
                        "{what} at {1} is {0} in {2} ({3}); limit {4}.",
                        say(value),
                        words.teeth(teeth),
                        view.step.name,
                        view.wire().label(),
                        say(limit)
                    ),
                )
                .why("A tooth can follow only so far at a time; the rest is excess force.")
                .figure(tenth(value), limit, unit)
                .teeth(teeth.iter().copied());
            if let ("Torque", Some(caution)) = (what, careful(&view, teeth)) {
                finding = finding.note(format!(
                    "{}: {}. Limits are halved for this tooth.",
                    words.tooth(caution.tooth),
                    caution.why
                ));
            }
            let now = match (what, unit) {
                ("Torque", _) => limit,
                (_, Unit::Mm) => NOW_MM,
                _ => NOW_DEG,
            };
            finding.fixes.extend(context.less_now(act.place, value, now, unit));
            list.push(Candidate::new(view.side(), value / limit, finding));
        }
    }
    merge_per_arch(words, list, out);
}
