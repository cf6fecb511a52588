//! A result that nothing holds.

use crate::prelude::*;
use springline_model::house::Task;

pub const RULE: Rule = Rule {
    code: "order/no-retainer",
    severity: Severity::Error,
    page: include_str!("no_retainer.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let treated: Vec<Arch> =
        case.arches.iter().filter(|a| !a.steps.is_empty()).map(|a| a.arch).collect();
    if treated.is_empty() {
        return;
    }
    let debonding =
        case.debond.is_some() || case.visits.iter().any(|v| v.kind == Some(Task::Debond));
    let severity = if debonding { Severity::Error } else { Severity::Warning };
    let held = case.retention.as_ref().is_some_and(|r| !r.fixed.is_empty() || !r.night.is_empty());
    if held {
        return;
    }
    let which: Vec<String> = treated.iter().map(|a| a.to_string()).collect();
    let arches = if treated.len() == 2 {
        "both arches".to_owned()
    } else {
        format!("the {} arch", which[0])
    };
    let night = if treated.len() == 2 { "both" } else { which[0].as_str() };
    let place = case.chart_place;
    let mut finding = Finding::new(
        RULE.code,
        severity,
        place,
        format!("Nothing in the plan holds the result in {arches}."),
    )
    .why("Teeth relapse within weeks.");
    finding.fixes.extend(
        context
            .fix(format!("a night-time retainer for {arches}"))
            .add_at_end(place.file, &format!("retain {{\n  night-time {night}\n}}"))
            .done(),
    );
    out.push(finding);
}
