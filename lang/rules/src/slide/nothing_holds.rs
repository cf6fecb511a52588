//! An end that nothing keeps from leaving its tube.

use crate::prelude::*;
use crate::support::role::purpose;
use springline_course::sliding::{SlideLimit, other};
use springline_course::{BracketPosition, Phase};
use springline_model::step::EndKind;

pub const RULE: Rule = Rule {
    code: "slide/nothing-holds",
    severity: Severity::Error,
    page: include_str!("nothing_holds.md"),
    check,
    ..Rule::PLAIN
};

/// Axial force of the form over which it says which way a free wire goes, N.
const DRIVES_N: f64 = 0.01;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
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
        let Some(severity) = severity(&view).filter(|_| !open.is_empty()) else { continue };
        let kind = wire.end(open[0]).0;
        let what = if kind == EndKind::Flush { "cut flush" } else { "free" };
        let ends = match open.as_slice() {
            [one] => format!("its {one} end is {what} and no stop holds it"),
            _ => format!("both ends are {what} and no stop holds it"),
        };
        let last: Vec<&BracketPosition> = open
            .iter()
            .filter_map(|side| match side {
                Side::Right => wire.brackets.first(),
                Side::Left => wire.brackets.last(),
            })
            .collect();
        // Out of its last tube once it has run the slack and the tube's length.
        let reach_mm = open
            .iter()
            .zip(&last)
            .map(|(side, b)| wire.shift(other(*side)).travel_mm + b.width_mm)
            .fold(f64::INFINITY, f64::min);
        let last: Vec<Tooth> = last.iter().map(|b| b.tooth).collect();
        let (way, or) = match open.as_slice() {
            [one] => (format!("the patient's {}", other(*one)), view.words().teeth(&last)),
            _ => ("either side".to_owned(), view.words().teeth(&last).replace(" and ", " or ")),
        };
        let place = view.clause_place(view.step.ends.of(open[0]).place);
        let mut finding = view
            .finding(
                RULE.code,
                severity,
                place,
                format!(
                    "Nothing holds the {} wire in {}: {ends}, so it can slide to {way} and is out of {or} after {}.",
                    view.side(),
                    view.step.name,
                    say_mm(reach_mm)
                ),
            )
            .why("A wire that shifts leaves the last teeth, and its end lacerates the cheek.")
            .teeth(last);
        for note in view.phase.into_iter().flat_map(|p| wanders(context, p, &open)) {
            finding = finding.note(note);
        }
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

/// An aligning wire is always let go as its teeth come in. A working one is only where nothing else holds it and
/// friction is forecast not to.
fn severity(view: &StepView<'_>) -> Option<Severity> {
    match purpose(view) {
        StepKind::Align => Some(Severity::Error),
        StepKind::Level => Some(Severity::Warning),
        _ => {
            let free = view.state.held_by(&view.state.acts).is_none()
                && view.phase.and_then(|p| p.slides_from(&view.case.house)).is_some();
            free.then_some(Severity::Warning)
        }
    }
}

/// From when friction lets it go, and which way it then drifts.
fn wanders(context: &RuleContext<'_>, phase: &Phase, open: &[Side]) -> Vec<String> {
    if phase.chair.is_empty() {
        return Vec::new();
    }
    let from = match phase.slides_from(&context.case.house) {
        Some(days) if days <= 0.0 => {
            "By the forecast friction does not hold it: it slides from the start.".to_owned()
        }
        Some(days) => format!(
            "By the forecast friction holds it at first; it slides after about {}.",
            say_weeks(days)
        ),
        None => "By the forecast friction holds it, unless chewing loosens it.".to_owned(),
    };
    vec![from, drift(phase, open)]
}

fn drift(phase: &Phase, open: &[Side]) -> String {
    let held = phase.insertion.held_n;
    let way = if held > 0.0 { Side::Right } else { Side::Left };
    if held.abs() < DRIVES_N || !open.contains(&other(way)) {
        return "Nothing drives it to one side: which way it goes is not known.".to_owned();
    }
    format!("The arch form, unevenly bent, drives it to the patient's {way}.")
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
