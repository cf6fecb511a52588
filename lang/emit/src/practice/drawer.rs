//! Overdue patients, departures from the usual sequence, and unused stock.

use std::collections::BTreeSet;

use jiff::civil::Date;
use serde::Serialize;

use crate::dates;
use crate::masked;
use crate::plan::Plan;
use springline_model::House;
use springline_model::step::{ActKind, StepSource};
use springline_units::tooth::Arch;

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Overdue {
    pub chart: String,
    pub planned: Date,
    pub days: i64,
}

/// Cases whose next visit should have been, longest first.
pub fn overdue(plans: &[Plan<'_>], today: Date) -> Vec<Overdue> {
    let mut out: Vec<Overdue> = plans
        .iter()
        .filter_map(|plan| {
            let (_, visit) = plan.coming().next()?;
            // A visit whose day is past has been booked anew: the old day is what counts. Of a case that was
            // entered while running, no day before that was anybody's appointment here.
            let entered = plan.case.in_place.as_ref().map(|p| p.on);
            let since = |day: &Date| entered.is_none_or(|entered| *day >= entered);
            let planned = visit.was_planned_for.filter(since).unwrap_or(visit.date);
            let days = dates::days_between(planned, today);
            let chart = masked(&plan.case.chart);
            (days > 0).then_some(Overdue { chart, planned, days })
        })
        .collect();
    out.sort_by(|a, b| b.days.cmp(&a.days).then_with(|| a.chart.cmp(&b.chart)));
    out
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OffSequence {
    pub chart: String,
    pub arch: Arch,
    pub step: String,
    /// "niti-12, not niti-14", "also reverse-curve 2 mm"; "an extra step" where the house has none.
    pub how: Vec<String>,
    /// Why the doctor wants it so, where a finding about that step was accepted.
    pub because: Vec<String>,
}

/// Coming steps that depart from the sequence they follow.
pub fn off_sequence(plans: &[Plan<'_>]) -> Vec<OffSequence> {
    let mut out = Vec::new();
    for plan in plans {
        for arch in &plan.case.arches {
            if arch.follows.is_none() {
                continue;
            }
            let forecast = plan.forecast.arch(arch.arch);
            let done = |i: usize| {
                let phase = forecast.and_then(|f| f.phase_of_step(i));
                phase.is_some_and(|p| p.begun && p.end.date.is_some_and(|d| d <= plan.today))
            };
            let open = arch.steps.iter().enumerate().filter(|(i, _)| !done(*i));
            for (_, step) in open {
                let mut how: Vec<String> = step
                    .departures
                    .iter()
                    .map(|d| match (d.house.as_deref(), d.here.as_deref()) {
                        (Some(house), Some(here)) => {
                            format!("{}, not {}", masked(here), masked(house))
                        }
                        (None, Some(here)) => format!("also {}", masked(here)),
                        (house, None) => format!("without {}", masked(house.unwrap_or(&d.what))),
                    })
                    .collect();
                if step.source == StepSource::Added {
                    how = vec!["extra step".to_owned()];
                }
                if !how.is_empty() {
                    let chart = masked(&plan.case.chart);
                    out.push(OffSequence {
                        chart,
                        arch: arch.arch,
                        step: step.name.to_string(),
                        how,
                        because: because(plan, &step.name),
                    });
                }
            }
        }
    }
    out
}

/// Reasons written with what was accepted in that step.
fn because(plan: &Plan<'_>, step: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let here = plan.findings.iter().filter(|f| f.step.as_deref() == Some(step));
    for accepted in here.filter_map(|f| f.accepted.as_ref()) {
        let line = format!("{} ({})", masked(&accepted.reason), masked(&accepted.by));
        if !out.contains(&line) {
            out.push(line);
        }
    }
    out
}

/// Wires in stock that no case of the practice uses or will use.
pub fn unused_wires(house: &House, plans: &[Plan<'_>]) -> Vec<String> {
    let mut used: BTreeSet<&str> = BTreeSet::new();
    for plan in plans.iter().filter(|p| p.case.house.title == house.title) {
        for phase in plan.forecast.arches.iter().flat_map(|a| &a.phases) {
            used.insert(&phase.wire.wire.name);
            used.extend(phase.wire.tandem.iter().map(|w| &*w.name));
            for act in &phase.state.acts {
                if let ActKind::Piggyback { wire, .. } = &act.kind {
                    used.insert(&wire.name);
                }
            }
        }
    }
    house.wires.keys().filter(|n| !used.contains(&***n)).map(|n| n.to_string()).collect()
}
