//! The last stage: builds the timeline from phases and visits.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::plan::elastics::elastics_in;
use crate::plan::state::arch_state;
use crate::timeline::arches::arches;
use crate::timeline::bite::bite;
use crate::timeline::device::{
    DeviceKind, DeviceRemoval, ElasticsLife, ElasticsRemoval, RemovalReason,
};
use crate::timeline::elastics::{Worn, lives, worn_after};
use crate::timeline::foreseen::MouthForecast;
use crate::timeline::lives::{
    CameOff, ended_before, ends_by_itself, go_with_change, places, taken_off,
};
use crate::timeline::moment::{
    ArchMoment, Obligation, PlannedArch, PlannedStep, Retainer, Standing, StepMoment, Timeline,
    VisitMoment,
};
use crate::timeline::phase::ArchForecast;
use crate::timeline::records::{loose, obligations, poor_hygiene};
use crate::visits::visit::PlannedVisit;
use springline_model::Case;
use springline_model::house::Task;
use springline_text::Place;
use springline_units::tooth::{Arch, Tooth};

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
    let mut removed: Vec<(Arch, Place, Date)> = Vec::new();
    let mut over: BTreeSet<usize> = BTreeSet::new();
    for (index, visit) in visits.iter().enumerate() {
        let open = open(&obligations, visit, next == Some(index));
        let before = out.last().map(|v| v.elastics_after.clone()).unwrap_or_default();
        let history = EarlierVisits {
            lives: &elastics,
            obligations: &obligations,
            removed: &removed,
            over: &over,
        };
        let moment = moment(case, forecasts, visit, &history, open, before);
        for arch in &moment.arches {
            removed.extend(places_off(forecasts, arch).map(|place| (arch.arch, place, visit.date)));
        }
        over.extend(moment.elastics_off.iter().map(|e| e.block));
        out.push(moment);
    }
    let bite_as_recorded = bite(case, &[], &[], Date::MAX);
    Timeline { plan: plan(case), visits: out, bite_as_recorded, elastics, removed, obligations }
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

/// What the visits before have left.
struct EarlierVisits<'a> {
    lives: &'a [ElasticsLife],
    obligations: &'a [Obligation],
    removed: &'a [(Arch, Place, Date)],
    /// Blocks of elastics that have ended.
    over: &'a BTreeSet<usize>,
}

fn moment(
    case: &Case,
    forecasts: &[ArchForecast],
    visit: &PlannedVisit,
    history: &EarlierVisits<'_>,
    open: Vec<usize>,
    elastics_on_arrival: Vec<usize>,
) -> VisitMoment {
    let here: Vec<Obligation> = open.iter().map(|i| history.obligations[*i]).collect();
    let lost = match here.is_empty() {
        true => BTreeMap::new(),
        // Open when the patient comes, whatever was done then.
        false => loose(
            &here.iter().map(|o| Obligation { discharged: None, ..*o }).collect::<Vec<_>>(),
            visit.date,
        ),
    };
    let came_off: CameOff =
        history.removed.iter().map(|(arch, place, _)| (*arch, *place)).collect();
    let mut arches = arches(case, forecasts, visit, &lost, &came_off);
    let phases: Vec<(Arch, usize)> =
        arches.iter().filter_map(|a| Some((a.arch, a.arrives.as_ref()?.phase))).collect();
    let bite = bite(case, forecasts, &phases, visit.date);
    let is_off = matches!(visit.kind, Task::Debond | Task::RetainerCheck);
    let recorded = visit.recorded.is_some();
    let off: Vec<(Vec<DeviceRemoval>, Vec<DeviceRemoval>)> = {
        let mouth = MouthForecast { case, forecasts, arches: &arches, bite: &bite, on: visit.date };
        arches.iter().map(|arch| removals(&mouth, arch, &lost, visit.recorded)).collect()
    };
    for (arch, (today, with_change)) in arches.iter_mut().zip(off) {
        (arch.off_today, arch.off_with_change) = (today, with_change);
        drop_from_next(forecasts, arch);
    }
    let mouth = MouthForecast { case, forecasts, arches: &arches, bite: &bite, on: visit.date };
    let worn = match is_off {
        true => {
            let off = elastics_on_arrival.iter();
            let off =
                off.map(|block| ElasticsRemoval { block: *block, reason: RemovalReason::Debond });
            Worn { after: Vec::new(), off: off.collect() }
        }
        false => worn_after(&mouth, history.lives, &elastics_on_arrival, history.over, recorded),
    };
    VisitMoment {
        date: visit.date,
        standing: visit.recorded.map_or(Standing::Foreseen, Standing::Recorded),
        kind: visit.kind,
        bite,
        arches,
        elastics_on_arrival,
        elastics_after: worn.after,
        elastics_off: worn.off,
        open,
        poor_hygiene: poor_hygiene(case, visit.date),
        retainers: if visit.kind == Task::Debond { retainers(case) } else { Vec::new() },
    }
}

/// What comes off an arch today anyhow, and what with the change. Of a recorded visit that went as planned
/// the card is taken as done; what else it took off stands in the next phase.
fn removals(
    mouth: &MouthForecast<'_>,
    arch: &ArchMoment,
    lost: &BTreeMap<Tooth, Date>,
    recorded: Option<usize>,
) -> (Vec<DeviceRemoval>, Vec<DeviceRemoval>) {
    let forecast = mouth.forecasts.iter().find(|f| f.arch == arch.arch);
    let phase = |m: &StepMoment| forecast?.phases.get(m.phase);
    let Some((now, before)) = arch.arrives.as_ref().and_then(|m| Some((m, phase(m)?))) else {
        return (Vec::new(), Vec::new());
    };
    if arch.comes_off {
        let all = now.devices.iter();
        let off = all.map(|d| DeviceRemoval { what: d.what, reason: RemovalReason::Debond });
        return (off.collect(), Vec::new());
    }
    let as_planned = |visit: usize| mouth.case.visits.get(visit).is_some_and(|v| v.as_planned);
    let today = match recorded {
        Some(visit) => {
            let mut off = taken_off(mouth.case, now, before, mouth.on);
            if as_planned(visit) {
                off.extend(ended_before(mouth, now));
            }
            off
        }
        None => ends_by_itself(mouth, now, before, lost),
    };
    let next = arch.if_passed.as_ref().and_then(|m| Some((m, phase(m)?)));
    let with_change = next.map(|next| go_with_change((now, before), next, &today));
    (today, with_change.unwrap_or_default())
}

/// What comes off today anyhow is not there after the change either.
fn drop_from_next(forecasts: &[ArchForecast], arch: &mut ArchMoment) {
    let gone: Vec<Place> = places_off(forecasts, arch).collect();
    let Some(next) = &mut arch.if_passed else { return };
    let forecast = forecasts.iter().find(|f| f.arch == arch.arch);
    let Some(phase) = forecast.and_then(|f| f.phases.get(next.phase)) else { return };
    let acts = phase.state.acts.iter().enumerate();
    let off: Vec<usize> = acts.filter(|(_, a)| gone.contains(&a.place)).map(|(i, _)| i).collect();
    next.devices.retain(|d| !matches!(d.what, DeviceKind::Act(i) if off.contains(&i)));
    next.came_off.extend(off);
}

/// Where the devices were written that come off an arch today anyhow.
fn places_off<'f>(
    forecasts: &'f [ArchForecast],
    arch: &'f ArchMoment,
) -> impl Iterator<Item = Place> + 'f {
    let forecast = forecasts.iter().find(|f| f.arch == arch.arch);
    let phase = arch.arrives.as_ref().and_then(|m| forecast?.phases.get(m.phase));
    phase.into_iter().flat_map(|phase| places(&arch.off_today, phase))
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
