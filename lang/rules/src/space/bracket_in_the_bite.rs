//! A bracket that the opposite teeth bite on.

use crate::prelude::*;
use crate::support::meanwhile::state_then;

pub const RULE: Rule = Rule {
    code: "space/bracket-in-the-bite",
    severity: Severity::Warning,
    page: include_str!("bracket_in_the_bite.md"),
    check,
    ..Rule::PLAIN
};

const DEEP_MM: f64 = 4.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let case = context.case;
    let bite = context.bite();
    let overbite = bite.overbite_mm.map(|o| o.value);
    // In a reverse overjet the upper front teeth are behind the lower ones.
    let reverse = bite.overjet_mm.is_some_and(|o| o.value < 0.0);
    let (bitten, behind) = match reverse {
        true => (Arch::Upper, " with a reverse overjet"),
        false => (Arch::Lower, ""),
    };
    // Bite raisers may be in the other arch's steps as well as in this one's; later ones help nobody now.
    let raised = |view: &StepView<'_>| {
        let is_raiser = |a: &Act| matches!(a.kind, ActKind::BiteRaisers { .. });
        let there = state_then(context, view, view.side().other());
        view.acts().any(is_raiser) || there.is_some_and(|state| state.acts.iter().any(is_raiser))
    };
    for view in context.views() {
        // A running wire has shown already whether its brackets stay on.
        if view.is_in_mouth() || raised(&view) {
            continue;
        }
        let crossed: Vec<Tooth> = bite
            .crossbite
            .iter()
            .copied()
            .filter(|t| t.arch() == view.side() && t.is_anterior())
            .filter(|t| view.state.tooth(*t).is_some_and(|s| s.bonding.is_some()))
            .filter(|t| {
                let overlay = view.state.status(*t) == springline_course::ToothStatus::Piggyback;
                view.is_in_wire(*t) || overlay
            })
            .collect();
        let first_with = |teeth: &[Tooth]| {
            view.index == 0
                || view.step.acts.iter().any(|a| match &a.kind {
                    ActKind::Engage { teeth: t, .. } | ActKind::PickUp { teeth: t, .. } => {
                        t.iter().any(|t| teeth.contains(t))
                    }
                    _ => false,
                })
        };
        let (message, teeth, figure) = if !crossed.is_empty() && first_with(&crossed) {
            (
                format!(
                    "{} is in crossbite and engaged in {} without bite raisers.",
                    words.teeth(&crossed),
                    view.step.name
                ),
                crossed,
                None,
            )
        } else if view.side() == bitten && view.index == 0 {
            let Some(deep) = overbite.filter(|o| *o > DEEP_MM + 1e-9) else { continue };
            let front: Vec<Tooth> =
                view.in_wire().into_iter().filter(|t| t.is_anterior()).collect();
            if front.is_empty() {
                continue;
            }
            (
                format!(
                    "The {bitten} anterior teeth are bonded from {} onwards under an overbite of {}{behind}, without bite \
                     raisers.",
                    view.step.name,
                    say_mm(deep)
                ),
                front,
                Some(deep),
            )
        } else {
            continue;
        };
        let mut finding = view
            .finding(RULE.code, RULE.severity, view.case_place(), message)
            .why("The opposing teeth bite the bracket off within days.");
        if let Some(deep) = figure {
            finding = finding.figure(tenth(deep), DEEP_MM, Unit::Mm);
        }
        let raisers: Vec<Tooth> = case
            .arch(Arch::Lower)
            .map(|a| a.bonded.keys().copied().filter(|t| t.position() == 6).collect())
            .unwrap_or_default();
        let raisers = if raisers.len() == 2 {
            words.list(&raisers)
        } else {
            [36, 46]
                .into_iter()
                .filter_map(Tooth::iso)
                .map(|t| words.tooth(t))
                .collect::<Vec<_>>()
                .join(", ")
        };
        let until = match figure {
            Some(_) => format!("overbite {} mm", plain(DEEP_MM - 1.0)),
            None => format!("crossbite-corrected {}", words.list(&teeth)),
        };
        let line = format!("bite-raisers {raisers} until {until}");
        if let Some(fix) =
            context.fix(line.clone()).add_to_step(view.arch, view.step, &[line]).done()
        {
            finding = finding.fix(fix);
        }
        let finding = finding.teeth(teeth);
        list.push(Candidate::new(view.side(), figure.unwrap_or(1.0), finding));
    }
    merge_per_arch(words, list, out);
}
