//! A gap or overlap said to lie between teeth that have another tooth between them.

use crate::prelude::*;
use springline_course::ToothStatus;
use springline_model::step::{Condition, Term};
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "space/gap-over-a-tooth",
    severity: Severity::Error,
    page: include_str!("gap_over_a_tooth.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for arch in context.case.arches.iter().filter(|a| !a.is_unread()) {
        let Some(first) = context.step_view(arch.arch, 0) else { continue };
        for gap in &arch.gaps {
            let teeth = (gap.first, gap.second);
            out.extend(finding(context, &first, teeth, ("a gap", gap.place), None));
        }
        for overlap in &arch.overlaps {
            let (teeth, what) = ((overlap.first, overlap.second), ("an overlap", overlap.place));
            out.extend(finding(context, &first, teeth, what, None));
        }
    }
    for overlap in context.case.visits.iter().flat_map(|v| &v.overlaps) {
        let view = context.step_view(overlap.first.arch(), 0);
        let (teeth, what) = ((overlap.first, overlap.second), ("an overlap", overlap.place));
        out.extend(view.and_then(|v| finding(context, &v, teeth, what, None)));
    }
    for gap in context.case.visits.iter().flat_map(|v| &v.gaps) {
        let view = context.step_view(gap.first.arch(), 0);
        let teeth = (gap.first, gap.second);
        out.extend(view.and_then(|v| finding(context, &v, teeth, ("a gap", gap.place), None)));
    }
    for view in context.views() {
        for (condition, place) in view.conditions() {
            for teeth in gaps(condition) {
                out.extend(finding(context, &view, teeth, ("a gap", place), Some(&view.step.name)));
            }
        }
    }
}

fn gaps(condition: &Condition) -> Vec<(Tooth, Tooth)> {
    let terms = condition.terms.iter();
    terms
        .filter_map(|t| match t {
            Term::Gap { first, second, .. } => Some((*first, *second)),
            _ => None,
        })
        .collect()
}

fn finding(
    context: &RuleContext<'_>,
    view: &StepView<'_>,
    (first, second): (Tooth, Tooth),
    (what, place): (&str, Place),
    step: Option<&str>,
) -> Option<Finding> {
    let words = context.words();
    let between = first.stretch(second).unwrap_or_default();
    let here =
        |t: &&Tooth| **t != first && **t != second && view.state.status(**t) != ToothStatus::Absent;
    // What is left out of the wire may stand beside the gap that is made for it.
    let crown = between.iter().find(|t| here(t) && view.is_in_wire(**t))?;
    let message = format!(
        "{} is said to lie between {} and {}, and {} stands between them.",
        springline_text::capital(what),
        words.tooth(first),
        words.tooth(second),
        words.tooth(*crown)
    );
    let finding = Finding::new(RULE.code, RULE.severity, place, message)
        .why("It lies between neighbours: nothing closes, opens or measures this one.")
        .note("Name the two teeth beside the gap, or the tooth that is missing.")
        .teeth([first, second]);
    Some(match step {
        Some(step) => finding.step(step.to_owned()),
        None => finding,
    })
}
