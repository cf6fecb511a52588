//! The state of each arch at a visit: what is in the mouth when the patient arrives, and what is
//! inserted.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::timeline::devices::devices;
use crate::timeline::lives::CameOff;
use crate::timeline::moment::{ArchMoment, StepMoment};
use crate::timeline::phase::ArchForecast;
use crate::timeline::spaces::spaces;
use crate::timeline::teeth::teeth;
use crate::visits::visit::PlannedVisit;
use springline_model::Case;
use springline_model::case::ArchCase;
use springline_model::house::Task;
use springline_model::step::{Step, Term};
use springline_units::tooth::Tooth;

/// A phase of an arch on a day of it; `None` where it has no such phase, or its step is not in the plan.
pub(crate) fn step_moment(
    case: &Case,
    arch: &ArchCase,
    forecast: &ArchForecast,
    index: usize,
    on: Option<Date>,
    lost: &BTreeMap<Tooth, Date>,
    removed: &CameOff,
) -> Option<StepMoment> {
    let phase = forecast.phases.get(index)?;
    arch.steps.get(phase.step)?;
    let acts = phase.state.acts.iter().enumerate();
    let gone = acts.filter(|(_, act)| removed.contains(&(arch.arch, act.place)));
    let came_off: Vec<usize> = gone.map(|(i, _)| i).collect();
    Some(StepMoment {
        phase: index,
        step: phase.step,
        wire: phase.wire.clone(),
        begun: phase.date_in,
        teeth: teeth(case, arch, forecast, index, on, lost),
        spaces: spaces(case, arch, phase, on),
        devices: devices(case, arch, forecast, index, on, &came_off),
        came_off,
    })
}

/// The arches that have a wire when the patient comes, or get one. `lost`: teeth whose bracket is off on
/// arrival.
pub(crate) fn arches(
    case: &Case,
    forecasts: &[ArchForecast],
    visit: &PlannedVisit,
    lost: &BTreeMap<Tooth, Date>,
    removed: &CameOff,
) -> Vec<ArchMoment> {
    let moments = case.arches.iter().filter_map(|arch| {
        let forecast = forecasts.iter().find(|f| f.arch == arch.arch)?;
        let moment = |index: Option<usize>, lost: &BTreeMap<Tooth, Date>| {
            step_moment(case, arch, forecast, index?, Some(visit.date), lost, removed)
        };
        let row = visit.arch(arch.arch);
        let arrives = moment(row.and_then(|v| v.phase), lost)
            // An arch whose plan is done, or that this visit has no business with, keeps the wire it has.
            .or_else(|| moment(last_before(forecast, visit.date), lost));
        let change_expected = row.is_some_and(|v| v.change_expected);
        // Before its stated time is over no test at the chair can end the step.
        let step = arrives.as_ref().and_then(|m| arch.steps.get(m.step));
        let early = !change_expected && step.is_some_and(|step| !is_tested(step));
        let next = row.and_then(|v| v.next_phase).filter(|_| !early);
        let if_passed = moment(next, &BTreeMap::new());
        (arrives.is_some() || if_passed.is_some()).then_some(ArchMoment {
            arch: arch.arch,
            arrives,
            if_passed,
            change_expected,
            comes_off: visit.kind == Task::Debond,
            off_today: Vec::new(),
            off_with_change: Vec::new(),
        })
    });
    moments.collect()
}

/// Whether a look, a measure or the doctor's word can end a step; a stated time cannot be tested.
fn is_tested(step: &Step) -> bool {
    step.until.terms.iter().any(|t| !matches!(t, Term::Time { .. } | Term::Settled))
}

/// The last wire that went into an arch before a day.
fn last_before(forecast: &ArchForecast, day: Date) -> Option<usize> {
    forecast.phases.iter().rposition(|p| p.date_in.is_some_and(|d| d < day))
}
