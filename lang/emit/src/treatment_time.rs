//! Total treatment time, as a range.

use jiff::civil::Date;

use super::dates;
use super::plan::Plan;
use springline_course::{ArchForecast, EndReason, Phase};
use springline_model::house::Task;
use springline_model::step::{NextVisit, Step};

/// Days of a month, on average.
pub const MONTH: f64 = 30.4;

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
    let sums = || plan.forecast.arches.iter().map(|a| spread(plan, a, shortest));
    let saved = sums().map(|(saved, _)| saved).fold(f64::INFINITY, f64::min);
    let lost = sums().map(|(_, lost)| lost).fold(0.0, f64::max);
    let early = (planned - if saved.is_finite() { saved } else { 0.0 }).max(0.0);
    Some((whole(early).floor() as u32, whole(planned + lost).ceil() as u32))
}

/// Days that an arch would take less in a fast patient and more in a slow one. The same patient is
/// fast or slow in every step.
fn spread(plan: &Plan<'_>, arch: &ArchForecast, shortest: f64) -> (f64, f64) {
    let steps = plan.case.arch(arch.arch).map(|a| a.steps.as_slice()).unwrap_or_default();
    let mut out = (0.0, 0.0);
    for phase in &arch.phases {
        let step = phase.state.step;
        let interval = steps.get(step).map_or(shortest, |s| interval(s, shortest));
        let (early, planned, late) = days(phase, interval);
        out.0 += (planned - early).max(0.0);
        out.1 += (late - planned).max(0.0);
    }
    out
}

/// Days from a visit to the next in a step, at the soonest: as the plan has it, else the practice's shortest.
fn interval(step: &Step, shortest: f64) -> f64 {
    match step.next.value {
        NextVisit::Range { from, .. } => from.days().max(shortest),
        NextVisit::Computed | NextVisit::On { .. } => shortest,
    }
}

/// Early, planned and late days of a wire. It ends at a visit, and visits lie an interval apart: a fast patient is
/// seen no sooner.
fn days(phase: &Phase, interval: f64) -> (f64, f64, f64) {
    let planned = match (phase.date_in, phase.end.date) {
        (Some(from), Some(to)) => between(from, to),
        _ => phase.booked_days,
    };
    match (&phase.end.reason, &phase.end.predicted) {
        (EndReason::Recorded { .. }, _) | (_, None) => (planned, planned, planned),
        (_, Some(band)) => (
            first_visit(band.early_days, interval).min(planned),
            planned,
            band.late_days.max(planned),
        ),
    }
}

/// The first visit at which so many days are over, days.
fn first_visit(after_days: f64, interval: f64) -> f64 {
    let visits = (after_days / interval.max(1.0)).ceil().max(1.0);
    visits * interval
}

fn between(from: Date, to: Date) -> f64 {
    dates::days_between(from, to)
}

#[cfg(test)]
mod tests {
    use super::first_visit;

    #[test]
    fn a_wire_ends_at_a_visit_and_visits_lie_an_interval_apart() {
        assert_eq!(first_visit(10.0, 56.0), 56.0);
        assert_eq!(first_visit(57.0, 42.0), 84.0);
        assert_eq!(first_visit(84.0, 42.0), 84.0);
        assert_eq!(first_visit(0.0, 28.0), 28.0);
    }
}
