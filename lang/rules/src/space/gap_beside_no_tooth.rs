//! A gap, or a coil that keeps one, said to lie beside a tooth that is not there.

use crate::prelude::*;
use springline_course::ToothStatus;
use springline_model::step::{Condition, Term};
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "space/gap-beside-no-tooth",
    severity: Severity::Error,
    page: include_str!("gap_beside_no_tooth.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for arch in context.case.arches.iter().filter(|a| !a.is_unread()) {
        // Whatever becomes of it: it has no crown while the case is entered.
        let gone = |t: &Tooth| {
            arch.states.get(t).is_some_and(|(s, _)| s.is_absent()) && !arch.bonded.contains_key(t)
        };
        for gap in &arch.gaps {
            let beside = [gap.first, gap.second].into_iter().find(gone);
            out.extend(beside.map(|tooth| finding(context, tooth, gap.place, "a gap")));
        }
        for overlap in &arch.overlaps {
            let beside = [overlap.first, overlap.second].into_iter().find(gone);
            out.extend(beside.map(|tooth| finding(context, tooth, overlap.place, "an overlap")));
        }
    }
    for visit in &context.case.visits {
        let here = |t: &Tooth| {
            let arch = context.case.arch(t.arch())?;
            let (state, _) = arch.states.get(t)?;
            let bonds =
                |a: &Act| matches!(&a.kind, ActKind::PickUp { teeth, .. } if teeth.contains(t));
            let later = arch.steps.iter().flat_map(|s| &s.acts).any(bonds);
            (state.is_absent() && !later && !arch.bonded.contains_key(t)).then_some(*t)
        };
        for gap in &visit.gaps {
            let beside = [gap.first, gap.second].iter().find_map(here);
            out.extend(beside.map(|tooth| finding(context, tooth, gap.place, "a gap")));
        }
        for overlap in &visit.overlaps {
            let beside = [overlap.first, overlap.second].iter().find_map(here);
            out.extend(beside.map(|tooth| finding(context, tooth, overlap.place, "an overlap")));
        }
    }
    for view in context.views() {
        let absent = |t: &Tooth| view.state.status(*t) == ToothStatus::Absent;
        for (condition, place) in view.conditions() {
            let beside = gaps(condition).find(absent);
            let found = beside.map(|tooth| finding(context, tooth, place, "a gap"));
            out.extend(found.map(|f| f.step(view.step.name.clone())));
        }
        for act in &view.step.acts {
            let ActKind::ClosedCoil { first, second, .. } = &act.kind else { continue };
            let beside = [*first, *second].into_iter().find(absent);
            let place = view.act_place(act);
            let found = beside.map(|tooth| finding(context, tooth, place, "a keeper"));
            out.extend(found.map(|f| f.step(view.step.name.clone())));
        }
    }
}

/// The teeth beside every gap that is waited for.
fn gaps(condition: &Condition) -> impl Iterator<Item = Tooth> {
    let terms = condition.terms.iter();
    terms.flat_map(|t| match t {
        Term::Gap { first, second, .. } => vec![*first, *second],
        _ => Vec::new(),
    })
}

fn finding(context: &RuleContext<'_>, tooth: Tooth, place: Place, what: &str) -> Finding {
    let named = context.words().tooth(tooth);
    let message = format!(
        "{} is said to lie beside {named}, which is not there.",
        springline_text::capital(what)
    );
    Finding::new(RULE.code, RULE.severity, place, message)
        .why("It lies between two teeth that stand: nothing can be measured at one that does not.")
        .note("Name the teeth on both sides of the space.")
        .teeth([tooth])
}
