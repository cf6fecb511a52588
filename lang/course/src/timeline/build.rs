//! The last stage: builds the timeline from phases and visits.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::plan::elastics::elastics_in;
use crate::plan::state::arch_state;
use crate::timeline::arches::arches;
use crate::timeline::bite::bite;
use crate::timeline::device::ElasticsLife;
use crate::timeline::elastics::{lives, worn_after};
use crate::timeline::moment::{
    Obligation, PlannedArch, PlannedStep, Retainer, Standing, Timeline, VisitMoment,
};
use crate::timeline::phase::ArchForecast;
use crate::timeline::records::{loose, obligations, poor_hygiene};
use crate::visits::visit::PlannedVisit;
use springline_model::Case;
use springline_model::house::Task;
use springline_units::tooth::Arch;

/// `case` whole, with the steps that could not be forecast.
pub(crate) fn timeline(
    case: &Case,
    forecasts: &[ArchForecast],
    visits: &[PlannedVisit],
) -> Timeline {
    let elastics = lives(case, forecasts);
    let obligations = obligations(case);
    let seen = case.visits.iter().map(|v| v.on).max();
    let to_come = |v: &PlannedVisit| v.recorded.is_none() && seen.is_none_or(|s| v.date > s);
    let next = visits.iter().position(to_come);
    let mut out: Vec<VisitMoment> = Vec::with_capacity(visits.len());
    for (index, visit) in visits.iter().enumerate() {
        let open = open(&obligations, visit, next == Some(index));
        let before = out.last().map(|v| v.elastics_after.clone()).unwrap_or_default();
        out.push(moment(case, forecasts, visit, &elastics, &obligations, open, before));
    }
    let bite_as_recorded = bite(case, &[], &[], Date::MAX);
    Timeline { plan: plan(case), visits: out, bite_as_recorded, elastics, obligations }
}

/// Open problems when the patient arrives. Those open at the next visit are repaired there, or the doctor
/// changes the plan, so no later visit depends on them.
fn open(obligations: &[Obligation], visit: &PlannedVisit, is_next: bool) -> Vec<usize> {
    let is_open = |o: &Obligation| match visit.recorded {
        Some(_) => o.since < visit.date && o.discharged.is_none_or(|d| d >= visit.date),
        None => is_next && o.is_open_on(visit.date),
    };
    (0..obligations.len()).filter(|i| is_open(&obligations[*i])).collect()
}

fn moment(
    case: &Case,
    forecasts: &[ArchForecast],
    visit: &PlannedVisit,
    lives: &[ElasticsLife],
    obligations: &[Obligation],
    open: Vec<usize>,
    elastics_on_arrival: Vec<usize>,
) -> VisitMoment {
    let here: Vec<Obligation> = open.iter().map(|i| obligations[*i]).collect();
    let lost = match here.is_empty() {
        true => BTreeMap::new(),
        // Open when the patient comes, whatever was done then.
        false => loose(
            &here.iter().map(|o| Obligation { discharged: None, ..*o }).collect::<Vec<_>>(),
            visit.date,
        ),
    };
    let arches = arches(case, forecasts, visit, &lost);
    let is_off = matches!(visit.kind, Task::Debond | Task::RetainerCheck);
    let elastics_after =
        if is_off { Vec::new() } else { worn_after(case, &arches, lives, visit.date) };
    let phases: Vec<(Arch, usize)> =
        arches.iter().filter_map(|a| Some((a.arch, a.arrives.as_ref()?.phase))).collect();
    VisitMoment {
        date: visit.date,
        standing: visit.recorded.map_or(Standing::Foreseen, Standing::Recorded),
        kind: visit.kind,
        bite: bite(case, forecasts, &phases, visit.date),
        arches,
        elastics_on_arrival,
        elastics_after,
        open,
        poor_hygiene: poor_hygiene(case, visit.date),
        retainers: if visit.kind == Task::Debond { retainers(case) } else { Vec::new() },
    }
}

fn retainers(case: &Case) -> Vec<Retainer> {
    let retention = case.retention.iter();
    retention
        .flat_map(|r| {
            let bonded = r.fixed.iter().map(|(teeth, _)| Retainer::Bonded(teeth.clone()));
            bonded.chain(r.night.iter().map(|(arch, _)| Retainer::Night(*arch)))
        })
        .collect()
}

/// Every step of every arch as the plan alone has it.
fn plan(case: &Case) -> Vec<PlannedArch> {
    let step = |arch: &springline_model::case::ArchCase, index: usize| {
        let state = arch_state(arch, index, &BTreeSet::new())?;
        Some(PlannedStep { state, elastics: elastics_in(case, arch.arch, index) })
    };
    let arches = case.arches.iter().map(|arch| PlannedArch {
        arch: arch.arch,
        steps: (0..arch.steps.len()).map_while(|i| step(arch, i)).collect(),
    });
    arches.collect()
}
