//! What recorded visits measured up to a date, and which conditions they show to be met.

use crate::mouth::pose::ToothPose;
use jiff::civil::Date;
use springline_model::Case;
use springline_model::case::{Gap, Visit};
use springline_model::stand::Stand;
use springline_model::step::{Condition, Term};
use springline_units::quantity::mm;
use springline_units::tooth::Tooth;
use std::collections::BTreeSet;

/// Visits up to a day with their index in the case, earliest first.
pub(crate) fn up_to(case: &Case, day: Date) -> Vec<(usize, &Visit)> {
    let mut visits: Vec<(usize, &Visit)> =
        case.visits.iter().enumerate().filter(|(_, v)| v.on <= day).collect();
    visits.sort_by_key(|(_, v)| v.on);
    visits
}

/// The day of the first record by which a condition is met.
pub(crate) fn first_met(case: &Case, condition: &Condition) -> Option<Date> {
    let mut visits = up_to(case, Date::MAX).into_iter().map(|(_, v)| v.on);
    visits.find(|on| is_met(case, condition, *on))
}

/// Whether the records show by a day that a condition is met; only what is measured counts.
pub(crate) fn is_met(case: &Case, condition: &Condition, day: Date) -> bool {
    let holds = |term: &Term| reached(case, term, day);
    match condition.terms.as_slice() {
        [] => false,
        terms if condition.all => terms.iter().all(holds),
        terms => terms.iter().any(holds),
    }
}

/// The first day from `since` on by which the bite raisers of these teeth are recorded as off.
pub(crate) fn raisers_off(case: &Case, teeth: &[Tooth], since: Date) -> Option<Date> {
    let mut on: BTreeSet<Tooth> = teeth.iter().copied().collect();
    let visits = up_to(case, Date::MAX).into_iter().map(|(_, v)| v).filter(|v| v.on >= since);
    visits.into_iter().find_map(|visit| {
        on.retain(|t| !visit.raisers_off.contains(t));
        on.is_empty().then_some(visit.on)
    })
}

pub(crate) fn reached(case: &Case, term: &Term, day: Date) -> bool {
    let visits: Vec<&Visit> = up_to(case, day).into_iter().map(|(_, v)| v).collect();
    match term {
        Term::Overjet { overjet } => {
            let start = case.bite.overjet.map(|(jet, _)| jet.mm());
            let last = visits.iter().filter_map(|v| Some(v.bite.overjet?.0.mm())).next_back();
            passed(start, last, overjet.mm())
        }
        Term::Overbite { length } => {
            let last = visits.iter().filter_map(|v| overbite_mm(&v.bite)).next_back();
            passed(overbite_mm(&case.bite), last, mm(*length))
        }
        Term::OverTheBite { teeth } => {
            teeth.iter().all(|t| visits.iter().any(|v| v.over_the_bite.contains(t)))
        }
        Term::Space { length, teeth } if !teeth.is_empty() => teeth.iter().all(|t| {
            let last = visits.iter().filter_map(|v| v.stands.get(t)?.0.space).next_back();
            last.is_some_and(|l| mm(l) >= mm(*length) - 0.05)
        }),
        Term::Gap { length, first, second } => {
            let here = |g: &Gap| {
                (g.first == *first && g.second == *second)
                    || (g.first == *second && g.second == *first)
            };
            let start = case
                .arch(first.arch())
                .and_then(|a| a.gaps.iter().find(|g| here(g)))
                .map(|g| mm(g.length));
            let last = visits.iter().filter_map(|v| v.gaps.iter().rfind(|g| here(g))).next_back();
            passed(start, last.map(|g| mm(g.length)), mm(*length))
        }
        // Only a measure that says how far it is off can show it to be near.
        Term::Within { length, teeth } if !teeth.is_empty() => teeth.iter().all(|t| {
            let mut said = visits.iter().filter_map(|v| v.stands.get(t).map(|(stand, _)| stand));
            let last = said.rfind(|s| s.in_out.is_some() || s.up_down.is_some());
            let off = |stand: &Stand| ToothPose::from_stand(*t, stand).off_mm();
            last.is_some_and(|stand| off(stand) <= mm(*length) + 0.05)
        }),
        _ => false,
    }
}

/// An open bite is an overbite under nothing.
pub(crate) fn overbite_mm(bite: &springline_model::case::Bite) -> Option<f64> {
    match (bite.overbite, bite.open_bite) {
        (Some((l, _)), _) => Some(mm(l)),
        (None, Some((l, _))) => Some(-mm(l)),
        (None, None) => None,
    }
}

/// The last measure has come to the aim from the side on which it began.
pub(crate) fn passed(start: Option<f64>, last: Option<f64>, aim: f64) -> bool {
    let Some(last) = last else { return false };
    match start {
        Some(start) if start >= aim => last <= aim,
        Some(_) => last >= aim,
        None => (last - aim).abs() < 0.25,
    }
}
