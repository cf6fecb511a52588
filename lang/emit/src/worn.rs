//! Which elastics are to be worn from a visit on.

use jiff::civil::Date;

use super::plan::{Plan, VisitToday};
use super::recorded;
use springline_model::case::Elastics;
use springline_model::house::Task;

/// Settling time where neither step nor house says one.
const SETTLE: f64 = 28.0;

/// The elastics blocks of the case that are on when the patient leaves this visit.
pub fn worn<'a>(plan: &Plan<'a>, today: &VisitToday<'a>) -> Vec<&'a Elastics> {
    if matches!(today.visit.kind, Task::Debond | Task::RetainerCheck) {
        return Vec::new();
    }
    plan.case.elastics.iter().filter(|e| begun(e, today) && !ended(plan, e, today)).collect()
}

/// Both arches have come to the step they are worn from, and its wire has settled where asked.
fn begun(elastics: &Elastics, today: &VisitToday<'_>) -> bool {
    let Some((from, settled, _)) = &elastics.from else { return true };
    today.arches.iter().all(|arch| {
        let Some(first) = arch.arch.steps.iter().position(|s| s.name == *from) else {
            return true;
        };
        let here = if *settled { arch.now } else { arch.after() };
        let Some(here) = here else { return false };
        if here.phase.step < first {
            return false;
        }
        if !*settled || here.phase.step > first {
            return true;
        }
        let days = here.step.settle.as_ref().map_or(SETTLE, |s| s.value.days());
        here.phase.date_in.is_some_and(|day| on_or_after(today.visit.date, day, days))
    })
}

fn on_or_after(day: Date, start: Date, days: f64) -> bool {
    super::dates::days_between(start, day) as f64 >= days - 0.5
}

/// Worn long enough, or a record shows that the measure is reached.
fn ended(plan: &Plan<'_>, elastics: &Elastics, today: &VisitToday<'_>) -> bool {
    let day = today.visit.date;
    elastics.until.as_ref().is_some_and(|(c, _)| recorded::is_met(plan.case, c, day))
        || last_day(plan, elastics).is_some_and(|end| day >= end)
}

/// The day on which `longest` is over.
pub fn last_day(plan: &Plan<'_>, elastics: &Elastics) -> Option<Date> {
    let (longest, _) = elastics.longest.as_ref()?;
    longest.after(first_day(plan, elastics)?)
}

/// The day the later arch came to the step they are worn from, settled there where that is asked.
fn first_day(plan: &Plan<'_>, elastics: &Elastics) -> Option<Date> {
    let (from, settled, _) = elastics.from.as_ref()?;
    let days = plan.case.arches.iter().filter_map(|arch| {
        let step = arch.steps.iter().position(|s| s.name == *from)?;
        let wait = if *settled {
            arch.steps[step].settle.as_ref().map_or(SETTLE, |s| s.value.days())
        } else {
            0.0
        };
        let day = plan.forecast.arch(arch.arch)?.phase_of_step(step)?.date_in?;
        Some(super::dates::after(day, wait))
    });
    days.max()
}
