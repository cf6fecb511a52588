//! A wire taken out long before it has done its work.

use crate::prelude::*;
use crate::support::out_of_line::far_off;
use crate::support::role::purpose;
use crate::support::strength::{is_rigid_alloy, rigidity};
use springline_course::EndReason;

pub const RULE: Rule = Rule {
    code: "order/changed-before-passive",
    severity: Severity::Warning,
    page: include_str!("changed_before_passive.md"),
    check,
    ..Rule::PLAIN
};

/// By so much a wire may be taken out before the median patient's is passive.
const GRACE_DAYS: f64 = 14.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        let (Some(phase), Some(next)) = (view.phase, view.after()) else { continue };
        if !matches!(purpose(&view), StepKind::Align | StepKind::Level) {
            continue;
        }
        let EndReason::Time = phase.end.reason else { continue };
        let Some(passive) = phase.passive.by_rule() else { continue };
        let Some(end) = phase.end.predicted.as_ref() else { continue };
        let stiffer = rigidity(&next.wire.value) > rigidity(view.wire()) * 1.05;
        if !stiffer || end.median_days + GRACE_DAYS >= passive.median_days {
            continue;
        }
        // What is left is judged where the next wire goes in, if that wire minds.
        let said_there = context.views().into_iter().any(|v| {
            v.side() == view.side()
                && v.index == view.index + 1
                && (is_rigid_alloy(&v.wire().wire)
                    || (!v.wire().wire.section.is_round() && !far_off(&v).is_empty()))
        });
        if said_there {
            continue;
        }
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.clause_place(view.step.until.place),
                format!(
                    "{} is removed from the {} arch after {}; it is forecast to be active for {} ({} to {}), \
                     and {} is stiffer.",
                    view.wire().label(),
                    view.side(),
                    say_weeks(end.median_days),
                    say_weeks(passive.median_days),
                    plain(weeks(passive.early_days)),
                    say_weeks(passive.late_days),
                    next.wire.label()
                ),
            )
            .why("What the light wire would have done gently, the next one does with more force.")
            .figure(weeks(end.median_days), weeks(passive.median_days), Unit::Wk);
        finding.fixes.extend(lighter_wire::until_passive(context, &view, view.step));
        list.push(Candidate::new(
            view.side(),
            passive.median_days / end.median_days.max(1.0),
            finding,
        ));
    }
    merge_per_arch(context.words(), list, out);
}
