//! The day list: who comes, what for, how long.

use jiff::civil::Date;
use serde::Serialize;

use super::columns;
use crate::emit::card::staff_card;
use crate::emit::plan::Plan;
use crate::emit::{dates, own_words};
use crate::model::quantity::plain;

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DayRow {
    pub chart: String,
    pub doctor: Option<String>,
    pub kind: String,
    pub minutes: f64,
    /// Today in one line an arch; nothing while the case is on hold.
    pub today: Vec<String>,
    /// An error stands that the doctor has not accepted: print the hold card.
    pub on_hold: bool,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DaySheet {
    pub schema: &'static str,
    pub date: Date,
    pub minutes: f64,
    pub rows: Vec<DayRow>,
}

/// Cases with a visit to come on that day, longest first: they are booked around the others.
pub fn day_sheet(plans: &[Plan<'_>], date: Date) -> DaySheet {
    let mut rows = Vec::new();
    for plan in plans {
        for (number, visit) in plan.coming().filter(|(_, v)| v.date == date) {
            let on_hold = !plan.blocking().is_empty();
            let card = if on_hold { None } else { staff_card(plan, number) };
            rows.push(DayRow {
                chart: own_words(&plan.case.chart),
                doctor: plan.case.doctor.as_deref().map(own_words),
                kind: card.as_ref().map_or_else(|| "On hold".to_owned(), |c| c.head.kind.clone()),
                minutes: visit.minutes,
                today: card.map(|c| c.today).unwrap_or_default(),
                on_hold,
            });
        }
    }
    rows.sort_by(|a, b| b.minutes.total_cmp(&a.minutes).then_with(|| a.chart.cmp(&b.chart)));
    let minutes = rows.iter().map(|r| r.minutes).sum();
    DaySheet { schema: super::SCHEMA, date, minutes, rows }
}

impl DaySheet {
    pub fn human(&self) -> String {
        if self.rows.is_empty() {
            return format!("{}: no appointments.\n", dates::long(self.date));
        }
        let rows: Vec<Vec<String>> = self
            .rows
            .iter()
            .map(|r| {
                let today = if r.on_hold {
                    "hold card only: errors need the doctor's decision".to_owned()
                } else {
                    r.today.join(" ")
                };
                vec![
                    r.chart.clone(),
                    r.kind.clone(),
                    format!("{} min", plain(r.minutes)),
                    r.doctor.clone().unwrap_or_default(),
                    today,
                ]
            })
            .collect();
        format!(
            "{}: {} patients, {} min\n\n{}",
            dates::long(self.date),
            self.rows.len(),
            plain(self.minutes),
            columns(&rows)
        )
    }
}
