//! Patients whose next visit should have been.

use jiff::civil::Date;
use serde::Serialize;

use crate::dates;
use crate::masked;
use crate::plan::Plan;

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Overdue {
    pub chart: String,
    pub planned: Date,
    pub days: i64,
}

/// Cases whose next visit should have been, longest first.
pub fn overdue(plans: &[Plan<'_>], today: Date) -> Vec<Overdue> {
    let mut out: Vec<Overdue> = plans
        .iter()
        .filter_map(|plan| {
            let (_, visit) = plan.coming().next()?;
            // A visit whose day is past has been booked anew: the old day is what counts. Of a case that was
            // entered while running, no day before that was anybody's appointment here.
            let entered = plan.case.in_place.as_ref().map(|p| p.on);
            let since = |day: &Date| entered.is_none_or(|entered| *day >= entered);
            let planned = visit.was_planned_for.filter(since).unwrap_or(visit.date);
            let days = dates::days_between(planned, today) as i64;
            let chart = masked(&plan.case.chart);
            (days > 0).then_some(Overdue { chart, planned, days })
        })
        .collect();
    out.sort_by(|a, b| b.days.cmp(&a.days).then_with(|| a.chart.cmp(&b.chart)));
    out
}
