//! A coil or chain left alone too long.

use super::{next_days, next_place};
use crate::prelude::*;
use springline_model::step::Activation;

pub const RULE: Rule = Rule {
    code: "time/coil-unsupervised",
    severity: Severity::Warning,
    page: include_str!("coil_unsupervised.md"),
    check,
    ..Rule::PLAIN
};

const LONGEST_DAYS: f64 = 56.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        let Some((_, to)) = next_days(&view) else { continue };
        if to <= LONGEST_DAYS + 3.0 {
            continue;
        }
        let Some(act) = view.acts().find(|a| match &a.kind {
            ActKind::OpenCoil { activation, .. } => *activation != Activation::Passive,
            ActKind::ClosingCoil { .. } | ActKind::Chain { .. } => true,
            _ => false,
        }) else {
            continue;
        };
        let what = match &act.kind {
            ActKind::OpenCoil { .. } => "An active coil",
            ActKind::ClosingCoil { .. } => "A closing spring",
            _ => "A chain",
        };
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                next_place(&view),
                format!(
                    "{what} is active in {}, and the next visit is after {}; limit {}.",
                    view.step.name,
                    say_weeks(to),
                    say_weeks(LONGEST_DAYS)
                ),
            )
            .why("It pushes or pulls past what was wanted, or comes off, and nobody sees it.")
            .figure(weeks(to), weeks(LONGEST_DAYS), Unit::Wk)
            .related(view.act_place(act), "this one");
        finding.fixes.extend(
            context
                .fix("come back after 6 wk")
                .set_clause(view.arch, view.step, ClauseKind::Next, "6 wk")
                .done(),
        );
        list.push(Candidate::new(view.side(), to / LONGEST_DAYS, finding));
    }
    merge_per_arch(context.words(), list, out);
}
