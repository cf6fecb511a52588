//! Visits of a case that began on no day.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "time/no-start",
    severity: Severity::Warning,
    page: include_str!("no_start.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let begins = case.start.is_some()
        || case.in_place.is_some()
        || case.arches.iter().any(|a| a.start.is_some());
    let Some(first) = case.visits.iter().min_by_key(|v| v.on).filter(|_| !begins) else { return };
    let message = format!("The first visit is recorded on {}, and the case says no start.", first.on);
    let mut finding = Finding::new(RULE.code, RULE.severity, case.chart_place, message)
        .why("Without the day on which the first wire went in nothing is dated and nothing falls due.")
        .related(first.place, "the first visit");
    // Who was bonded up at a visit began on its day; of any other nobody knows when.
    if first.kind == Some(springline_model::house::Task::BondUp) {
        let line = format!("start {}", first.on);
        let arch = case.arches.first().map(|a| a.place);
        finding.fixes.extend(
            arch.and_then(|at| context.fix(line.clone()).add_before(at, &line).done()),
        );
    }
    out.push(finding.note("Write `start` with the day of the bond-up, or `in-place` with what was found."));
}
