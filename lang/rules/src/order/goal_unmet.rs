//! A goal that nothing in the plan works towards, or that was not reached.

use crate::prelude::*;
use crate::support::midline::{MidlineTarget, wanted};
use springline_model::case::{ArchCase, Case, ElasticsKind, say_overjet};
use springline_model::house::Task;

pub const RULE: Rule = Rule {
    code: "order/goal-unmet",
    severity: Severity::Warning,
    page: include_str!("goal_unmet.md"),
    check,
    ..Rule::PLAIN
};

const OVERJET_MM: f64 = 1.0;
const MIDLINE_MM: f64 = 1.0;
const SPACE_MM: f64 = 0.3;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let Some(goal) = &case.goal else { return };
    let Some(place) = goal.place else { return };
    if case.arches.iter().any(|arch| arch.is_unread()) {
        return;
    }
    let debonded = case.visits.iter().any(|v| v.kind == Some(Task::Debond));
    let acts = || {
        case.arches
            .iter()
            .flat_map(|a| a.steps.iter().map(move |s| (a, s)))
            .flat_map(|(a, s)| s.acts.iter().map(move |x| (a, x)))
    };
    let closing = acts().any(|(_, a)| matches!(a.kind, ActKind::ClosingCoil { .. }));
    let chained = acts().any(|(_, a)| matches!(a.kind, ActKind::Chain { .. }));
    let mut found: Vec<(String, Option<(f64, f64)>)> = Vec::new();

    if let (Some(now), Some((want, _))) = (context.bite().overjet_mm, &goal.bite.overjet) {
        let (now, want) = (now.value, want.mm());
        let off = now - want;
        // A small overjet grows as the front teeth line up; one that is reversed does not come right of itself.
        let counts = off > OVERJET_MM + 1e-9 || (now < 0.0 && off < -OVERJET_MM - 1e-9);
        let way = if off > 0.0 { OverjetWay::Down } else { OverjetWay::Up };
        if counts && (debonded || !works_on_overjet(case, way)) {
            let end = match (debonded, way) {
                (true, _) => "at the end",
                (false, OverjetWay::Down) => "and nothing in the plan reduces it",
                (false, OverjetWay::Up) => "and nothing in the plan corrects it",
            };
            found.push((
                format!(
                    "The overjet is {}, the goal {}, {end}.",
                    say_overjet(now),
                    say_overjet(want)
                ),
                Some((tenth(off.abs()), OVERJET_MM)),
            ));
        }
    }
    for arch in &case.arches {
        let stated = goal.bite.midlines.contains_key(&arch.arch);
        let MidlineTarget::Go(way, by) = wanted(context, arch) else { continue };
        if !stated || by <= MIDLINE_MM + 1e-9 || (!debonded && moves_midline(context, arch.arch)) {
            continue;
        }
        found.push((
            format!(
                "The {} midline has to move {} to the patient's {way}, and nothing in the plan moves it.",
                arch.arch,
                say_mm(by)
            ),
            Some((tenth(by), MIDLINE_MM)),
        ));
    }
    let gaps: f64 = case.arches.iter().flat_map(|a| &a.gaps).map(|g| mm(g.length)).sum();
    if goal.spaces_closed && gaps > SPACE_MM && !closing && !chained {
        found.push((
            format!(
                "Spaces of {} are to be closed, and nothing in the plan closes them.",
                say_mm(gaps)
            ),
            Some((tenth(gaps), SPACE_MM)),
        ));
    }
    let left: Vec<Tooth> = goal
        .over_the_bite
        .iter()
        .copied()
        .filter(|t| {
            !context.views().iter().any(|v| {
                let status = v.state.status(*t);
                status.is_in_wire() || status == springline_course::ToothStatus::Piggyback
            }) && !context.bite().over_the_bite.contains(t)
        })
        .collect();
    if !left.is_empty() {
        found.push((
            format!(
                "{} is to come out of crossbite, but is never in the wire.",
                context.words().teeth(&left)
            ),
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

/// Required direction of the overjet: decrease, or increase from a reverse one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum OverjetWay {
    Down,
    Up,
}

/// Something in the plan takes the overjet that way: class II elastics and closing upper spaces down, class III
/// elastics and closing lower spaces up.
pub(super) fn works_on_overjet(case: &Case, way: OverjetWay) -> bool {
    let (kind, arch) = match way {
        OverjetWay::Down => (ElasticsKind::Class2, Arch::Upper),
        OverjetWay::Up => (ElasticsKind::Class3, Arch::Lower),
    };
    let chain = |act: &Act| matches!(act.kind, ActKind::Chain { .. }) && way == OverjetWay::Up;
    case.elastics.iter().any(|e| e.kind == kind)
        || case.arch(arch).is_some_and(|a| {
            let mut acts = a.steps.iter().flat_map(|s| &s.acts);
            acts.any(|act| chain(act) || closes(a, &act.kind))
        })
}

/// A closing spring, or a chain over a space: what is written as a gap, or what an absent tooth leaves.
fn closes(arch: &ArchCase, act: &ActKind) -> bool {
    match act {
        ActKind::ClosingCoil { .. } => true,
        ActKind::Chain { teeth, .. } => {
            let over = |t: &Tooth| {
                teeth.iter().any(|x| x.place() <= t.place())
                    && teeth.iter().any(|x| t.place() <= x.place())
            };
            arch.gaps.iter().any(|g| over(&g.first) && over(&g.second))
                || arch.states.iter().any(|(t, (state, _))| state.is_absent() && over(t))
        }
        _ => false,
    }
}

/// Something in the plan carries that arch's midline.
fn moves_midline(context: &RuleContext<'_>, arch: Arch) -> bool {
    let case = context.case;
    let elastics = case.elastics.iter().any(|e| {
        let on = |side| {
            e.runs
                .iter()
                .filter(|r| r.side == side)
                .map(|r| grams(r.elastic.force) * r.hours_a_day)
                .sum::<f64>()
        };
        e.kind == ElasticsKind::Diagonal || (on(Side::Right) - on(Side::Left)).abs() > 1.0
    });
    let in_arch = case.arch(arch).is_some_and(|a| {
        let one_sided_gap = {
            let of = |side| -> f64 {
                a.gaps.iter().filter(|g| g.first.side() == side).map(|g| mm(g.length)).sum()
            };
            (of(Side::Right) - of(Side::Left)).abs() > 1.0
        };
        one_sided_gap
            || a.steps
                .iter()
                .flat_map(|s| &s.acts)
                .any(|x| matches!(x.kind, ActKind::OpenCoil { .. } | ActKind::Stop { .. }))
    });
    elastics || in_arch
}
