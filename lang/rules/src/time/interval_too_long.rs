//! Longer between visits than the house allows.

use super::{next_days, next_place};
use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "time/interval-too-long",
    severity: Severity::Warning,
    page: include_str!("interval_too_long.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let longest = context.case.house.longest.days();
    for view in context.views() {
        let Some((from, to)) = next_days(&view) else { continue };
        // A named day is moved to a clinic day; a few days more are no matter.
        if to <= longest + 6.0 {
            continue;
        }
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                next_place(&view),
                format!(
                    "{} to the next visit in {}; practice maximum {}.",
                    say_weeks(to),
                    view.step.name,
                    say_weeks(longest)
                ),
            )
            .why("For that long nobody sees a lost stop or a loose bracket.")
            .figure(weeks(to), weeks(longest), Unit::Wk);
        let next = if from < longest - 13.0 {
            format!("{}..{}", plain(weeks(from)), say_weeks(longest))
        } else {
            say_weeks(longest)
        };
        finding.fixes.extend(
            context
                .fix(format!("come back after {}", say_weeks(longest)))
                .set_clause(view.arch, view.step, ClauseKind::Next, next)
                .done(),
        );
        list.push(Candidate::new(view.side(), to / longest, finding));
    }
    merge_per_arch(context.words(), list, out);
}
