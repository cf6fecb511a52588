//! A cross elastic that pulls the tooth in crossbite farther in.

use crate::prelude::*;
use springline_model::case::ElasticsKind;
use springline_model::stand::InOut;

pub const RULE: Rule = Rule {
    code: "order/cross-elastic-inside-out",
    severity: Severity::Error,
    page: include_str!("cross_elastic_inside_out.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    let crossed = &context.case.bite.crossbite;
    let cross = context.case.elastics.iter().filter(|e| e.kind == ElasticsKind::Cross);
    for run in cross.flat_map(|e| &e.runs) {
        if !run.teeth.iter().any(|t| crossed.contains(t)) {
            continue;
        }
        // Upper teeth stand too far in: the elastic goes from their inner side to the outer one below.
        let wrong = run.teeth.iter().find_map(|tooth| {
            let wanted_inside = tooth.arch() == Arch::Upper;
            let buttons = &context.case.arch(tooth.arch())?.buttons;
            let mut here = buttons.iter().filter(|(t, ..)| t == tooth).map(|(_, side, _)| *side);
            let inside = matches!(here.next()?, InOut::Lingual);
            let other = here.next().is_some();
            (inside != wanted_inside && !other).then_some((*tooth, inside))
        });
        let Some((tooth, inside)) = wrong else { continue };
        let named = words.tooth(tooth);
        let side = if inside { "inner" } else { "outer" };
        let message = format!("The cross elastic hangs on the {side} side of {named}.");
        out.push(
            Finding::new(RULE.code, RULE.severity, run.place, message)
                .why("It pulls the teeth farther into the crossbite instead of out of it.")
                .note("It goes from the inner side of the upper tooth to the outer side of the lower one.")
                .teeth([tooth]),
        );
    }
}
