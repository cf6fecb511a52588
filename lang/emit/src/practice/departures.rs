//! Coming steps that depart from the usual sequence, with the reasons written for them.

use serde::Serialize;

use crate::masked;
use crate::plan::Plan;
use springline_model::step::StepSource;
use springline_units::tooth::Arch;

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
