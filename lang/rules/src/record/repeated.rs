//! What records say again and again.

use crate::prelude::*;
use springline_course::calendar::days_between;
use springline_model::case::{Found, Hygiene, Visit};
use springline_model::house::Task;

pub const RULE: Rule = Rule {
    code: "record/repeated",
    severity: Severity::Warning,
    page: include_str!("repeated.md"),
    check,
    ..Rule::PLAIN
};

/// Days over which emergencies are counted, and how many say something (common practice, no source).
const EMERGENCY_DAYS: f64 = 183.0;
const EMERGENCIES: usize = 3;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut visits: Vec<&Visit> = context.case.visits.iter().collect();
    visits.sort_by_key(|v| v.on);
    let Some(last) = visits.last().copied() else { return };
    let mut add = |severity, message: String, why| {
        out.push(Finding::new(RULE.code, severity, last.place, message).why(why));
    };
    for arch in Arch::BOTH {
        let looks: Vec<(&Visit, &Found)> = visits
            .iter()
            .filter_map(|v| Some((*v, v.arches.iter().find(|a| a.arch == arch)?.found.as_ref()?)))
            .collect();
        let run = |is: fn(&Found) -> bool| looks.iter().rev().take_while(|(_, f)| is(f)).count();
        let active = run(|f| matches!(f, Found::Active | Found::Binds { .. }));
        if active >= 2 {
            let message = format!("The {arch} wire was still active at the last {active} looks.");
            let severity = if active > 2 { Severity::Warning } else { Severity::Advice };
            add(severity, message, "Something holds it: a bracket, the bite, a stop, or no space.");
        }
        let untested = run(|f| matches!(f, Found::NotTested));
        let changed = last.arches.iter().any(|a| {
            a.arch == arch
                && a.found == Some(Found::NotTested)
                && matches!(a.done, Some(springline_model::case::Done::Now { .. }))
        });
        if untested >= 2 || changed {
            let what = if changed {
                "was changed without a test"
            } else {
                "was not tested twice in a row"
            };
            add(
                Severity::Warning,
                format!("The {arch} wire {what}."),
                "Nobody knows what it has left to do.",
            );
        }
    }
    let poor =
        visits.iter().rev().filter_map(|v| v.hygiene).take_while(|h| *h == Hygiene::Poor).count();
    if poor > 0 {
        let times = if poor == 1 {
            "at the last visit".to_owned()
        } else {
            format!("at the last {poor} visits")
        };
        let severity = if poor > 1 { Severity::Warning } else { Severity::Advice };
        add(
            severity,
            format!("The cleaning was poor {times}."),
            "White spots come 3.1 times as often where it gets worse (Angle Orthod 2013;83:641, abstract).",
        );
    }
    if let Some((score, scale)) = last.pain {
        let of_ten = 10.0 * f64::from(score) / f64::from(scale);
        if of_ten >= 7.0 - 1e-9 {
            let severity = if of_ten >= 8.0 - 1e-9 { Severity::Warning } else { Severity::Advice };
            add(
                severity,
                format!("Pain was {score} of {scale} on {}.", last.on),
                "After the first days that is more than a wire does: a bite on one tooth, or a loose one.",
            );
        }
    }
    let missed = context.case.missed.iter().filter(|(day, _)| *day > last.on).count();
    if missed > 0 {
        let times = if missed == 1 {
            "An appointment was".to_owned()
        } else {
            format!("{missed} appointments were")
        };
        let severity = if missed > 1 { Severity::Warning } else { Severity::Advice };
        add(
            severity,
            format!("{times} missed since {}.", last.on),
            "What is on longer than its time works on, or no more, and nobody looks.",
        );
    }
    let emergencies = visits
        .iter()
        .filter(|v| {
            v.kind == Some(Task::Emergency) && days_between(v.on, last.on) <= EMERGENCY_DAYS
        })
        .count();
    if emergencies >= EMERGENCIES {
        let message = format!("{emergencies} emergencies within half a year.");
        add(
            Severity::Advice,
            message,
            "Bite, food or bonding: it is worth a look before the next wire.",
        );
    }
}
