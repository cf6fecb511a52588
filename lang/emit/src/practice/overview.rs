//! The practice overview: open findings first, then the day, the tray, the stock, overdue patients,
//! departures and unused stock.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use super::listing::Listing;
use super::{
    DaySheet, FullDay, OffSequence, Overdue, PullList, SCHEMA, day_sheet, full_days, off_sequence,
    overdue, pull_list, unused_wires,
};
use crate::caution::CAUTION;
use crate::plan::Plan;
use crate::{dates, masked, wording};
use springline_finding::{Code, Severity};
use springline_model::stock::printed;
use springline_units::quantity::plain;

/// The requested lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ask {
    Findings,
    Day,
    Pull,
    Stock,
    Overdue,
    Departures,
    Drawer,
}

impl Ask {
    /// Findings first.
    pub const ALL: [Ask; 7] = [
        Ask::Findings,
        Ask::Day,
        Ask::Pull,
        Ask::Stock,
        Ask::Overdue,
        Ask::Departures,
        Ask::Drawer,
    ];
}

/// Days the lists are about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OverviewDays {
    pub today: Date,
    /// The day of the day list and of the set-up.
    pub day: Date,
    /// The last day of the stock list.
    pub until: Date,
}

/// A case with findings that were not accepted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OpenFinding {
    pub chart: String,
    pub code: Code,
    pub severity: Severity,
    pub message: String,
    /// Only a hold card prints.
    pub on_hold: bool,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Unused {
    pub house: String,
    pub wires: Vec<String>,
}

/// The requested lists; the others are absent.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Overview {
    pub schema: &'static str,
    pub today: Date,
    pub cases: usize,
    /// Files that could not be read, or were skipped.
    #[serde(skip)]
    pub not_looked_at: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub findings: Option<Vec<OpenFinding>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub day: Option<DaySheet>,
    /// Days up to the last of the stock list that are booked for more than there is chair time; absent
    /// where no practice file says how much there is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub full: Option<Vec<FullDay>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pull: Option<PullList>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stock: Option<PullList>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub overdue: Option<Vec<Overdue>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub departures: Option<Vec<OffSequence>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unused: Option<Vec<Unused>>,
    pub note: &'static str,
}

pub fn overview(plans: &[Plan<'_>], days: OverviewDays, asked: &[Ask]) -> Overview {
    let want = |ask: Ask| asked.contains(&ask);
    Overview {
        schema: SCHEMA,
        today: days.today,
        cases: plans.len(),
        not_looked_at: 0,
        findings: want(Ask::Findings).then(|| open_findings(plans)),
        day: want(Ask::Day).then(|| day_sheet(plans, days.day)),
        full: (want(Ask::Day) && plans.iter().any(|p| !p.house().chair_time.is_empty()))
            .then(|| full_days(plans, days.today.min(days.day), days.until.max(days.day))),
        pull: want(Ask::Pull).then(|| pull_list(plans, days.day, days.day)),
        stock: want(Ask::Stock).then(|| pull_list(plans, days.today, days.until)),
        overdue: want(Ask::Overdue).then(|| overdue(plans, days.today)),
        departures: want(Ask::Departures).then(|| off_sequence(plans)),
        unused: want(Ask::Drawer).then(|| unused(plans)),
        note: CAUTION,
    }
}

/// Errors and warnings that were not accepted, worst first.
fn open_findings(plans: &[Plan<'_>]) -> Vec<OpenFinding> {
    let mut out: Vec<OpenFinding> = Vec::new();
    for plan in plans {
        let on_hold = !plan.blocking().is_empty();
        let open =
            plan.findings.iter().filter(|f| f.accepted.is_none() && f.severity != Severity::Advice);
        out.extend(open.map(|f| OpenFinding {
            chart: masked(&plan.case.chart),
            code: f.code.clone(),
            severity: f.severity,
            message: masked(&f.message),
            on_hold,
        }));
    }
    out.sort_by(|a, b| a.severity.cmp(&b.severity).then_with(|| a.chart.cmp(&b.chart)));
    out
}

fn unused(plans: &[Plan<'_>]) -> Vec<Unused> {
    let mut houses: BTreeMap<&str, &Plan<'_>> = BTreeMap::new();
    for plan in plans {
        houses.entry(plan.house().title.as_str()).or_insert(plan);
    }
    houses
        .into_iter()
        .map(|(title, plan)| Unused {
            house: masked(title),
            wires: unused_wires(plan.house(), plans),
        })
        .collect()
}

impl Overview {
    /// The same as tables, in the same order.
    pub fn listings(&self) -> Vec<Listing> {
        let mut out = Vec::new();
        out.extend(self.findings.as_ref().map(|rows| {
            Listing {
                title: match self.not_looked_at {
                    0 => "Open findings".to_owned(),
                    n => format!("Open findings ({n} not checked)"),
                },
                head: vec!["Chart", "Level", "Finding", "Name"],
                rows: rows
                    .iter()
                    .map(|f| {
                        let weight = if f.on_hold && f.severity == Severity::Error {
                            "error, on hold".to_owned()
                        } else {
                            f.severity.to_string()
                        };
                        vec![f.chart.clone(), weight, f.message.clone(), f.code.to_string()]
                    })
                    .collect(),
                none: match self.not_looked_at {
                    0 => "None: every case may be printed.".to_owned(),
                    n => format!("None in the cases checked; {n} were not."),
                },
            }
        }));
        out.extend(self.day.as_ref().map(day));
        out.extend(self.full.as_ref().map(|rows| {
            let row = |f: &FullDay| {
                vec![
                    dates::long(f.date),
                    f.practice.clone(),
                    f.visits.to_string(),
                    format!("{} min", plain(f.minutes)),
                    format!("{} min", plain(f.chair_time)),
                ]
            };
            Listing {
                title: "Days booked for more than the chair time".to_owned(),
                head: vec!["Day", "Practice", "Visits", "Booked", "Chair time"],
                rows: rows.iter().map(row).collect(),
                none: "None.".to_owned(),
            }
        }));
        out.extend(self.pull.as_ref().map(|l| pull(l, "Tray set-up")));
        out.extend(self.stock.as_ref().map(|l| pull(l, "Stock needed")));
        out.extend(self.overdue.as_ref().map(|rows| {
            Listing {
                title: "Overdue".to_owned(),
                head: vec!["Chart", "Planned", "Days late"],
                rows: rows
                    .iter()
                    .map(|o| vec![o.chart.clone(), dates::long(o.planned), o.days.to_string()])
                    .collect(),
                none: "No overdue visits.".to_owned(),
            }
        }));
        out.extend(self.departures.as_ref().map(|rows| {
            Listing {
                title: "Departures from the usual sequence in steps to come".to_owned(),
                head: vec!["Chart", "Arch", "Step", "Departure", "Reason"],
                rows: rows
                    .iter()
                    .map(|o| {
                        vec![
                            o.chart.clone(),
                            wording::arch(o.arch).to_owned(),
                            o.step.clone(),
                            o.how.join("; "),
                            o.because.join("; "),
                        ]
                    })
                    .collect(),
                none: "No departures.".to_owned(),
            }
        }));
        out.extend(self.unused.as_ref().map(|rows| {
            Listing {
                title: "Unused wires".to_owned(),
                head: vec!["Practice", "Wires"],
                rows: rows
                    .iter()
                    .filter(|u| !u.wires.is_empty())
                    .map(|u| vec![u.house.clone(), u.wires.join(", ")])
                    .collect(),
                none: "Every wire is used.".to_owned(),
            }
        }));
        out
    }
}

/// The day as a table; what is too much stands in its title, which every form of it has.
pub fn day(sheet: &DaySheet) -> Listing {
    let over: String = sheet
        .full
        .iter()
        .map(|f| {
            let more = plain(f.minutes - f.chair_time);
            format!("; {more} min more than {} has ({} min)", f.practice, plain(f.chair_time))
        })
        .collect();
    let patients = match sheet.rows.len() {
        1 => "1 patient".to_owned(),
        n => format!("{n} patients"),
    };
    let title =
        format!("{}: {patients}, {} min{over}", dates::long(sheet.date), plain(sheet.minutes));
    let row = |r: &super::DayRow| {
        let what = match r.on_hold {
            true => "hold card only: errors need the doctor's decision".to_owned(),
            false => r.today.join(" "),
        };
        let doctor = r.doctor.clone().unwrap_or_default();
        vec![r.chart.clone(), r.kind.clone(), format!("{} min", plain(r.minutes)), doctor, what]
    };
    Listing {
        title,
        head: vec!["Chart", "Visit", "Time", "Doctor", "Today"],
        rows: sheet.rows.iter().map(row).collect(),
        none: "No appointments.".to_owned(),
    }
}

fn pull(list: &PullList, title: &str) -> Listing {
    let days = match list.from == list.to {
        true => dates::long(list.from),
        false => format!("{} to {}", dates::long(list.from), dates::long(list.to)),
    };
    Listing {
        title: format!("{title}, {days}: {} visits", list.visits),
        head: vec!["Count", "Kind", "What", "For"],
        rows: list
            .items
            .iter()
            .map(|i| {
                vec![i.count.to_string(), i.kind.to_owned(), printed(&i.what), i.charts.join(", ")]
            })
            .collect(),
        none: "Nothing.".to_owned(),
    }
}
