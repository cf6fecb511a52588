//! The patient is called in long before the wire can be passive.

use super::{next_days, next_place};
use crate::prelude::*;
use springline_model::step::Term;

pub const RULE: Rule = Rule {
    code: "time/before-passive",
    severity: Severity::Warning,
    page: include_str!("before_passive.md"),
    check,
    ..Rule::PLAIN
};

/// A look at the patient after so long needs no reason, days.
const LOOK_DAYS: f64 = 41.5;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        let Some(phase) = view.phase else { continue };
        let Some((_, to)) = next_days(&view) else { continue };
        let until = &view.step.until;
        if !until.terms.contains(&Term::Passive) || to >= LOOK_DAYS || view.is_in_mouth() {
            continue;
        }
        let supervised = view.acts().any(|a| {
            matches!(
                a.kind,
                ActKind::OpenCoil { .. }
                    | ActKind::ClosingCoil { .. }
                    | ActKind::Chain { .. }
                    | ActKind::BiteRaisers { .. }
                    | ActKind::Piggyback { .. }
                    | ActKind::Engage { .. }
            )
        });
        let Some(passive) = phase.passive.by_rule() else { continue };
        if supervised || to >= passive.early_days {
            continue;
        }
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                next_place(&view),
                format!(
                    "The next visit in {} is after {}; {} in the {} arch is forecast to be passive after {} \
                     ({} to {}).",
                    view.step.name,
                    say_weeks(to),
                    view.wire().label(),
                    view.side(),
                    say_weeks(passive.median_days),
                    plain(weeks(passive.early_days)),
                    say_weeks(passive.late_days)
                ),
            )
            .why("The wire would stay in, and the visit achieves nothing.")
            .figure(weeks(to), weeks(passive.median_days), Unit::Wk);
        if let Some(fix) = context
            .fix("let the next visit be computed")
            .set_clause(view.arch, view.step, ClauseKind::Next, "computed")
            .done()
        {
            finding = finding.fix(fix);
        }
        list.push(Candidate::new(view.side(), passive.median_days / to.max(1.0), finding));
    }
    merge_per_arch(context.words(), list, out);
}
