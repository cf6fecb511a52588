//! Both arches could be seen on one day.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "time/two-visits-for-one",
    severity: Severity::Advice,
    page: include_str!("two_visits_for_one.md"),
    check,
    ..Rule::PLAIN
};

/// Visits closer than this should be one, days.
const NEAR_DAYS: f64 = 21.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    // The steps that are in now, or go in first, one an arch.
    let views = context.views();
    let first = |arch: Arch| views.iter().find(|v| v.side() == arch);
    let (Some(upper), Some(lower)) = (first(Arch::Upper), first(Arch::Lower)) else { return };
    let (Some(a), Some(b)) = (super::next_days(upper), super::next_days(lower)) else { return };
    if super::since(upper) != super::since(lower) {
        return;
    }
    // The later of the two, and how far apart they are.
    let (late, early, later, sooner) =
        if a.0 > b.0 { (upper, lower, a, b) } else { (lower, upper, b, a) };
    let apart = later.0 - sooner.1;
    if apart <= 3.0 || apart > NEAR_DAYS {
        return;
    }
    let both = weeks(later.0.min(context.case.house.longest.days()));
    let mut finding = late
        .finding(
            RULE.code,
            RULE.severity,
            super::next_place(late),
            format!(
                "The {} arch is seen after {} and the {} one after {}: one visit would do for both.",
                early.side(),
                say_weeks(sooner.1),
                late.side(),
                say_weeks(later.0)
            ),
        )
        .why("Every visit costs the patient half a day.")
        .figure(weeks(apart), 0.0, Unit::Wk);
    finding.fixes.extend(
        context
            .fix(format!("see the {} arch after {} wk too", early.side(), plain(both)))
            .set_clause(early.arch, early.step, ClauseKind::Next, format!("{} wk", plain(both)))
            .done(),
    );
    out.push(finding);
}
