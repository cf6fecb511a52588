//! An end that nothing keeps from leaving its tube.

use crate::prelude::*;
use springline_course::sliding::{SlideLimit, other};
use springline_model::step::EndKind;

pub const RULE: Rule = Rule {
    code: "slide/nothing-holds",
    severity: Severity::Error,
    page: include_str!("nothing_holds.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        if !matches!(view.step.kind, StepKind::Align | StepKind::Level) {
            continue;
        }
        let wire = view.sliding();
        if wire.brackets.len() < 2 {
            continue;
        }
        // The end that comes out is opposite to the direction of sliding.
        let open: Vec<Side> = [Side::Right, Side::Left]
            .into_iter()
            .filter(|side| wire.shift(other(*side)).met == SlideLimit::Nothing)
            .filter(|side| !view.step.ends.of(*side).trimmed)
            .collect();
        if open.is_empty() {
            continue;
        }
        let aligning = view.step.kind == StepKind::Align;
        let severity = if aligning { Severity::Error } else { Severity::Warning };
        let kind = wire.end(open[0]).0;
        let what = if kind == EndKind::Flush { "cut flush" } else { "free" };
        let ends = match open.as_slice() {
            [one] => format!("its {one} end is {what} and no stop holds it"),
            _ => format!("both ends are {what} and no stop holds it"),
        };
        let last: Vec<Tooth> = open
            .iter()
            .filter_map(|side| match side {
                Side::Right => wire.brackets.first(),
                Side::Left => wire.brackets.last(),
            })
            .map(|b| b.tooth)
            .collect();
        let place = view.clause_place(view.step.ends.of(open[0]).place);
        let finding = view
            .finding(
                RULE.code,
                severity,
                place,
                format!(
                    "Nothing holds the {} wire in {}: {ends}, so it can slide out of {}.",
                    view.side(),
                    view.step.name,
                    view.words().teeth(&last)
                ),
            )
            .why("A wire that shifts leaves the last teeth, and its end lacerates the cheek.")
            .teeth(last);
        let fix = context
            .fix(format!("turn the ends in, 1 mm slack, in {}", view.step.name))
            .set_clause(view.arch, view.step, ClauseKind::Ends, "turned-in slack 1 mm")
            .done();
        let mut finding = match fix {
            Some(fix) => finding.fix(fix),
            None => finding,
        };
        finding.fixes.extend(two_stops(context, &view));
        list.push(Candidate::new(view.side(), open.len() as f64, finding));
    }
    merge_per_arch(context.words(), list, out);
}

/// Two stops facing each other in the midline: the wire can walk to neither side.
fn two_stops(context: &RuleContext<'_>, view: &StepView<'_>) -> Option<springline_finding::Fix> {
    let words = context.words();
    let round = view.wire().wire.section.is_round();
    let has = context.case.house.stops.values().any(|s| s.for_round.is_none_or(|r| r == round));
    let centrals: Vec<Tooth> = view.in_wire().into_iter().filter(|t| t.position() == 1).collect();
    let [right, left] = centrals.as_slice() else { return None };
    // Between lower incisors there is no room for two.
    if !has || view.layout.free_wire_mm(*right, *left)? < 4.0 {
        return None;
    }
    let line = format!("stop mesial of {}, mesial of {}", words.tooth(*right), words.tooth(*left));
    context
        .fix(format!("two stops facing each other: {line}"))
        .add_to_step(view.arch, view.step, &[line])
        .done()
}
