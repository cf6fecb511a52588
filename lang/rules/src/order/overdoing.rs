//! Pulling on when there is nothing left to pull.

use crate::prelude::*;
use crate::wording::sentence_name;
use springline_model::case::{ElasticsKind, say_overjet};
use springline_model::step::Term;

pub const RULE: Rule = Rule {
    code: "order/overdoing",
    severity: Severity::Error,
    page: include_str!("overdoing.md"),
    check,
    ..Rule::PLAIN
};

const LEAST_MM: f64 = 1.5;

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
    let Some(overjet) = now.filter(|o| *o < LEAST_MM - 1e-9 && !crossed) else { return };
    let closing = context.views().into_iter().find_map(|view| {
        let act = view.acts().find(|a| matches!(a.kind, ActKind::ClosingCoil { .. }))?.clone();
        (view.side() == Arch::Upper).then(|| (view.act_place(&act), view.step.name.clone()))
    });
    if let Some((place, step)) = closing {
        out.push(
            Finding::new(
                RULE.code,
                RULE.severity,
                place,
                format!(
                    "Upper spaces are closed in {step}, and the overjet is already {}.",
                    say_overjet(overjet)
                ),
            )
            .why("At so small an overjet the incisors meet edge to edge.")
            .figure(tenth(overjet), LEAST_MM, Unit::Mm)
            .step(step),
        );
    }
}
