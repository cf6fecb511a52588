//! A tooth left out of the wire that nothing takes in.

use super::coil::makes_space_for;
use crate::prelude::*;
use springline_model::step::Term;

pub const RULE: Rule = Rule {
    code: "space/endless-bypass",
    severity: Severity::Warning,
    page: include_str!("endless_bypass.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        for act in &view.step.acts {
            let ActKind::Bypass { teeth, until, .. } = &act.kind else { continue };
            let left: Vec<Tooth> =
                teeth.iter().copied().filter(|t| !taken_in_later(&view, *t)).collect();
            let waits_for_space = until
                .as_ref()
                .is_some_and(|u| u.terms.iter().any(|t| matches!(t, Term::Space { .. })));
            let starved: Vec<Tooth> = teeth
                .iter()
                .copied()
                .filter(|t| waits_for_space && !makes_space_for(&view, *t))
                .filter(|t| !has_space(&view, *t))
                .collect();
            let (message, found, fix) = if until.is_none() && !left.is_empty() {
                let which = words.teeth(&left);
                let width = left.iter().map(|t| width_mm(view.arch, *t)).fold(0.0, f64::max);
                let words_added = format!(" until space {} mm", plain(tenth(width + 0.5)));
                let fix = match view.after() {
                    Some(next) => context
                        .fix(format!("engage {which} in {}", next.name))
                        .add_to_step(view.arch, next, &[take_in(context, &view, &left)])
                        .done(),
                    None => context
                        .fix(format!("bypass{words_added}"))
                        .append(act.place, &words_added)
                        .done(),
                };
                (
                    format!(
                        "{which} is left out of the wire in {}, with no end condition.",
                        view.step.name
                    ),
                    left,
                    fix,
                )
            } else if !starved.is_empty() {
                let which = words.teeth(&starved);
                (
                    format!(
                        "{which} waits for space from {} onwards, and no step makes any.",
                        view.step.name
                    ),
                    starved.clone(),
                    match starved.as_slice() {
                        [one] => {
                            crate::support::make_space::make_space(context, &view, *one, false)
                        }
                        _ => None,
                    },
                )
            } else {
                continue;
            };
            let mut finding = view
                .finding(RULE.code, RULE.severity, view.act_place(act), message)
                .why("At the end of the plan the tooth is where it was.")
                .teeth(found);
            match fix {
                Some(fix) => finding = finding.fix(fix),
                None => {
                    finding = finding.note(
                        "Add a step with an open coil or IPR, or record that the space is there.",
                    );
                }
            }
            list.push(Candidate::new(view.side(), 1.0, finding));
        }
    }
    merge_per_arch(words, list, out);
}

/// `engage 23`, or `pick-up 23 with twin` where it has no bracket yet.
fn take_in(context: &RuleContext<'_>, view: &StepView<'_>, teeth: &[Tooth]) -> String {
    let words = context.words();
    let bonded = teeth.iter().all(|t| view.arch.bonded.contains_key(t));
    let bracket = view.arch.bonded.values().find(|b| !b.bracket.is_tube).map(|b| &b.bracket.name);
    match bracket {
        Some(name) if !bonded => format!("pick-up {} with {name}", words.list(teeth)),
        _ => format!("engage {}", words.list(teeth)),
    }
}

fn taken_in_later(view: &StepView<'_>, tooth: Tooth) -> bool {
    view.arch.steps.iter().skip(view.index + 1).any(|step| {
        step.acts.iter().any(|act| match &act.kind {
            ActKind::Engage { teeth, .. } | ActKind::PickUp { teeth, .. } => teeth.contains(&tooth),
            ActKind::Piggyback { within, .. } => within.contains(&tooth),
            ActKind::Bypass { teeth, until: Some(_), .. } => teeth.contains(&tooth),
            _ => false,
        })
    })
}

/// Its space is there already.
fn has_space(view: &StepView<'_>, tooth: Tooth) -> bool {
    let space = current_stand(view.case, view.arch, tooth).space.map(mm);
    match (space, view.wanted_space(tooth)) {
        (Some(space), Some(wanted)) => space >= wanted - 1e-9,
        _ => false,
    }
}
