//! A step, or bite raisers, that wait for what is there already.

use crate::prelude::*;
use springline_model::step::Term;

pub const RULE: Rule = Rule {
    code: "time/true-at-once",
    severity: Severity::Warning,
    page: include_str!("true_at_once.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views().into_iter().filter(|v| v.knows_poses()) {
        list.extend(raisers_for_nothing(&view));
        let until = &view.step.until.value;
        // What the wire in the mouth has brought since is not seen here; a tooth in line before it is.
        let by_place = |term: &Term| matches!(term, Term::Within { .. });
        if view.is_in_mouth() && !until.terms.iter().all(by_place) {
            continue;
        }
        let mut there = until.terms.iter().map(|term| is_there(&view, term));
        let ends = match until.all {
            _ if until.terms.is_empty() => false,
            true => there.all(|there| there),
            false => there.any(|there| there),
        };
        if !ends {
            continue;
        }
        let message = format!(
            "{} waits until {}, and that is so as its wire goes in.",
            view.step.name,
            until.text.trim_start_matches("until ")
        );
        let place = view.clause_place(view.step.until.place);
        let finding = view
            .finding(RULE.code, RULE.severity, place, message)
            .why("The step ends at its first visit, whatever its wire has done.")
            .note("Write what the step is for, or the tooth or length that is meant.");
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    merge_per_arch(context.words(), list, out);
}

/// Raisers that go on until an overbite that the bite has, or is shallower than.
fn raisers_for_nothing(view: &StepView<'_>) -> Option<Candidate> {
    let now = view.context.bite().overbite_mm.filter(|_| !view.is_in_mouth())?.value;
    let (act, teeth, until) = view.step.acts.iter().find_map(|act| match &act.kind {
        ActKind::BiteRaisers { teeth, until: Some(until) } => Some((act, teeth, until)),
        _ => None,
    })?;
    let is_so = |term: &Term| matches!(term, Term::Overbite { length } if now >= 0.0 && now <= mm(*length) + SAME_MM);
    if !until.terms.iter().any(is_so) {
        return None;
    }
    let message = format!(
        "The bite raisers on {} in {} wait for {}, and the overbite is {}.",
        view.words().teeth(teeth),
        view.step.name,
        until.text.trim_start_matches("until "),
        say_mm(now)
    );
    let finding = view
        .finding(RULE.code, RULE.severity, view.act_place(act), message)
        .why("They hold the back teeth apart for nothing.")
        .note("Leave them out, or write the overbite as it is.")
        .teeth(teeth.iter().copied());
    Some(Candidate::new(view.side(), 1.0, finding))
}

/// Of teeth in the wire and of gaps that are written; what the forecast brings before counts.
fn is_there(view: &StepView<'_>, term: &Term) -> bool {
    match term {
        Term::Within { length, teeth } => {
            let near = |t: &Tooth| view.is_in_wire(*t) && view.pose(*t).off_mm() <= mm(*length);
            let engaged_now = |t: &Tooth| view.index > 0 && !view.was_in_wire(*t);
            !teeth.is_empty() && teeth.iter().all(near) && !teeth.iter().any(engaged_now)
        }
        Term::Gap { length, first, second } => {
            let now = view.mouth.gap_mm(*first, *second);
            now.is_some_and(|now| (now - mm(*length)).abs() <= SAME_MM)
        }
        // As recorded last: a measure that the bite has already.
        Term::Overbite { length } => {
            let now = view.context.bite().overbite_mm.map(|o| o.value);
            now.is_some_and(|now| (now - mm(*length)).abs() <= SAME_MM)
        }
        Term::Overjet { overjet } => {
            let now = view.context.bite().overjet_mm.map(|o| o.value);
            now.is_some_and(|now| (now - overjet.mm()).abs() <= SAME_MM)
        }
        _ => false,
    }
}

/// Two lengths that a chair cannot tell apart, mm.
const SAME_MM: f64 = 0.25;
