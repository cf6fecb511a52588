//! A reverse overjet that the plan says nothing of.

use crate::prelude::*;
use crate::support::unmet::{OverjetWay, works_on_overjet};
use springline_course::Basis;
use springline_model::case::say_overjet;

pub const RULE: Rule = Rule {
    code: "order/reverse-overjet",
    severity: Severity::Advice,
    page: include_str!("reverse_overjet.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let Some(now) = context.bite().overjet_mm else { return };
    let said = match now.basis {
        Basis::Measured(visit) => case.visits.get(visit).and_then(|v| v.bite.overjet.as_ref()),
        _ => case.bite.overjet.as_ref(),
    };
    let Some((_, place)) = said else { return };
    let aimed = case.goal.as_ref().is_some_and(|g| g.bite.overjet.is_some());
    if now.value >= 0.0 || aimed || works_on_overjet(case, OverjetWay::Up) {
        return;
    }
    out.push(
        Finding::new(
            RULE.code,
            RULE.severity,
            *place,
            format!(
                "The overjet is {}; the goal does not mention it, and nothing in the plan changes it.",
                say_overjet(now.value)
            ),
        )
        .why("A straight wire aligns the teeth and leaves the overjet reversed."),
    );
}
