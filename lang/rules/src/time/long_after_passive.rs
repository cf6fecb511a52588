//! The patient is called in long after the wire has stopped working.

use super::{next_days, next_place};
use crate::prelude::*;
use springline_model::step::{Activation, Term};

pub const RULE: Rule = Rule {
    code: "time/long-after-passive",
    severity: Severity::Warning,
    page: include_str!("long_after_passive.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        let Some(phase) = view.phase else { continue };
        let Some((from, _)) = next_days(&view) else { continue };
        if !view.step.until.terms.contains(&Term::Passive) || view.is_in_mouth() {
            continue;
        }
        let Some(passive) = phase.passive.by_rule() else { continue };
        // The house's shortest interval is never long.
        let late = passive.late_days.max(context.case.house.shortest.days() + 14.0);
        if from <= late {
            continue;
        }
        let pulls = view.acts().any(|a| match &a.kind {
            ActKind::OpenCoil { activation, .. } => *activation != Activation::Passive,
            ActKind::ClosingCoil { .. } | ActKind::Chain { .. } => true,
            _ => false,
        });
        // What the practice's sequence prescribes for every patient is not reported in each case.
        if !pulls && view.step.next.origin != springline_model::Origin::Case {
            continue;
        }
        let severity = if pulls { Severity::Warning } else { Severity::Advice };
        let mut finding = view
            .finding(
                RULE.code,
                severity,
                next_place(&view),
                format!(
                    "The next visit in {} is after {}; {} in the {} arch is forecast to be passive after {}{}.",
                    view.step.name,
                    say_weeks(from),
                    view.wire().label(),
                    view.side(),
                    say_weeks(passive.median_days),
                    if pulls { ", and what acts on it continues" } else { "" }
                ),
            )
            .why("A passive wire only waits; weeks of treatment are lost.")
            .figure(weeks(from), weeks(late), Unit::Wk);
        if let Some(fix) = context
            .fix("let the next visit be computed")
            .set_clause(view.arch, view.step, ClauseKind::Next, "computed")
            .done()
        {
            finding = finding.fix(fix);
        }
        list.push(Candidate::new(view.side(), from / late.max(1.0), finding));
    }
    merge_per_arch(context.words(), list, out);
}
