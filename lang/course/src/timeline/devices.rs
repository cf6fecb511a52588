//! Devices on wire and teeth: since which visit, for which purpose, and until what.

use jiff::civil::Date;

use crate::law::rules_of_thumb::longest_on_days;
use crate::plan::measures::is_met;
use crate::timeline::device::{Device, DeviceKind, Purpose, Until};
use crate::timeline::phase::{ArchForecast, Phase};
use springline_model::Case;
use springline_model::case::ArchCase;
use springline_model::provenance::Origin;
use springline_model::step::{Act, ActKind, Activation, Lasts};
use springline_units::tooth::Side;

/// The devices of a phase on a day; all that it ever has where the day is not known.
pub(crate) fn devices(
    case: &Case,
    arch: &ArchCase,
    forecast: &ArchForecast,
    index: usize,
    on: Option<Date>,
    came_off: &[usize],
) -> Vec<Device> {
    let Some(phase) = forecast.phases.get(index) else { return Vec::new() };
    let since = wire_since(forecast, index);
    let wire = Device {
        what: DeviceKind::Wire,
        purpose: Purpose::Step(phase.kind),
        since,
        until: Until::StepEnds(arch.steps.get(phase.step).map(|s| s.until.value.clone())),
        end_recorded: false,
        longest_days: None,
    };
    let end = |side: Side| Device {
        what: DeviceKind::End(side, phase.state.ends.of(side).value.kind),
        purpose: Purpose::HoldWire,
        since,
        until: Until::WireOut,
        end_recorded: false,
        longest_days: None,
    };
    let mut out = vec![wire, end(Side::Right), end(Side::Left)];
    let ended = |until: &Until| match (until, on) {
        (Until::Condition(c) | Until::StepEnds(Some(c)), Some(day)) => is_met(case, c, day),
        _ => false,
    };
    for (i, act) in phase.state.acts.iter().enumerate().filter(|(_, a)| is_device(a)) {
        if came_off.contains(&i) {
            continue;
        }
        let since = act_since(case, forecast, index, act);
        // What a record put there is not there before.
        if since.zip(on).is_some_and(|(since, on)| since > on) {
            continue;
        }
        let until = until(act);
        let end_recorded = ended(&until);
        out.push(Device {
            what: DeviceKind::Act(i),
            purpose: purpose(act),
            since,
            until,
            end_recorded,
            longest_days: longest_on_days(&act.kind),
        });
    }
    let first = forecast.phases.first().and_then(|p| p.date_in);
    let extra = |what: DeviceKind, act: &Act| Device {
        what,
        purpose: purpose(act),
        since: said_on(act).or(first),
        until: until(act),
        end_recorded: false,
        longest_days: None,
    };
    let begun = |d: &Device| d.since.zip(on).is_none_or(|(since, on)| since <= on);
    let here = arch.extras.iter().enumerate().filter(|(_, a)| is_device(a));
    out.extend(here.map(|(i, a)| extra(DeviceKind::ArchExtra(i), a)).filter(begun));
    let mine = |a: &Act| is_device(a) && a.kind.teeth().iter().any(|t| t.arch() == arch.arch);
    let all = case.extras.iter().enumerate().filter(|(_, a)| mine(a));
    out.extend(all.map(|(i, a)| extra(DeviceKind::CaseExtra(i), a)).filter(begun));
    out
}

/// The visit at which a wire that was kept from step to step first went in.
fn wire_since(forecast: &ArchForecast, index: usize) -> Option<Date> {
    unbroken_since(forecast, index, |phase, next| phase.wire.same_wires(&next.wire))
}

/// The day on which the first of the phases up to this one began that all go on as the next one does.
fn unbroken_since(
    forecast: &ArchForecast,
    index: usize,
    goes_on: impl Fn(&Phase, &Phase) -> bool,
) -> Option<Date> {
    let phases = forecast.phases.get(..=index)?;
    let same = phases.windows(2).rev().take_while(|pair| goes_on(&pair[0], &pair[1])).count();
    phases[index - same].date_in
}

/// The visit at which an act that may be carried from step to step was done.
fn act_since(case: &Case, forecast: &ArchForecast, index: usize, act: &Act) -> Option<Date> {
    if act.origin == Origin::Visit {
        let did = |v: &&springline_model::case::Visit| {
            v.arches.iter().flat_map(|a| &a.acts).any(|a| a.place == act.place)
        };
        if let Some(visit) = case.visits.iter().find(did) {
            return Some(visit.on);
        }
    }
    said_on(act)
        .or_else(|| unbroken_since(forecast, index, |phase, _| phase.state.acts.contains(act)))
}

fn said_on(act: &Act) -> Option<Date> {
    match act.kind {
        ActKind::Separators { on, .. } => on,
        _ => None,
    }
}

fn until(act: &Act) -> Until {
    match (&act.kind, act.kind.lasts()) {
        (
            ActKind::BiteRaisers { until: Some(c), .. } | ActKind::Traction { until: Some(c), .. },
            _,
        ) => Until::Condition(c.clone()),
        (_, Lasts::Once) => Until::NextVisit,
        (_, Lasts::Wire) => Until::WireOut,
        (_, Lasts::Step | Lasts::Condition) => Until::StepEnds(None),
    }
}

fn purpose(act: &Act) -> Purpose {
    match &act.kind {
        ActKind::OpenCoil { activation: Activation::Passive, .. } | ActKind::ClosedCoil { .. } => {
            Purpose::HoldSpace
        }
        ActKind::OpenCoil { .. } => Purpose::OpenSpace,
        ActKind::ClosingCoil { .. } | ActKind::Chain { .. } => Purpose::CloseSpace,
        ActKind::Laceback { .. } => Purpose::HoldCanine,
        ActKind::Tie { .. } => Purpose::Unite,
        ActKind::Sleeve { .. } => Purpose::ProtectLip,
        ActKind::BiteRaisers { .. } => Purpose::ClearBite,
        ActKind::Piggyback { .. } | ActKind::Traction { .. } => Purpose::BringIn,
        ActKind::Post { .. } | ActKind::PowerArm { .. } => Purpose::Hook,
        ActKind::ReverseCurve { .. } => Purpose::LevelBite,
        ActKind::Bend { .. } | ActKind::Torque { .. } => Purpose::Detail,
        ActKind::Separators { .. } => Purpose::RoomForBand,
        _ => Purpose::HoldWire,
    }
}

/// The acts of a plan or record that put something on wire or teeth.
fn is_device(act: &Act) -> bool {
    !matches!(
        act.kind,
        ActKind::Bypass { .. }
            | ActKind::Engage { .. }
            | ActKind::PickUp { .. }
            | ActKind::Rebond { .. }
            | ActKind::Reposition { .. }
            | ActKind::Reduce { .. }
            | ActKind::Coordinated
            | ActKind::Trim { .. }
            | ActKind::HaltIf { .. }
            | ActKind::Sectional { .. }
            | ActKind::Records { .. }
            | ActKind::Hold { .. }
            | ActKind::Note { .. }
    )
}
