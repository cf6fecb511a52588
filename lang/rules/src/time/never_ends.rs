//! A step whose end cannot come.

use crate::prelude::*;
use springline_course::{COIL_SPENT, EndReason};
use springline_model::case::ElasticsKind;
use springline_model::step::Term;

pub const RULE: Rule = Rule {
    code: "time/never-ends",
    severity: Severity::Warning,
    page: include_str!("never_ends.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        let until = &view.step.until.value;
        let dead: Vec<bool> =
            until.terms.iter().map(|t| nothing_brings(context, &view, t)).collect();
        let by_plan = if until.all {
            dead.iter().any(|d| *d)
        } else {
            !dead.is_empty() && dead.iter().all(|d| *d)
        };
        let refused = view.phase.is_some_and(|p| p.insertion.refused.is_some());
        let cinched = [Side::Right, Side::Left]
            .into_iter()
            .any(|s| view.step.ends.of(s).kind == springline_model::step::EndKind::Cinched);
        let predicted = match view.phase.map(|p| &p.end.reason) {
            // A refused wire, a tight end, missing space and an inert coil are the causes, reported
            // elsewhere.
            _ if refused || cinched || !is_predictable(context, &view) => None,
            // A coil that is spent has a finding of its own.
            Some(EndReason::Never { why }) if why == COIL_SPENT => None,
            Some(EndReason::Never { why }) => Some(why.as_str()),
            _ => None,
        };
        if !by_plan && predicted.is_none() {
            continue;
        }
        let why = match (by_plan, predicted) {
            (true, _) => "nothing in the plan brings that about".to_owned(),
            (false, Some(why)) => why.to_owned(),
            (false, None) => continue,
        };
        let finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.clause_place(view.step.until.place),
                format!(
                    "{} waits until {}: {why}.",
                    view.step.name,
                    until.text.trim_start_matches("until ")
                ),
            )
            .why("Every visit would be recorded as `not yet` while nothing is happening.");
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    merge_per_arch(context.words(), list, out);
}

/// The course's own word counts only for what it computes: spaces, gaps, overjet, overbite, and wires going
/// passive.
fn is_predictable(context: &RuleContext<'_>, view: &StepView<'_>) -> bool {
    use crate::support::account::shortages;
    use springline_model::step::Activation;
    let passive_coil = view.acts().any(
        |a| matches!(&a.kind, ActKind::OpenCoil { activation, .. } if *activation == Activation::Passive),
    );
    view.step.until.terms.iter().all(|t| match t {
        Term::Space { .. } | Term::Gap { .. } => !passive_coil,
        Term::Passive => shortages(context.case, view.arch).is_empty(),
        Term::Time { .. } | Term::Decided | Term::Settled => true,
        // Only where it is known how the bite stands.
        Term::Overjet { .. } => context.bite().overjet_mm.is_some(),
        Term::Overbite { .. } => context.bite().overbite_mm.is_some(),
        _ => false,
    })
}

/// No act of the plan can bring this term about, and it does not hold yet.
fn nothing_brings(context: &RuleContext<'_>, view: &StepView<'_>, term: &Term) -> bool {
    let case = context.case;
    let acts = || view.acts();
    // Worn in this step: a later set brings nothing about now.
    let worn = context.forecast.timeline.elastics_in(view.side(), view.index);
    let elastics = |kinds: &[ElasticsKind]| {
        worn.iter().filter_map(|i| case.elastics.get(*i)).any(|e| kinds.contains(&e.kind))
    };
    match term {
        Term::Overjet { overjet } => {
            let Some(now) = context.bite().overjet_mm.map(|o| o.value) else { return false };
            // A small overjet grows as the teeth line up; a reverse one does not come right of itself.
            let (down, up) = (overjet.mm() < now - 1e-9, now < 0.0 && overjet.mm() > now + 1e-9);
            let closing = acts()
                .any(|a| matches!(a.kind, ActKind::ClosingCoil { .. } | ActKind::Chain { .. }));
            (down || up)
                && !closing
                && !elastics(&[ElasticsKind::Class2, ElasticsKind::Class3, ElasticsKind::Diagonal])
        }
        Term::Gap { length, first, second } => {
            // Neighbours without a written gap are adjacent.
            let beside = first.place().abs_diff(second.place()) == 1;
            let written = view.mouth.gap_mm(*first, *second);
            let Some(now) = written.or(beside.then_some(0.0)) else { return false };
            if mm(*length) > now {
                !acts().any(|a| matches!(a.kind, ActKind::OpenCoil { .. }))
            } else {
                !acts().any(|a| {
                    matches!(
                        a.kind,
                        ActKind::ClosingCoil { .. }
                            | ActKind::Chain { .. }
                            | ActKind::Laceback { .. }
                    )
                })
            }
        }
        _ => false,
    }
}
