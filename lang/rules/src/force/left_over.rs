//! Steel or beta-titanium where teeth are not in line yet.

use super::verdict::{self, judge_sustained, left_over, lightest_g};
use crate::prelude::*;
use crate::support::strength::is_rigid_alloy;
use springline_course::{ToothLoad, ToothPose};
use springline_finding::Fix;
use springline_model::{Origin, Step};

pub const RULE: Rule = Rule {
    code: "force/left-over",
    severity: Severity::Error,
    page: include_str!("left_over.md"),
    check,
    figure: Some(ToothFigure {
        judges: Judges::LeftOver,
        unsaid: Unsaid::Past(&[Limit::Misfit, Limit::Turn]),
    }),
    verdict: Some(verdict::by_rest),
    ..Rule::PLAIN
};

/// Entries are made in half millimetres and five degrees: half of that each way.
const ENTRY_MM: f64 = 0.25;
const ENTRY_DEG: f64 = 2.5;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let left = left_over(&view);
        let Some(worst) = left.first() else { continue };
        let tooth = worst.past.tooth;
        let (value, limit) = (worst.past.value, worst.past.limit);
        let (half, say): (f64, fn(f64) -> String) = match worst.unit {
            Unit::Mm => (ENTRY_MM, say_mm),
            _ => (ENTRY_DEG, say_deg),
        };
        let name = words.tooth(tooth);
        let found = ToothPose::from_stand(tooth, &current_stand(view.case, view.arch, tooth));
        let found = match worst.unit {
            Unit::Mm => found.off_mm(),
            _ => found.turned_deg(),
        };
        let as_found = (found - value).abs() < half / 2.0;
        let seen =
            view.phase.and_then(|p| p.tooth(tooth)).is_some_and(|t| t.origin == Origin::Visit);
        let how = if let Some(step) = moved_under(&view, tooth) {
            let anew = format!("{name}, whose bracket is repositioned in {}, is", step.name);
            format!("{anew} expected to be {} out of line", say(value))
        } else if as_found && (seen || view.index == 0 || !has_been_in_a_wire(&view, tooth)) {
            format!(
                "{name} is recorded {} out of line ({} to {})",
                say(value),
                plain(tenth((value - half).max(0.0))),
                say(value + half)
            )
        } else if has_been_in_a_wire(&view, tooth) {
            format!("{name} is expected to be still {} out of line", say(value))
        } else {
            format!("{name} is expected to be {} out of line", say(value))
        };
        let mut finding = view
            .finding(
                RULE.code,
                worst.past.severity,
                view.case_place(),
                format!(
                    "{how} when {} is placed for {}; limit {}.",
                    view.wire().label(),
                    view.step.name,
                    say(limit)
                ),
            )
            .why("A stiff wire puts its whole force on that tooth: check at the chair, or allow another visit.")
            .figure(
                if worst.unit == Unit::Mm { (value * 100.0).round() / 100.0 } else { value.round() },
                limit,
                worst.unit,
            )
            .teeth(left.iter().map(|l| l.past.tooth));
        for other in left.iter().skip(1).take(3) {
            let text = if other.unit == Unit::Mm {
                say_mm(other.past.value)
            } else {
                say_deg(other.past.value)
            };
            finding = finding.note(format!("{} {text}.", words.tooth(other.past.tooth)));
        }
        let moved = moved_under(&view, tooth);
        if let Some(step) = moved {
            finding.fixes.extend(before_moving(context, &view, step));
        } else if let Some((name, grams)) = flexible_instead(context, &view)
            && let Some(fix) = context
                .fix(format!("{name} in {}", view.step.name))
                .set_clause(view.arch, view.step, ClauseKind::Wire, &name)
                .done()
        {
            finding = finding
                .fix(fix.outcome(format!("with {name}: {} g sustained", plain(grams.round()))));
        }
        if moved.is_none() {
            let more =
                [lighter_wire::wait_longer(context, &view), lighter_wire::split(context, &view)];
            finding.fixes.extend(more.into_iter().flatten());
        }
        list.push(Candidate::new(view.side(), value / limit, finding));
    }
    merge_per_arch(words, list, out);
}

/// An earlier wire has engaged the tooth, in the plan or by a record.
fn has_been_in_a_wire(view: &StepView<'_>, tooth: Tooth) -> bool {
    let by_plan = (0..view.index).any(|step| {
        let state = view.context.forecast.state_of_step(view.side(), step);
        state.is_some_and(|s| s.status(tooth).is_in_wire())
    });
    let in_place = view.case.in_place.as_ref().is_some_and(|p| p.wires.contains_key(&view.side()));
    by_plan || (in_place && view.index == 0 && view.is_in_mouth())
}

/// The earlier step in which the tooth's bracket was repositioned under a rigid wire, with no other kind
/// of wire since: the error is there, not in the later wire.
fn moved_under<'a>(view: &StepView<'a>, tooth: Tooth) -> Option<&'a Step> {
    let earlier = view.arch.steps[..view.index].iter().rev();
    let mut stiff = earlier.take_while(|s| is_rigid_alloy(&s.wire.wire));
    stiff.find(|step| {
        step.acts.iter().any(|act| match &act.kind {
            ActKind::Reposition { teeth, .. } | ActKind::Rebond { teeth, .. } => {
                teeth.contains(&tooth)
            }
            _ => false,
        })
    })
}

/// A superelastic wire in the step that moves the bracket, if that is still to come.
fn before_moving(context: &RuleContext<'_>, view: &StepView<'_>, step: &Step) -> Option<Fix> {
    let index = view.arch.steps.iter().position(|s| s.name == step.name)?;
    let there = context.step_view(view.side(), index).filter(|v| !v.is_in_mouth())?;
    lighter_wire::lighter(context, &there)
}

/// The stiffest superelastic wire in stock whose sustained force is within the limits, computed at the
/// present positions.
fn flexible_instead(context: &RuleContext<'_>, view: &StepView<'_>) -> Option<(String, f64)> {
    let phase = view.phase?;
    let lightest = || lightest_g(&phase.insertion);
    let mut drawer: Vec<_> = context
        .case
        .house
        .wires
        .values()
        .filter(|w| w.alloy.is_niti() && !w.section.is_round())
        .collect();
    drawer.sort_by(|a, b| {
        let area = |w: &springline_model::Wire| {
            let (h, d) = sizes_mm(w.section);
            h * d
        };
        area(b).total_cmp(&area(a))
    });
    drawer.into_iter().take(4).find_map(|wire| {
        let insertion = phase.trial(wire);
        if insertion.refused.is_some() {
            return None;
        }
        let grams = |load: &ToothLoad| newtons_to_grams(load.sustained_n);
        let quiet = insertion
            .teeth
            .iter()
            .all(|load| judge_sustained(view, load.tooth, grams(load), &lightest).is_none());
        let worst = insertion.worst_sustained().map_or(0.0, grams);
        quiet.then(|| (wire.name.to_string(), worst))
    })
}
