//! Pulling on when there is nothing left to pull.

use crate::prelude::*;
use crate::wording::sentence_name;
use springline_model::case::{BiteClass, ElasticsKind, Relation, say_overjet};
use springline_model::step::Term;
use springline_model::stock::Name;

pub const RULE: Rule = Rule {
    code: "order/overdoing",
    severity: Severity::Error,
    page: include_str!("overdoing.md"),
    check,
    ..Rule::PLAIN
};

const LEAST_MM: f64 = 1.5;
/// Closing upper spaces alone takes the overjet under what is left for finishing (common practice, no source).
const CLOSING_LEAST_MM: f64 = 2.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let now = context.bite().overjet_mm.map(|o| o.value);
    // Where the front teeth are in crossbite their overjet means little, unless it is entered as
    // reversed.
    let crossed =
        case.bite.crossbite.iter().any(|t| t.is_anterior()) && now.is_none_or(|o| o >= 0.0);
    for elastics in case.elastics.iter().filter(|e| e.kind == ElasticsKind::Class2) {
        let kind = sentence_name(elastics.kind);
        let target = elastics.until.as_ref().and_then(|(until, place)| {
            until.terms.iter().find_map(|t| match t {
                Term::Overjet { overjet } => Some((overjet.mm(), *place)),
                _ => None,
            })
        });
        let found = if let Some((goal, place)) = target.filter(|(g, _)| *g < LEAST_MM - 1e-9) {
            Some((
                goal,
                place,
                match goal < 0.0 {
                    true => {
                        format!(
                            "{kind} elastics continue until the overjet is {}.",
                            say_overjet(goal)
                        )
                    }
                    false => {
                        format!("{kind} elastics continue until an overjet of {}.", say_mm(goal))
                    }
                },
                Some(place),
            ))
        } else {
            // Class II elastics on a reverse overjet are reported by `elastics-wrong-class`.
            now.filter(|o| (0.0..LEAST_MM - 1e-9).contains(o) && !crossed).map(|o| {
                (
                    o,
                    elastics.place,
                    format!("{kind} elastics are worn, and the overjet is already {}.", say_mm(o)),
                    None,
                )
            })
        };
        let Some((value, place, message, until)) = found else { continue };
        let mut finding = Finding::new(RULE.code, RULE.severity, place, message)
            .why("At so small an overjet the incisors meet edge to edge.")
            .figure(tenth(value), LEAST_MM, Unit::Mm);
        if let Some((from, ..)) = &elastics.from {
            finding = finding.step(from.clone());
        }
        if let Some(at) = until
            && let Some(fix) = context.fix("stop at 2 mm").replace(at, "until overjet 2 mm").done()
        {
            finding = finding.fix(fix);
        }
        out.push(finding);
    }
    if !crossed && let Some(overjet) = now {
        out.extend(at_its_goal(context, overjet));
        out.extend(closing(context, overjet));
    }
}

/// Class II elastics on a bite whose overjet is where the goal wants it, and nothing else for them to do.
fn at_its_goal(context: &RuleContext<'_>, now: f64) -> Option<Finding> {
    let case = context.case;
    let goal = case.goal.as_ref()?.bite.overjet?.0.mm();
    if now < LEAST_MM - 1e-9 || now > goal + 1e-9 {
        return None;
    }
    let bite = context.bite();
    let class_2 = |r: &Relation| r.class == BiteClass::Class2;
    let left = bite.molars.iter().chain(&bite.canines).any(|(_, relation, _)| class_2(relation));
    // Spaces that the lower arch closes bring the overjet back.
    let lower = closes(context, Arch::Lower);
    let elastics = case.elastics.iter().find(|e| e.kind == ElasticsKind::Class2)?;
    if left || lower.is_some() || elastics.until.is_some() {
        return None;
    }
    let message = format!(
        "Class II elastics are to be worn, and the overjet is {} already; the goal is {}.",
        say_mm(now),
        say_mm(goal)
    );
    let finding = Finding::new(RULE.code, Severity::Warning, elastics.place, message)
        .why("They go on past the goal: at a small overjet the incisors meet edge to edge.")
        .figure(tenth(now), tenth(goal), Unit::Mm)
        .note("Write what they are for in bite and goal, or leave them out.");
    Some(match &elastics.from {
        Some((from, ..)) => finding.step(from.clone()),
        None => finding,
    })
}

/// Where spaces of an arch are closed by springs: the act and its step.
fn closes(context: &RuleContext<'_>, arch: Arch) -> Option<(springline_text::Place, Name)> {
    context.views().into_iter().filter(|v| v.side() == arch).find_map(|view| {
        let act = view.acts().find(|a| matches!(a.kind, ActKind::ClosingCoil { .. }))?;
        Some((view.act_place(act), view.step.name.clone()))
    })
}

fn closing(context: &RuleContext<'_>, overjet: f64) -> Option<Finding> {
    let severity = match overjet {
        o if o < LEAST_MM - 1e-9 => RULE.severity,
        o if o <= CLOSING_LEAST_MM + 1e-9 && closes(context, Arch::Lower).is_none() => {
            Severity::Warning
        }
        _ => return None,
    };
    let limit = if severity == RULE.severity { LEAST_MM } else { CLOSING_LEAST_MM };
    let (place, step) = closes(context, Arch::Upper)?;
    let message = format!(
        "Upper spaces are closed in {step}, and the overjet is already {}.",
        say_overjet(overjet)
    );
    let finding = Finding::new(RULE.code, severity, place, message);
    Some(
        finding
            .why("At so small an overjet the incisors meet edge to edge.")
            .figure(tenth(overjet), limit, Unit::Mm)
            .step(step),
    )
}
