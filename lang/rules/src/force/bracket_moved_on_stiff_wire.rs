//! A bracket placed anew, or a tooth taken in or bonded again, on a stiff wire that cannot follow.

use super::verdict::passes;
use crate::prelude::*;
use crate::support::strength::is_rigid_alloy;
use springline_course::{Obligation, Observation, Phase, ToothPose};
use springline_model::stand::Stand;
use springline_model::step::Wing;

pub const RULE: Rule = Rule {
    code: "force/bracket-moved-on-stiff-wire",
    severity: Severity::Error,
    page: include_str!("bracket_moved_on_stiff_wire.md"),
    check,
    figure: Some(ToothFigure { judges: Judges::NoForce, unsaid: Unsaid::Never }),
    ..Rule::PLAIN
};

/// A bracket is placed anew for half a millimetre or five degrees at least (common practice, no source).
const UNSAID_MM: f64 = 0.5;

/// How far a slot is off the wire: figure, limit, unit.
struct Off {
    severity: Severity,
    value: f64,
    limit: f64,
    unit: Unit,
}

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let stiff = |v: &StepView<'_>| !v.is_in_mouth() && is_rigid_alloy(&v.wire().wire);
    for view in context.views().into_iter().filter(stiff) {
        for act in &view.step.acts {
            let Some((tooth, off, what)) = moved(&view, &act.kind) else { continue };
            let say = |v: f64| if off.unit == Unit::Mm { say_mm(v) } else { say_deg(v) };
            let message = format!(
                "{} {what} in {} on {}: {} off the wire, limit {}.",
                words.tooth(tooth),
                view.step.name,
                view.wire().label(),
                say(off.value),
                say(off.limit)
            );
            let mut finding = view
                .finding(RULE.code, off.severity, view.act_place(act), message)
                .why("A stiff wire bent into the slot puts its whole force on that tooth: go down with the wire first.")
                .figure(tenth(off.value), off.limit, off.unit)
                .teeth([tooth]);
            finding.fixes.extend(lighter_wire::lighter(context, &view));
            list.push(Candidate::new(view.side(), off.value / off.limit, finding));
        }
    }
    merge_per_arch(words, list, out);
}

/// The worst tooth of an act whose slot the wire of the step does not reach.
fn moved(view: &StepView<'_>, act: &ActKind) -> Option<(Tooth, Off, &'static str)> {
    match act {
        ActKind::Reposition { teeth, to } => {
            let tooth = *teeth.first()?;
            let off = by_stand(view, tooth, to)?;
            Some((tooth, off, "gets its bracket placed anew"))
        }
        // Nothing has held it since its bracket came off: the forecast, which has it in the wire, says nothing of it.
        ActKind::Rebond { teeth, .. } => {
            let far = |t: &Tooth| {
                let left = left_where(view, *t)?;
                past(view, *t, left.off_mm(), turned_deg(&left))
            };
            let worst = teeth.iter().filter_map(|t| Some((*t, far(t)?)));
            let (tooth, off) = worst.max_by(|a, b| by_share(&a.1, &b.1))?;
            Some((tooth, off, "is bonded again as it was left"))
        }
        // A wire that goes in new is judged by what is left for it.
        ActKind::PickUp { teeth, .. } | ActKind::Engage { teeth, wing: Wing::Both }
            if !view.wire_goes_in() =>
        {
            let new = teeth.iter().filter(|t| view.is_new_to_wires(**t));
            let worst = new.filter_map(|t| Some((*t, by_pose(view, *t)?)));
            let (tooth, off) = worst.max_by(|a, b| by_share(&a.1, &b.1))?;
            Some((tooth, off, "is taken in"))
        }
        _ => None,
    }
}

fn by_stand(view: &StepView<'_>, tooth: Tooth, to: &Stand) -> Option<Off> {
    let pose = ToothPose::from_stand(tooth, to);
    let said = pose.off_mm() > 1e-9 || pose.off_deg() > 1e-9;
    let mm = if said { pose.off_mm() } else { UNSAID_MM };
    past(view, tooth, mm, turned_deg(&pose))
}

fn by_pose(view: &StepView<'_>, tooth: Tooth) -> Option<Off> {
    let pose = view.pose(tooth);
    past(view, tooth, pose.off_mm(), turned_deg(&pose))
}

fn turned_deg(pose: &ToothPose) -> f64 {
    pose.rotated_rad.abs().max(pose.tipped_rad.abs()).to_degrees()
}

fn by_share(a: &Off, b: &Off) -> std::cmp::Ordering {
    (a.value / a.limit).total_cmp(&(b.value / b.limit))
}

/// Where a tooth stands whose bracket came off and was not put back: as measured since, else as the wire had left it on
/// that day.
fn left_where(view: &StepView<'_>, tooth: Tooth) -> Option<ToothPose> {
    let is_off =
        |o: &&Obligation| o.observed == Observation::Loose(tooth) && o.discharged.is_none();
    let since = view.context.forecast.timeline.obligations().iter().find(is_off)?.since;
    let visits = view.case.visits.iter().filter(|v| v.on >= since);
    // A visit may measure one figure, and a later one another.
    let measured = visits.filter_map(|v| v.stands.get(&tooth)).map(|(stand, _)| *stand);
    if let Some(stand) = measured.reduce(|known, seen| known.updated(seen)) {
        return Some(ToothPose::from_stand(tooth, &stand));
    }
    let mut phases = view.context.forecast.arch(view.side())?.phases.iter();
    let in_it = |p: &&Phase| p.date_in.is_some_and(|d| d <= since);
    let (phase, begun) = phases.rfind(in_it).and_then(|p| Some((p, p.date_in?)))?;
    let at = phase.teeth.iter().position(|t| t.tooth == tooth)?;
    let days = f64::from((since - begun).get_days());
    let (_, poses) = phase.path.iter().take_while(|(day, _)| *day <= days + 1e-9).last()?;
    poses.get(at).copied()
}

fn past(view: &StepView<'_>, tooth: Tooth, mm: f64, deg: f64) -> Option<Off> {
    let limits = &view.case.house.limits;
    let of = |value: f64, limit: Limit, unit: Unit| {
        let (severity, limit) = passes(value, limits.for_tooth(limit, tooth).value)?;
        Some(Off { severity, value, limit, unit })
    };
    let (far, turned) =
        (of(tenth(mm), Limit::Misfit, Unit::Mm), of(deg.round(), Limit::Turn, Unit::Deg));
    match (far, turned) {
        (Some(a), Some(b)) if b.value / b.limit > a.value / a.limit => Some(b),
        (Some(a), _) => Some(a),
        (None, b) => b,
    }
}
