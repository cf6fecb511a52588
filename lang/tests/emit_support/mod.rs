//! Cases of the invented practice Saltmarsh with a course that a test can foresee (every wire is passive in
//! time, visits lie eight weeks apart). What the real course says is tested elsewhere; here it is what
//! documents make of a course.
#![allow(dead_code)]

use std::sync::Mutex;

use jiff::ToSpan;
use jiff::civil::Date;
use springline_lang::course::{
    EndReason, Forecast, PhaseCache, PlannedVisit, TimeBand, ToothLoad, VisitReason,
};
use springline_lang::model::house::Task;
use springline_lang::model::step::{Act, ActKind, Condition, Term};
use springline_lang::model::{Case, Origin};
use springline_lang::units::tooth::{Arch, Tooth};
use springline_test_support::Practices;
pub use springline_test_support::nowhere;

/// A case of that practice.
pub fn case_of(text: &str) -> Case {
    Practices::of(include_str!("saltmarsh.spring")).case(text)
}

pub fn t(code: u32) -> Tooth {
    Tooth::iso(code).expect("a tooth")
}

pub fn teeth(codes: &[u32]) -> Vec<Tooth> {
    codes.iter().map(|c| t(*c)).collect()
}

pub fn act(kind: ActKind) -> Act {
    Act { text: kind.keyword().into(), kind, origin: Origin::Case, place: nowhere() }
}

pub fn until(term: Term, text: &str) -> Condition {
    Condition { terms: vec![term], all: true, text: text.into() }
}

/// The upper right lateral blocked out: space first, then in by an overlay, then in the arch wire.
pub fn lateral_blocked_out() -> Case {
    case_of(include_str!("lateral-blocked-out.spring"))
}

/// First premolars out, spaces closed from the molars to posts, triangle elastics to finish.
pub fn premolars_out() -> Case {
    case_of(include_str!("premolars-out.spring"))
}

/// Two rows of the practice's sequence, nothing else.
pub fn plain() -> Case {
    case_of(include_str!("plain.spring"))
}

fn band(start: Date, weeks: [f64; 3]) -> TimeBand {
    let days = weeks.map(|w| w * 7.0);
    let date = |d: f64| start.saturating_add((d as i64).days());
    TimeBand {
        early_days: days[0],
        median_days: days[1],
        late_days: days[2],
        dates: Some(days.map(date)),
    }
}

/// The real course with its days smoothed: every wire is passive in eight weeks, both arches change
/// together, the same teeth are tested. So documents are tested without the arithmetic behind them.
pub fn forecast(case: &Case, today: Date) -> Forecast {
    static MEMORY: Mutex<Option<PhaseCache>> = Mutex::new(None);
    let mut memory = MEMORY.lock().expect("not poisoned");
    let memory = memory.get_or_insert_default();
    let mut forecast = springline_lang::course::forecast_with(case, Some(today), memory);
    let start = case.start.map_or(today, |(d, _)| d);
    for arch in &mut forecast.arches {
        for (i, phase) in arch.phases.iter_mut().enumerate() {
            let date_in = start.saturating_add((56 * i as i64).days());
            let steady = |load: &mut ToothLoad, k: usize| {
                load.peak_n = 1.0 + 0.1 * k as f64;
                load.delivered_n = 0.6 + 0.05 * k as f64;
                load.sustained_n = 0.4;
            };
            phase.insertion.teeth.iter_mut().enumerate().for_each(|(k, l)| steady(l, k));
            phase.date_in = Some(date_in);
            phase.begun = date_in <= today;
            phase.passive.quarter = Some(band(date_in, [4.0, 8.0, 15.0]));
            phase.passive.no_bend = Some(band(date_in, [6.0, 12.0, 22.0]));
            phase.end.reason = EndReason::Passive;
            phase.end.predicted = Some(band(date_in, [4.0, 8.0, 15.0]));
            phase.end.date = Some(date_in.saturating_add(56.days()));
            for site in &mut phase.room.sites {
                site.space_in_mm = 4.0;
            }
        }
    }
    let count = case.arches.iter().map(|a| a.steps.len()).max().unwrap_or(0);
    let model = forecast.visits.first().expect("a start").clone();
    forecast.visits = (0..=count).map(|i| visit(case, &model, start, i, count)).collect();
    forecast.read_anew(case)
}

fn visit(case: &Case, model: &PlannedVisit, start: Date, i: usize, count: usize) -> PlannedVisit {
    let date = start.saturating_add((56 * i as i64).days());
    let arches = case
        .arches
        .iter()
        .zip(model.arches.iter().cycle())
        .map(|(arch, model)| {
            let last = arch.steps.len() - 1;
            let now = (i > 0).then(|| (i - 1).min(last));
            let next = (i <= last).then_some(i);
            let mut visit = model.clone();
            visit.arch = arch.arch;
            visit.test = match (now, arch.arch) {
                (None, _) => Vec::new(),
                (_, Arch::Upper) => teeth(&[13, 11, 22]),
                (_, Arch::Lower) => teeth(&[42, 33]),
            };
            (visit.phase, visit.step) = (now, now);
            visit.name = now.map(|n| arch.steps[n].name.clone());
            (visit.next_phase, visit.next_step) = (next, next);
            visit.next_name = next.map(|n| arch.steps[n].name.clone());
            visit.change_expected = next.is_some();
            visit.chance = Some(0.5);
            visit.found = None;
            visit
        })
        .collect();
    let (kind, reason) = match i {
        0 => (Task::BondUp, VisitReason::Start),
        _ if i == count => (Task::Debond, VisitReason::Debond),
        _ => (Task::WireChange, VisitReason::Passive { arch: Arch::Upper }),
    };
    let mut visit = model.clone();
    visit.date = date;
    visit.window = (date, date.saturating_add(14.days()));
    visit.recorded = case.visits.iter().position(|v| v.on == date);
    visit.was_planned_for = None;
    visit.arches = arches;
    visit.kind = kind;
    visit.tasks = vec![(kind, kind.default_minutes())];
    visit.minutes = kind.default_minutes();
    visit.reason = reason;
    visit.quantile = Some(0.5);
    visit.key = format!("visit-{i}");
    visit
}
