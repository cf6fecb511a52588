//! Elastics and curves that open an open bite, or deepen a deep one.

use crate::prelude::*;
use crate::wording::sentence_name;
use springline_model::case::{Elastics, ElasticsKind};

pub const RULE: Rule = Rule {
    code: "order/worsens-the-overbite",
    severity: Severity::Error,
    page: include_str!("worsens_the_overbite.md"),
    check,
    ..Rule::PLAIN
};

/// Front teeth overlap this much in a deep bite, mm (common practice, no source).
const DEEP_MM: f64 = 4.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let Some(overbite) = overbite_now(context) else { return };
    for elastics in &context.case.elastics {
        out.extend(by_elastics(elastics, overbite));
    }
    if overbite >= 0.0 {
        return;
    }
    let mut list = Vec::new();
    for view in context.views() {
        for act in &view.step.acts {
            let ActKind::ReverseCurve { depth } = &act.kind else { continue };
            let message = format!(
                "A reverse curve of {} is planned in {}, and the bite is open by {}.",
                say_mm(mm(*depth)),
                view.step.name,
                say_mm(-overbite)
            );
            let finding = view
                .finding(RULE.code, RULE.severity, view.act_place(act), message)
                .why("It brings the incisors to the gum and opens the bite farther.");
            list.push(Candidate::new(view.side(), 1.0, finding));
        }
    }
    merge_per_arch(context.words(), list, out);
}

/// As last measured, else as entered, mm; an open bite is negative.
fn overbite_now(context: &RuleContext<'_>) -> Option<f64> {
    let case = context.case;
    let seen = case.visits.iter().rev().map(|v| &v.bite).chain([&case.bite]);
    let mut said = seen.filter_map(|b| {
        let open = b.open_bite.as_ref().map(|(l, _)| -mm(*l));
        open.or(b.overbite.as_ref().map(|(l, _)| mm(*l)))
    });
    said.next()
}

fn by_elastics(elastics: &Elastics, overbite: f64) -> Option<Finding> {
    let kind = sentence_name(elastics.kind);
    let place = elastics.runs.first().map_or(elastics.place, |r| r.place);
    let finding = match elastics.kind {
        ElasticsKind::Class2 | ElasticsKind::Class3 | ElasticsKind::Diagonal if overbite < 0.0 => {
            let message = format!(
                "{kind} elastics are planned, and the bite is open by {}.",
                say_mm(-overbite)
            );
            Finding::new(RULE.code, Severity::Warning, place, message)
                .why("They draw the molars out of their sockets, and the open bite grows.")
                .note("Close the bite first, or keep the molars down; measure the overbite at every visit.")
        }
        ElasticsKind::Triangle | ElasticsKind::Box if overbite > DEEP_MM + 1e-9 => {
            let front = |t: &Tooth| t.position() <= 3;
            if !elastics.runs.iter().all(|r| r.teeth.iter().all(front)) {
                return None;
            }
            let message = format!(
                "{kind} elastics on the front teeth are planned under an overbite of {}.",
                say_mm(overbite)
            );
            Finding::new(RULE.code, RULE.severity, place, message)
                .why("They draw the front teeth together and deepen the bite.")
                .figure(tenth(overbite), DEEP_MM, Unit::Mm)
        }
        _ => return None,
    };
    Some(match &elastics.from {
        Some((from, ..)) => finding.step(from.clone()),
        None => finding,
    })
}
