//! When devices come off: by what the records show, by what is forecast, when their longest time is over,
//! or because a tooth that holds them has lost its bracket.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::plan::calendar::days_between;
use crate::plan::measures::{is_met, raisers_off};
use crate::timeline::device::{Device, DeviceKind, DeviceRemoval, RemovalReason};
use crate::timeline::foreseen::MouthForecast;
use crate::timeline::moment::StepMoment;
use crate::timeline::phase::Phase;
use springline_model::Case;
use springline_model::step::{Act, ActKind};
use springline_text::Place;
use springline_units::tooth::{Arch, Tooth};

/// Devices that have come off before a visit: of each arch where their acts were written.
pub(crate) type CameOff = BTreeSet<(Arch, Place)>;

/// What comes off by itself at a visit to come, whether the wire is changed or not.
pub(crate) fn ends_by_itself(
    mouth: &MouthForecast<'_>,
    arrives: &StepMoment,
    phase: &Phase,
    lost: &BTreeMap<Tooth, Date>,
) -> Vec<DeviceRemoval> {
    let reason = |device: &Device| {
        if device.end_recorded {
            return Some(RemovalReason::Recorded);
        }
        if let Some(tooth) = act_of(phase, device).and_then(|act| lost_support(act, lost)) {
            return Some(RemovalReason::SupportLost(tooth));
        }
        let condition = device.until.condition()?;
        if mouth.meets(condition, device.since) {
            return Some(RemovalReason::Foreseen);
        }
        // Only what outlives its step is asked about; the rest goes with the step.
        device.is_past_longest(mouth.on).then_some(RemovalReason::LongestTime)
    };
    let each = arrives.devices.iter().filter(|d| matches!(d.what, DeviceKind::Act(_)));
    each.filter_map(|d| Some(DeviceRemoval { what: d.what, reason: reason(d)? })).collect()
}

/// What the records before that day show to be done: the card of the day had it taken off.
pub(crate) fn ended_before(mouth: &MouthForecast<'_>, arrives: &StepMoment) -> Vec<DeviceRemoval> {
    let eve = mouth.on.yesterday().unwrap_or(mouth.on);
    let done = |d: &&Device| d.until.condition().is_some_and(|c| is_met(mouth.case, c, eve));
    let acts = arrives.devices.iter().filter(|d| matches!(d.what, DeviceKind::Act(_)));
    let off =
        acts.filter(done).map(|d| DeviceRemoval { what: d.what, reason: RemovalReason::Recorded });
    off.collect()
}

/// Bite raisers that the records up to that day say to be off.
pub(crate) fn taken_off(
    case: &Case,
    arrives: &StepMoment,
    phase: &Phase,
    on: Date,
) -> Vec<DeviceRemoval> {
    let is_off = |device: &&Device| match act_of(phase, device).map(|act| &act.kind) {
        Some(ActKind::BiteRaisers { teeth, .. }) => {
            let off = device.since.and_then(|since| raisers_off(case, teeth, since));
            off.is_some_and(|day| day <= on)
        }
        _ => false,
    };
    let off = arrives.devices.iter().filter(is_off);
    off.map(|d| DeviceRemoval { what: d.what, reason: RemovalReason::Recorded }).collect()
}

/// What goes when the next step begins: things of the old step, and all that sat on the old wire.
pub(crate) fn go_with_change(
    arrives: (&StepMoment, &Phase),
    next: (&StepMoment, &Phase),
    already: &[DeviceRemoval],
) -> Vec<DeviceRemoval> {
    let (now, phase) = arrives;
    // The acts, not the devices: of a change that is only possible today their day is still to come.
    let acts = next.1.state.acts.iter().enumerate();
    let after: Vec<&Act> =
        acts.filter(|(i, _)| !next.0.came_off.contains(i)).map(|(_, act)| act).collect();
    let goes = |device: &Device| {
        let act = act_of(phase, device)?;
        if already.iter().any(|r| r.what == device.what && r.reason.is_final()) {
            return None;
        }
        let stays = after.iter().any(|a| a.kind == act.kind || same_coil(&a.kind, &act.kind));
        match stays {
            true => None,
            false if after.iter().any(|a| same_span(&a.kind, &act.kind)) => {
                Some(RemovalReason::Replaced)
            }
            false => Some(RemovalReason::WithChange),
        }
    };
    let each = now.devices.iter();
    each.filter_map(|d| Some(DeviceRemoval { what: d.what, reason: goes(d)? })).collect()
}

/// The act that put a device there.
fn act_of<'p>(phase: &'p Phase, device: &Device) -> Option<&'p Act> {
    match device.what {
        DeviceKind::Act(index) => phase.state.acts.get(index),
        _ => None,
    }
}

/// Where the acts of devices were written that are off from then on.
pub(crate) fn places<'p>(
    removals: &'p [DeviceRemoval],
    phase: &'p Phase,
) -> impl Iterator<Item = Place> + 'p {
    let gone = removals.iter().filter(|r| r.reason.is_final());
    gone.filter_map(|r| match r.what {
        DeviceKind::Act(index) => phase.state.acts.get(index).map(|a| a.place),
        _ => None,
    })
}

/// A coil that is pressed differently from now on, or only holds, is the same coil.
fn same_coil(a: &ActKind, b: &ActKind) -> bool {
    matches!((a, b),
        (ActKind::OpenCoil { first: a1, second: a2, .. }, ActKind::OpenCoil { first: b1, second: b2, .. })
            if a1 == b1 && a2 == b2)
}

/// One coil takes the place of the other.
fn same_span(a: &ActKind, b: &ActKind) -> bool {
    let span = |kind: &ActKind| match kind {
        ActKind::OpenCoil { first, second, .. } | ActKind::ClosedCoil { first, second, .. } => {
            Some((*first, *second))
        }
        _ => None,
    };
    span(a).is_some() && span(a) == span(b)
}

/// The first tooth on which this hangs that has lost its bracket.
fn lost_support(act: &Act, lost: &BTreeMap<Tooth, Date>) -> Option<Tooth> {
    let hangs = matches!(
        act.kind,
        ActKind::OpenCoil { .. }
            | ActKind::ClosingCoil { .. }
            | ActKind::Chain { .. }
            | ActKind::Tie { .. }
            | ActKind::Laceback { .. }
            | ActKind::PowerArm { .. }
            | ActKind::Traction { .. }
    );
    act.kind.teeth().into_iter().filter(|_| hangs).find(|t| lost.contains_key(t))
}

impl Device {
    /// Its longest time is over on that day.
    pub fn is_past_longest(&self, on: Date) -> bool {
        let days = self.since.map(|since| days_between(since, on));
        days.zip(self.longest_days).is_some_and(|(days, longest)| days > longest)
    }
}
