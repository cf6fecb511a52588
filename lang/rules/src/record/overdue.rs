//! Nobody has seen the patient for too long.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "record/overdue",
    severity: Severity::Warning,
    page: include_str!("overdue.md"),
    check,
    ..Rule::PLAIN
};

const GRACE_DAYS: f64 = 14.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let Some(today) = context.today else { return };
    let over = case.visits.iter().any(|v| {
        v.kind == Some(springline_model::house::Task::Debond)
            || v.kind == Some(springline_model::house::Task::RetainerCheck)
    });
    if over {
        return;
    }
    let visit = case.visits.iter().max_by_key(|v| v.on);
    let begun = case
        .start
        .as_ref()
        .map(|(d, p)| (*d, *p))
        .or_else(|| case.in_place.as_ref().map(|p| (p.on, p.place)));
    let Some((last, place)) = visit.map(|v| (v.on, v.place)).or(begun) else { return };
    if last > today {
        return;
    }
    let Ok(gone) = last.until(today) else { return };
    let gone = f64::from(gone.get_days());
    let longest = case.house.longest.days();
    let allowed = context
        .views()
        .iter()
        .filter(|v| v.is_in_mouth() || v.index == 0)
        .filter_map(crate::time::next_days)
        .fold(None, |most: Option<f64>, (_, to)| Some(most.map_or(to, |m| m.max(to))))
        .map_or(longest, |to| to.min(longest).max(28.0));
    let limit = allowed + GRACE_DAYS;
    if gone <= limit {
        return;
    }
    let missed: Vec<String> =
        case.missed.iter().filter(|(d, _)| *d > last).map(|(d, _)| d.to_string()).collect();
    let mut finding = Finding::new(
        RULE.code,
        RULE.severity,
        place,
        format!(
            "The last visit was on {last}, {} ago; the next was due after {}.",
            say_weeks(gone),
            say_weeks(allowed)
        ),
    )
    .why("The wire is still active, or broken, and nobody checks it.")
    .figure(weeks(gone), weeks(limit), Unit::Wk);
    if !missed.is_empty() {
        finding = finding.note(format!("Missed appointment on {}.", listed(&missed)));
    }
    out.push(finding);
}
