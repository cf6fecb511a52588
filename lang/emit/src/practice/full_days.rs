//! Days booked for more than the available chair time.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use crate::plan::Plan;
use crate::{dates, masked};
use springline_units::quantity::plain;

/// A day with more booked than there is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FullDay {
    pub practice: String,
    pub date: Date,
    pub visits: usize,
    pub minutes: f64,
    /// What there is, all chairs together, as the practice file has it.
    pub chair_time: f64,
}

impl FullDay {
    /// In one sentence.
    pub fn words(&self) -> String {
        format!(
            "{}: {} visits take {} min, and {} has {} min of chair time: {} min too much",
            dates::long(self.date),
            self.visits,
            plain(self.minutes),
            self.practice,
            plain(self.chair_time),
            plain(self.minutes - self.chair_time)
        )
    }
}

/// From one day to another, both included, in order; a practice that does not say its chair time has no
/// full day.
pub fn full_days(plans: &[Plan<'_>], from: Date, to: Date) -> Vec<FullDay> {
    let mut days: BTreeMap<(Date, String), FullDay> = BTreeMap::new();
    for plan in plans {
        for (_, visit) in plan.coming().filter(|(_, v)| (from..=to).contains(&v.date)) {
            let Some(chair_time) = plan.house().chair_minutes(visit.date) else { continue };
            let practice = masked(&plan.house().title);
            let day = days.entry((visit.date, practice.clone())).or_insert(FullDay {
                practice,
                date: visit.date,
                visits: 0,
                minutes: 0.0,
                chair_time,
            });
            day.visits += 1;
            day.minutes += visit.minutes;
        }
    }
    days.into_values().filter(|d| d.minutes > d.chair_time).collect()
}
