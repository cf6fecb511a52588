//! A visit that has not taken place.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "record/future-visit",
    severity: Severity::Error,
    page: include_str!("future_visit.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let Some(today) = context.today else { return };
    if let Some(entered) = context.case.in_place.as_ref().filter(|p| p.on > today) {
        let message =
            format!("The case is entered as found on {}, and today is {today}.", entered.on);
        out.push(
            Finding::new(RULE.code, RULE.severity, entered.place, message)
                .why("Nobody has seen what is in a mouth on a day that has not come.")
                .note("Correct the day of `in-place`."),
        );
    }
    for visit in context.case.visits.iter().filter(|v| v.on > today) {
        let mut finding = Finding::new(
            RULE.code,
            RULE.severity,
            visit.place,
            format!("This visit is dated {}, and today is {today}.", visit.on),
        )
        .why("The plan would continue from a day that has not come.");
        // A wrong year is the commonest mistake; offered only where it fits.
        let year = i64::from(today.year()) - i64::from(visit.on.year());
        let earlier = jiff::ToSpan::years(year.min(-1));
        let before = context
            .case
            .visits
            .iter()
            .map(|v| v.on)
            .filter(|d| *d < visit.on)
            .chain(context.case.start.as_ref().map(|(d, _)| *d))
            .max();
        if let Ok(date) = visit.on.checked_add(earlier)
            && date <= today
            && before.is_none_or(|b| b < date)
            && let Some(fix) = context
                .fix(format!("write {date}"))
                .set_field(
                    visit.place,
                    |line| line.holes(PlaceholderKind::Date).next(),
                    &date.to_string(),
                )
                .done()
        {
            finding = finding.fix(fix);
        }
        out.push(finding);
    }
}
