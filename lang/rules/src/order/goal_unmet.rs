//! A goal that nothing in the plan works towards, or that was not reached.

use crate::prelude::*;
use crate::support::unmet::{Unmet, is_debonded, midline, overjet};
use springline_course::BiteFigure;
use springline_model::case::ElasticsKind;

pub const RULE: Rule = Rule {
    code: "order/goal-unmet",
    severity: Severity::Warning,
    page: include_str!("goal_unmet.md"),
    check,
    ..Rule::PLAIN
};

const SPACE_MM: f64 = 0.3;
/// Molars and canines off by no more than this count as Class I (common practice, no source).
const RELATION_MM: f64 = 1.0;
/// Front teeth overlap this much in a deep bite, mm (common practice, no source).
const DEEP_MM: f64 = 4.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let Some(goal) = &case.goal else { return };
    let Some(place) = goal.place else { return };
    if case.arches.iter().any(|arch| arch.is_unread()) {
        return;
    }
    let mut found: Vec<Unmet> = Vec::new();
    found.extend(overjet(context));
    found.extend(case.arches.iter().filter_map(|arch| midline(context, arch)));
    found.extend(spaces(context));
    found.extend(relation(context));
    found.extend(deep_bite(context));
    let left = never_in_the_wire(context);
    if !left.is_empty() {
        let teeth = context.words().teeth(&left);
        found.push((
            format!("{teeth} is to come out of crossbite, but is never in the wire."),
            None,
        ));
    }
    let Some((message, figure)) = found.first().cloned() else { return };
    let mut finding = Finding::new(RULE.code, RULE.severity, place, message)
        .why("In that respect the plan ends where it began.")
        .teeth(left);
    if let Some((value, limit)) = figure {
        finding = finding.figure(value, limit, Unit::Mm);
    }
    for (more, _) in found.into_iter().skip(1) {
        finding = finding.note(more);
    }
    out.push(finding);
}

/// Molars or canines of another class than the goal's, with nothing that takes them there.
fn relation(context: &RuleContext<'_>) -> Option<Unmet> {
    let case = context.case;
    let goal = case.goal.as_ref()?;
    let elastics =
        case.elastics.iter().any(|e| matches!(e.kind, ElasticsKind::Class2 | ElasticsKind::Class3));
    let mut acts = case.arches.iter().flat_map(|a| &a.steps).flat_map(|s| &s.acts);
    let moved = elastics
        || acts.any(|a| {
            matches!(
                a.kind,
                ActKind::ClosingCoil { .. } | ActKind::Chain { .. } | ActKind::OpenCoil { .. }
            )
        });
    if moved && !is_debonded(case) {
        return None;
    }
    let bite = context.bite();
    // Canines that nobody has entered stand as the molars do, where no tooth is missing.
    let stand_for = bite.canines.is_empty()
        && goal.bite.molars.is_empty()
        && case.arches.iter().flat_map(|a| a.states.values()).all(|(s, _)| !s.is_absent());
    let molars = if stand_for { &goal.bite.canines } else { &goal.bite.molars };
    let pairs = [("molar", &bite.molars, molars), ("canine", &bite.canines, &goal.bite.canines)];
    pairs.into_iter().find_map(|(what, now, wanted)| {
        let (side, is, aim) = now.iter().find_map(|(side, is, _)| {
            let aim = wanted.get(side).filter(|aim| aim.class != is.class)?;
            // A millimetre comes as the teeth line up.
            let little = is.by.is_some_and(|by| mm(by) <= RELATION_MM + 1e-9);
            (!little).then_some((side, is, aim))
        })?;
        let off = is.by.map(|by| (tenth(mm(by)), RELATION_MM));
        let text = format!(
            "The {side} {what} relation is {}, the goal {}, and nothing in the plan changes it.",
            is.class.said(),
            aim.class.said()
        );
        Some((text, off))
    })
}

/// A deep bite that the goal does not mention and the forecast leaves deep.
fn deep_bite(context: &RuleContext<'_>) -> Option<Unmet> {
    let goal = &context.case.goal.as_ref()?.bite;
    let now = context.bite().overbite_mm?.value;
    let end = context.forecast.timeline.debond()?;
    let forecast = end.bite.forecast.iter().find(|f| f.figure == BiteFigure::Overbite)?.value_mm;
    if goal.overbite.is_some() || now <= DEEP_MM + 1e-9 || forecast <= DEEP_MM + 1e-9 {
        return None;
    }
    let text = format!(
        "The overbite is {}, the goal does not mention it, and it is forecast {} at the debond.",
        say_mm(now),
        say_mm(forecast)
    );
    Some((text, Some((tenth(forecast), DEEP_MM))))
}

fn spaces(context: &RuleContext<'_>) -> Option<Unmet> {
    let case = context.case;
    let steps = case.arches.iter().flat_map(|a| &a.steps);
    let mut acts = steps.flat_map(|s| &s.acts);
    let closing =
        acts.any(|a| matches!(a.kind, ActKind::ClosingCoil { .. } | ActKind::Chain { .. }));
    let gaps: f64 = case.arches.iter().flat_map(|a| &a.gaps).map(|g| mm(g.length)).sum();
    if !case.goal.as_ref()?.spaces_closed || gaps <= SPACE_MM || closing {
        return None;
    }
    Some((
        format!(
            "Spaces of {} are to be closed, and nothing in the plan closes them.",
            say_mm(gaps)
        ),
        Some((tenth(gaps), SPACE_MM)),
    ))
}

/// Teeth that are to come out of crossbite and that no wire ever holds.
fn never_in_the_wire(context: &RuleContext<'_>) -> Vec<Tooth> {
    let views = context.views();
    let held = |tooth: Tooth| {
        views.iter().any(|v| {
            let status = v.state.status(tooth);
            status.is_in_wire() || status == springline_course::ToothStatus::Piggyback
        })
    };
    let wanted = context.case.goal.iter().flat_map(|g| &g.over_the_bite).copied();
    wanted.filter(|t| !held(*t) && !context.bite().over_the_bite.contains(t)).collect()
}
