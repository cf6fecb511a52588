//! A tooth in crossbite that the plan leaves there.

use crate::prelude::*;
use springline_course::VisitMoment;
use springline_model::case::{Case, ElasticsKind};
use springline_model::step::ActKind;

pub const RULE: Rule = Rule {
    code: "order/crossbite-left",
    severity: Severity::Warning,
    page: include_str!("crossbite_left.md"),
    check,
    ..Rule::PLAIN
};

/// So far behind its neighbours' line a tooth is still in crossbite, mm (common practice, no source; the forecast
/// takes raisers off at the same).
const BEHIND_MM: f64 = 0.5;

/// From here on a wire in a tube turns and widens too little (common practice, no source).
const FIRST_MOLAR: u8 = 6;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let words = context.words();
    let Some(goal) = &case.goal else { return };
    let Some(place) = goal.place.filter(|_| case.arches.iter().all(|a| !a.is_unread())) else {
        return;
    };
    let crossed = &context.bite().crossbite;
    let unsaid: Vec<Tooth> =
        crossed.iter().filter(|t| !goal.over_the_bite.contains(t)).copied().collect();
    if !unsaid.is_empty() {
        let which = words.teeth(&unsaid);
        let verb = if unsaid.len() > 1 { "are" } else { "is" };
        let line = format!("crossbite-corrected {}", words.list(&unsaid));
        let message =
            format!("{which} {verb} in crossbite, and the goal does not say that it is corrected.");
        let mut finding = Finding::new(RULE.code, RULE.severity, place, message)
            .why("Nobody looks for it at the visits, and at the debond it is where it was.")
            .teeth(unsaid);
        finding.fixes.extend(context.fix(line.clone()).add_inside(place, &line).done());
        out.push(finding);
    }
    let still = crossed.iter().filter(|t| goal.over_the_bite.contains(t));
    let left: Vec<(Tooth, String)> = still.filter_map(|t| Some((*t, left(context, *t)?))).collect();
    let Some((tooth, why)) = left.first() else { return };
    let message = format!("{} is to come out of crossbite, and {why}.", words.tooth(*tooth));
    let mut finding = Finding::new(RULE.code, RULE.severity, place, message)
        .why("At the debond it is still in crossbite.")
        .teeth(left.iter().map(|(t, _)| *t));
    for (tooth, why) in left.iter().skip(1) {
        finding = finding.note(format!("{}: {why}.", words.tooth(*tooth)));
    }
    out.push(finding);
}

/// Why a tooth is not forecast to come out.
fn left(context: &RuleContext<'_>, tooth: Tooth) -> Option<String> {
    let arch = context.case.arch(tooth.arch())?;
    // A tooth that no wire ever holds is told of elsewhere.
    if pulled_across(context.case, tooth) || !is_ever_held(context, tooth) {
        return None;
    }
    if tooth.position() >= FIRST_MOLAR && arch.expander.is_none() {
        let said = "nothing in the plan moves it: a wire alone leads no molar over, and neither a cross elastic nor an \
                    expander does";
        return Some(said.to_owned());
    }
    let entered = current_stand(context.case, arch, tooth);
    let stands = springline_course::ToothPose::from_stand(tooth, &entered);
    if stands.lingual_mm.abs() < BEHIND_MM - 1e-9 && described(arch, tooth).is_none() {
        let said = "nothing in the plan moves it: where it stands is not said, and no cross elastic is worn";
        return Some(said.to_owned());
    }
    let end = context.forecast.timeline.debond()?;
    let behind = behind_mm(end, tooth).filter(|mm| *mm > BEHIND_MM + 1e-9)?;
    let on = end.date;
    Some(format!("is forecast {} behind its neighbours at the debond on {on}", say_mm(behind)))
}

fn pulled_across(case: &Case, tooth: Tooth) -> bool {
    let cross = case.elastics.iter().filter(|e| e.kind == ElasticsKind::Cross);
    cross.flat_map(|e| &e.runs).any(|r| r.teeth.contains(&tooth))
}

fn is_ever_held(context: &RuleContext<'_>, tooth: Tooth) -> bool {
    context.views().iter().any(|v| {
        let status = v.state.status(tooth);
        status.is_in_wire() || status == springline_course::ToothStatus::Piggyback
    }) || context.case.visits.iter().flat_map(|v| &v.arches).flat_map(|a| &a.acts).any(|act| {
        matches!(&act.kind, ActKind::PickUp { teeth, .. } | ActKind::Engage { teeth, .. } if teeth.contains(&tooth))
    })
}

/// How far a tooth stands behind the mean of those beside it.
fn behind_mm(end: &VisitMoment, tooth: Tooth) -> Option<f64> {
    let here = end.arch(tooth.arch())?.arrives.as_ref()?;
    let at = here.teeth.iter().position(|t| t.tooth == tooth)?;
    let held = |t: &&springline_course::ToothMoment| t.hold.is_engaged();
    let beside = [here.teeth[..at].iter().rev().find(held), here.teeth[at + 1..].iter().find(held)];
    let line: Vec<f64> = beside.into_iter().flatten().map(|t| t.pose.value.lingual_mm).collect();
    let mean = line.iter().sum::<f64>() / line.len().max(1) as f64;
    Some(here.teeth[at].pose.value.lingual_mm - mean.max(0.0))
}
