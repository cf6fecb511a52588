//! Total treatment time, as a range.

use jiff::civil::Date;

use super::dates;
use super::plan::Plan;
use springline_course::{ArchForecast, EndReason, Phase};
use springline_model::house::Task;

/// Days of a month, on average.
const MONTH: f64 = 30.4;

/// Months from the start to the debond: eight patients in ten lie between the ends. `None` where the case has no start, or its end is not foreseen.
pub fn months(plan: &Plan<'_>) -> Option<(u32, u32)> {
    let (start, _) = plan.case.start?;
    let whole = |days: f64| (days / MONTH).max(1.0);
    if let Some(day) = plan.case.debond.as_ref().and_then(|d| d.on) {
        let months = whole(between(start, day)).round() as u32;
        return Some((months, months));
    }
    let end = plan.forecast.visits.iter().find(|v| v.kind == Task::Debond)?;
    let foreseen = |a: &ArchForecast| {
        a.phases.iter().all(|p| !matches!(p.end.reason, EndReason::Never { .. }))
    };
    if !plan.forecast.arches.iter().all(foreseen) {
        return None;
    }
    let planned = between(start, end.date);
    // Both arches have to be done: what is saved is what the slower one saves.
    let shortest = plan.house().shortest.value.days();
    let sums = || plan.forecast.arches.iter().map(|a| spread(a, shortest));
    let saved = sums().map(|(saved, _)| saved).fold(f64::INFINITY, f64::min);
    let lost = sums().map(|(_, lost)| lost).fold(0.0, f64::max);
    let early = (planned - if saved.is_finite() { saved } else { 0.0 }).max(0.0);
    Some((whole(early).floor() as u32, whole(planned + lost).ceil() as u32))
}

/// Days that an arch would take less in a fast patient and more in a slow one. The same patient is
/// fast or slow in every step.
fn spread(arch: &ArchForecast, shortest: f64) -> (f64, f64) {
    let mut out = (0.0, 0.0);
    for phase in &arch.phases {
        let (early, planned, late) = days(phase, shortest);
        out.0 += (planned - early).max(0.0);
        out.1 += (late - planned).max(0.0);
    }
    out
}

/// Early, planned and late days of a wire; nobody is seen before the shortest interval is over.
fn days(phase: &Phase, shortest: f64) -> (f64, f64, f64) {
    let planned = match (phase.date_in, phase.end.date) {
        (Some(from), Some(to)) => between(from, to),
        _ => phase.booked_days,
    };
    match (&phase.end.reason, &phase.end.predicted) {
        (EndReason::Recorded { .. }, _) | (_, None) => (planned, planned, planned),
        (_, Some(band)) => {
            let early = band.early_days.max(shortest).min(planned);
            (early, planned, band.late_days.max(planned))
        }
    }
}

fn between(from: Date, to: Date) -> f64 {
    dates::days_between(from, to)
}
