//! A wire change sooner than the house's shortest interval.

use super::{next_days, next_place};
use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "time/interval-too-short",
    severity: Severity::Warning,
    page: include_str!("interval_too_short.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let shortest = context.case.house.shortest.days();
    for view in context.views() {
        let Some((_, to)) = next_days(&view) else { continue };
        if to >= shortest - 0.5 || to < 0.0 {
            continue;
        }
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                next_place(&view),
                format!(
                    "{} to the next visit in {}; practice minimum {}.",
                    say_weeks(to),
                    view.step.name,
                    say_weeks(shortest)
                ),
            )
            .why("Teeth need time to recover between two activations.")
            .figure(weeks(to), weeks(shortest), Unit::Wk);
        finding.fixes.extend(
            context
                .fix(format!("come back after {}", say_weeks(shortest)))
                .set_clause(view.arch, view.step, ClauseKind::Next, say_weeks(shortest))
                .done(),
        );
        list.push(Candidate::new(view.side(), shortest / to.max(1.0), finding));
    }
    merge_per_arch(context.words(), list, out);
}
