//! Elastics worn until a measure that elastics of their kind do not bring.

use crate::prelude::*;
use crate::wording::sentence_name;
use springline_model::case::{Elastics, ElasticsKind};
use springline_model::step::Term;

pub const RULE: Rule = Rule {
    code: "order/elastics-wait-for-another",
    severity: Severity::Warning,
    page: include_str!("elastics_wait_for_another.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for elastics in &context.case.elastics {
        let Some((until, place)) = &elastics.until else { continue };
        let measures: Vec<AwaitedMeasure> = until.terms.iter().filter_map(measure).collect();
        let brings = |m: &AwaitedMeasure| brought(elastics).contains(m);
        if measures.is_empty() || measures.iter().any(brings) {
            continue;
        }
        let says = match measures[0] {
            AwaitedMeasure::Overjet => "an overjet",
            AwaitedMeasure::Overbite => "an overbite",
            AwaitedMeasure::Midline => "a midline",
            AwaitedMeasure::Crossbite => "a crossbite to be corrected",
        };
        let message = format!(
            "{} elastics are worn until {says}, which elastics of that kind do not bring.",
            sentence_name(elastics.kind)
        );
        let finding = Finding::new(RULE.code, RULE.severity, *place, message)
            .why("They come off at once or never, whatever they have done.")
            .note("Write the measure that they are worn for.");
        out.push(match &elastics.from {
            Some((from, ..)) => finding.step(from.clone()),
            None => finding,
        });
    }
}

#[derive(Clone, Copy, PartialEq)]
enum AwaitedMeasure {
    Overjet,
    Overbite,
    Midline,
    Crossbite,
}

fn measure(term: &Term) -> Option<AwaitedMeasure> {
    match term {
        Term::Overjet { .. } => Some(AwaitedMeasure::Overjet),
        Term::Overbite { .. } => Some(AwaitedMeasure::Overbite),
        Term::Midline { .. } => Some(AwaitedMeasure::Midline),
        Term::OverTheBite { .. } => Some(AwaitedMeasure::Crossbite),
        _ => None,
    }
}

/// What they are worn for. Along the arch pulled harder on one side they take the midline along.
fn brought(elastics: &Elastics) -> &'static [AwaitedMeasure] {
    use AwaitedMeasure as M;
    match elastics.kind {
        ElasticsKind::Class2 => &[M::Overjet, M::Midline],
        ElasticsKind::Class3 => &[M::Overjet, M::Midline, M::Crossbite],
        ElasticsKind::Triangle | ElasticsKind::Box | ElasticsKind::Settling => &[M::Overbite],
        ElasticsKind::Cross => &[M::Crossbite, M::Midline],
        ElasticsKind::Diagonal => &[M::Midline],
    }
}
