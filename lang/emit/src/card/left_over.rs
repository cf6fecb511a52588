//! Staff card: what the last record leaves for this visit.

use super::{dates, masked, wording};
use crate::plan::{Plan, VisitToday};
use springline_course::{Obligation, Observation, Standing};
use springline_model::case::{Found, Visit, Wear};
use springline_model::house::Task;
use springline_units::tooth::Side;

/// Pain of which the doctor hears, of ten.
const STRONG_PAIN: f64 = 7.0;

/// Only on the card of the next visit: a later one will have been printed again.
pub fn lines(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<String> {
    if today.moment.standing != Standing::Foreseen {
        return Vec::new();
    }
    let all = plan.forecast.timeline.obligations();
    let open = today.moment.open.iter().filter_map(|i| all.get(*i));
    let mut out: Vec<String> = open.filter_map(|o| mended_today(plan, o)).collect();
    let last = plan.case.visits.iter().max_by_key(|v| v.on);
    let is_next = plan.coming().next().is_some_and(|(number, _)| number == today.number);
    if let Some(visit) = last.filter(|_| is_next) {
        out.extend(told(plan, visit));
        out.extend(unmentioned(today, visit));
        let missed = plan.case.missed.iter().map(|(day, _)| *day).filter(|day| *day > visit.on);
        out.extend(missed.map(|day| {
            format!(
                "Missed on {}: what was due then is overdue, look at it first.",
                dates::long(day)
            )
        }));
    }
    out
}

/// A fault that no record shows to be mended. Brackets that are off have their own line.
fn mended_today(plan: &Plan<'_>, open: &Obligation) -> Option<String> {
    let n = plan.notation();
    let since = dates::long(open.since);
    Some(match open.observed {
        Observation::Loose(_) => return None,
        Observation::LostStop(spot) => format!(
            "Stop {} lost on {since}: a new one today, or the doctor says without.",
            wording::spots(&[spot], n)
        ),
        Observation::Out(tooth) => format!(
            "Wire out of {} on {since}: in again? Long enough behind it, or cut back?",
            tooth.write(n)
        ),
        Observation::Poking(tooth) => format!(
            "End poked at {} on {since}: feel it; is the wire longer there than on the other side?",
            tooth.write(n)
        ),
        Observation::SlideOpen(tooth) => format!(
            "Slide of {} stayed open on {since}: test it first; if it opens again, a new bracket.",
            tooth.write(n)
        ),
        Observation::NoWire(arch) => {
            format!("{}: no wire since {since}. One goes in today.", wording::arch(arch))
        }
    })
}

/// What the last record says beside its faults.
fn told(plan: &Plan<'_>, visit: &Visit) -> Vec<String> {
    let n = plan.notation();
    let on = dates::long(visit.on);
    let mut out = Vec::new();
    for seen in &visit.arches {
        let arch = wording::arch(seen.arch);
        match &seen.found {
            Some(Found::Binds { teeth }) => out.push(format!(
                "{arch}: the wire bound at {} on {on}: test there first.",
                wording::list(teeth, n)
            )),
            Some(Found::NotTested) => {
                out.push(format!("{arch}: not tested on {on}: test it before anything else."));
            }
            _ => {}
        }
    }
    if let Some((score, scale)) = visit.pain
        && 10.0 * f64::from(score) >= STRONG_PAIN * f64::from(scale)
    {
        out.push(format!(
            "Pain {score} of {scale} on {on}: better? Bite and loose teeth; no heavier wire without the doctor."
        ));
    }
    for (side, wear) in &visit.wear {
        let how = match wear {
            Wear::Partly => "partly",
            Wear::Nothing => "not at all",
            Wear::Good | Wear::Hours { .. } => continue,
        };
        let side = match side {
            Some(Side::Right) => " on the right",
            Some(Side::Left) => " on the left",
            None => "",
        };
        out.push(format!("Elastics{side} were worn {how} up to {on}: ask, and show them again."));
    }
    if !visit.raisers_off.is_empty() {
        out.push(format!(
            "Bite raisers off {} since {on}: is a bracket bitten on?",
            wording::list(&visit.raisers_off, n)
        ));
    }
    if matches!(visit.kind, Some(Task::Emergency | Task::Repair)) {
        let acts = visit.arches.iter().flat_map(|a| &a.acts);
        let acts = acts.filter_map(|act| wording::repaired(&act.kind, n));
        out.extend(acts.map(|what| format!("Repaired on {on}: {what}. Does it hold?")));
    }
    out.extend(visit.notes.iter().map(|note| {
        format!("Noted on {on}: \u{201c}{}\u{201d}.", masked(note).trim_end_matches('.'))
    }));
    out
}

/// An arch with a wire of which the last record says nothing.
fn unmentioned(today: &VisitToday<'_>, visit: &Visit) -> Vec<String> {
    let said = |arch| {
        visit.as_planned
            || visit.arches.iter().any(|a| a.arch == arch)
            || matches!(visit.kind, Some(Task::Emergency | Task::Repair))
    };
    let wired = today
        .arches
        .iter()
        .filter(|a| a.now.is_some_and(|now| now.phase.date_in.is_some_and(|date| date < visit.on)));
    let silent = wired.map(|a| a.arch.arch).filter(|arch| !said(*arch));
    let on = dates::long(visit.on);
    silent
        .map(|arch| {
            format!(
                "{}: the record of {on} says nothing of it: what was done?",
                wording::arch(arch)
            )
        })
        .collect()
}
