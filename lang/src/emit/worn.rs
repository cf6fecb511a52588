//! Which elastics are to be worn from a visit on.

use jiff::civil::Date;

use super::plan::{Plan, VisitToday};
use crate::model::case::Elastics;
use crate::model::quantity::Period;
use crate::model::step::{Condition, Term};

/// Settling time where neither step nor house says one.
const SETTLE: f64 = 28.0;

/// The elastics blocks of the case that are on when the patient leaves this visit.
pub fn worn<'a>(plan: &Plan<'a>, today: &VisitToday<'a>) -> Vec<&'a Elastics> {
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
    let reached = elastics.until.as_ref().is_some_and(|(c, _)| recorded(plan, c, today));
    let too_long = match (&elastics.longest, first_day(elastics, today)) {
        (Some((longest, _)), Some(first)) => past(first, *longest, today.visit.date),
        _ => false,
    };
    reached || too_long
}

fn past(first: Date, longest: Period, day: Date) -> bool {
    longest.after(first).is_some_and(|end| day >= end)
}

/// The day the later arch came to the step they are worn from.
fn first_day(elastics: &Elastics, today: &VisitToday<'_>) -> Option<Date> {
    let (from, _, _) = elastics.from.as_ref()?;
    today
        .arches
        .iter()
        .filter_map(|a| {
            let here = a.after()?;
            let first = a.arch.steps.iter().position(|s| s.name == *from)?;
            if here.phase.step == first { here.phase.date_in } else { None }
        })
        .max()
}

fn recorded(plan: &Plan<'_>, condition: &Condition, today: &VisitToday<'_>) -> bool {
    let start = &plan.case.bite;
    let overjet = plan
        .case
        .visits
        .iter()
        .filter(|v| v.on <= today.visit.date)
        .filter_map(|v| v.bite.overjet)
        .next_back();
    condition.terms.iter().any(|term| match term {
        Term::Overjet { overjet: aim } => match (start.overjet, overjet) {
            (Some((from, _)), Some((now, _))) if from >= *aim => now <= *aim,
            (Some(_), Some((now, _))) => now >= *aim,
            _ => false,
        },
        _ => false,
    })
}
