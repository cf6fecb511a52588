//! A visit on a day nobody is there.

use jiff::civil::Date;

use super::next_place;
use crate::prelude::*;
use springline_model::case::Debond;
use springline_model::step::NextVisit;
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "time/clinic-closed",
    severity: Severity::Warning,
    page: include_str!("clinic_closed.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let mut days: Vec<(Date, Place, String, Option<std::sync::Arc<str>>)> = Vec::new();
    if let Some((date, place)) = &case.start
        && case.visits.is_empty()
    {
        days.push((*date, *place, "The start".to_owned(), None));
    }
    for arch in &case.arches {
        if let Some((date, place)) = &arch.start
            && case.visits.last().is_none_or(|v| v.on < *date)
        {
            days.push((*date, *place, format!("The start of the {} arch", arch.arch), None));
        }
    }
    for view in context.views() {
        if let NextVisit::On { date } = view.step.next.value
            && context.last_seen().is_none_or(|seen| seen < date)
        {
            let what = format!("The next visit in {}", view.step.name);
            days.push((date, next_place(&view), what, Some(view.step.name.clone())));
        }
    }
    if let Some(Debond { on: Some(date), place, .. }) = &case.debond {
        days.push((*date, *place, "The debond".to_owned(), None));
    }
    for (date, place, what, step) in days {
        if case.house.is_open(date) {
            continue;
        }
        let closed = case.house.closed.iter().any(|(a, b)| (*a..=*b).contains(&date));
        let why = if closed {
            "the clinic is closed then".to_owned()
        } else {
            format!("the clinic is not open on a {}", weekday(date))
        };
        let mut finding = Finding::new(
            RULE.code,
            RULE.severity,
            place,
            format!("{what} is on {date}, and {why}."),
        )
        .why("The patient would arrive when the clinic is closed.");
        if let Some(step) = step {
            finding = finding.step(step);
        }
        if let Some(open) = nearest_open(context, date)
            && let Some(fix) = context
                .fix(format!("{open}, a {}", weekday(open)))
                .set_field(place, |line| written(line, date), &open.to_string())
                .done()
        {
            finding = finding.fix(fix);
        }
        out.push(finding);
    }
}

/// The field with this date.
fn written<'l>(line: StatementRef<'l>, date: Date) -> Option<FieldValue<'l>> {
    line.group().field_values().find(|field| field.date().is_some_and(|d| d.date == Some(date)))
}

fn weekday(date: Date) -> &'static str {
    use jiff::civil::Weekday::*;
    match date.weekday() {
        Monday => "Monday",
        Tuesday => "Tuesday",
        Wednesday => "Wednesday",
        Thursday => "Thursday",
        Friday => "Friday",
        Saturday => "Saturday",
        Sunday => "Sunday",
    }
}

/// The nearest open day, later ones first among equals.
fn nearest_open(context: &RuleContext<'_>, date: Date) -> Option<Date> {
    use jiff::ToSpan;
    (1..40_i64).find_map(|n| {
        [n, -n]
            .into_iter()
            .filter_map(|d| date.checked_add(d.days()).ok())
            .find(|d| context.case.house.is_open(*d))
    })
}
