//! The day list: which patients come, why, and for how long.

use jiff::civil::Date;
use serde::Serialize;

use super::{FullDay, full_days};
use crate::card::staff_card;
use crate::masked;
use crate::plan::Plan;

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DayRow {
    pub chart: String,
    pub doctor: Option<String>,
    pub kind: String,
    pub minutes: f64,
    /// Today in one line an arch; nothing while the case is on hold.
    pub today: Vec<String>,
    /// There is an error that the doctor has not accepted: print the hold card.
    pub on_hold: bool,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DaySheet {
    pub schema: &'static str,
    pub date: Date,
    pub minutes: f64,
    pub rows: Vec<DayRow>,
    /// Practices that have less chair time than is booked; absent where there is none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub full: Vec<FullDay>,
}

/// Visits to come on that day, longest first: they are booked around the others. Each with its plan's
/// place in `plans` and its number.
pub fn visits_on(plans: &[Plan<'_>], date: Date) -> Vec<(usize, usize)> {
    let mut found: Vec<(f64, String, usize, usize)> = Vec::new();
    for (index, plan) in plans.iter().enumerate() {
        for (number, visit) in plan.coming().filter(|(_, v)| v.date == date) {
            found.push((visit.minutes, masked(&plan.case.chart), index, number));
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    found.into_iter().map(|(_, _, index, number)| (index, number)).collect()
}

/// Cases with a visit to come on that day, in the order of [`visits_on`].
pub fn day_sheet(plans: &[Plan<'_>], date: Date) -> DaySheet {
    let row = |(index, number): (usize, usize)| {
        let plan = &plans[index];
        let (_, visit) = plan.visit(number)?;
        let on_hold = !plan.blocking().is_empty();
        let card = if on_hold { None } else { staff_card(plan, number) };
        Some(DayRow {
            chart: masked(&plan.case.chart),
            doctor: plan.case.doctor.as_deref().map(masked),
            kind: card.as_ref().map_or_else(|| "On hold".to_owned(), |c| c.head.kind.clone()),
            minutes: visit.minutes,
            today: card.map(|c| c.today).unwrap_or_default(),
            on_hold,
        })
    };
    let rows: Vec<DayRow> = visits_on(plans, date).into_iter().filter_map(row).collect();
    let minutes = rows.iter().map(|r| r.minutes).sum();
    DaySheet { schema: super::SCHEMA, date, minutes, rows, full: full_days(plans, date, date) }
}
