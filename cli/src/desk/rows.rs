//! The practice as rows, one a plan, from the same lists as `springline practice`: next visit, what is open,
//! what is late, and every visit to come with its minutes.

use std::ops::ControlFlow;
use std::sync::atomic::Ordering;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use springline_emit::Plan;
use springline_emit::practice::{Ask, OverviewDays, day_sheet, overview};
use springline_lang::Checked;
use springline_lang::finding::Severity;
use springline_lang::syntax::FileKind;

use super::state::Desk;
use crate::cache::Cache;
use crate::cases;
use crate::find::{self, PlanFile};
use crate::judge;

/// Form of a stored row.
const FORM: &str = "springline desk 1";

/// Plans computed before what is known of them is told: few, so that the first rows come soon.
const TOGETHER: usize = 16;

/// What a row says of one plan.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct PlanRow {
    /// A practice file.
    pub house: bool,
    pub chart: String,
    pub doctor: Option<String>,
    pub errors: usize,
    pub warnings: usize,
    /// Only the hold card prints.
    pub on_hold: bool,
    /// The gravest finding in words.
    pub open: Option<String>,
    pub late: Option<LateVisit>,
    pub visits: Vec<VisitToCome>,
    /// It cannot be read as far as a course.
    pub unread: bool,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LateVisit {
    pub planned: Date,
    pub days: i64,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct VisitToCome {
    pub date: Date,
    pub kind: String,
    pub minutes: f64,
    /// Today in one line an arch.
    pub what: Vec<String>,
    /// The practice's chair time on that day, all chairs together.
    pub chair_minutes: Option<f64>,
}

/// A row with the plan that it is about.
#[derive(Debug, Serialize)]
pub struct NamedRow {
    pub doc: String,
    #[serde(flatten)]
    pub row: PlanRow,
}

/// Every plan of the folder, by its name below it.
pub fn names(desk: &Desk) -> Vec<String> {
    listed(desk).iter().filter_map(name).collect()
}

fn listed(desk: &Desk) -> Vec<PlanFile> {
    find::find(&[desk.folder.root().to_path_buf()]).plans
}

/// With the strokes that addresses have; a name that is no text has no address.
fn name(plan: &PlanFile) -> Option<String> {
    let parts = plan.within.iter().map(|part| part.to_str());
    Some(parts.collect::<Option<Vec<_>>>()?.join("/"))
}

/// Computes the rows and tells them a few at a time, until nobody wants more.
pub fn compute(desk: &Desk, mut tell: impl FnMut(Vec<NamedRow>) -> ControlFlow<()>) {
    let cache = Cache::of_form(FORM, desk.today());
    let plans = listed(desk);
    let today = desk.today();
    judge::quietly(
        &plans,
        today,
        TOGETHER,
        |run, plan| run.made(plan, cache.as_ref(), |checked| row(checked, today)),
        |plans, rows| {
            let named = plans.iter().zip(rows).filter_map(|(plan, row)| {
                let row = row.unwrap_or_else(|_| PlanRow { unread: true, ..PlanRow::default() });
                Some(NamedRow { doc: name(plan)?, row })
            });
            tell(named.collect())
        },
    );
    // Once a run is enough to keep it bounded.
    if let Some(cache) = cache
        && !desk.is_swept.swap(true, Ordering::Relaxed)
    {
        cache.sweep();
    }
}

fn row(checked: &Checked, today: Date) -> PlanRow {
    let stamp = cases::stamp(checked, today);
    let house = checked.parse.kind == FileKind::House;
    let open = checked.findings.iter().filter(|f| f.accepted.is_none());
    let count = |severity| open.clone().filter(|f| f.severity == severity).count();
    let gravest =
        open.clone().filter(|f| f.severity != Severity::Advice).min_by_key(|f| f.severity);
    let mut row = PlanRow {
        house,
        errors: count(Severity::Error),
        warnings: count(Severity::Warning),
        open: gravest.map(|f| f.message.clone()),
        ..PlanRow::default()
    };
    let Some(plan) = Plan::of(checked.course(), &checked.findings, today, &stamp) else {
        row.unread = !house;
        return row;
    };
    let days = OverviewDays { today, day: today, until: today };
    let lists = overview(&[plan], days, &[Ask::Overdue]);
    let late = lists.overdue.into_iter().flatten().next();
    row.chart.clone_from(&plan.case.chart);
    row.doctor = plan.case.doctor.as_deref().map(str::to_owned);
    row.on_hold = !plan.blocking().is_empty();
    row.late = late.map(|o| LateVisit { planned: o.planned, days: o.days });
    row.visits = visits(&plan);
    row
}

fn visits(plan: &Plan<'_>) -> Vec<VisitToCome> {
    let mut days: Vec<Date> = plan.coming().map(|(_, v)| v.date).collect();
    days.dedup();
    let of_day = |date: Date| {
        let chair_minutes = plan.house().chair_minutes(date);
        let rows = day_sheet(&[*plan], date).rows;
        rows.into_iter().map(move |r| VisitToCome {
            date,
            kind: r.kind,
            minutes: r.minutes,
            what: r.today,
            chair_minutes,
        })
    };
    days.into_iter().flat_map(of_day).collect()
}
