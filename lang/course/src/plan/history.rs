//! Recorded visits as events of one arch: which wire was inserted when, and how it was found.

use jiff::civil::Date;

use springline_model::Case;
use springline_model::case::{ArchCase, ArchSeen, Done, Found, Visit};
use springline_model::step::WireUse;

/// One recorded visit as one arch sees it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RecordedEvent {
    /// Index into the case's visits.
    pub visit: usize,
    pub on: Date,
    pub found: Option<Found>,
    /// The step whose wire went in, with the wire where the record names it.
    pub now: Option<(usize, Option<WireUse>)>,
    /// The wire came out and none went in.
    pub out: bool,
}

/// The first wire: its day and which it is.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ArchStart {
    pub on: Option<Date>,
    /// The arch was under treatment when the case was entered.
    pub in_place: bool,
    pub wire: Option<WireUse>,
}

/// When the first step of an arch goes in. The day of the whole case stands in for an arch without
/// its own; a running case begins on the day it was entered.
pub(crate) fn begin(case: &Case, arch: &ArchCase, today: Option<Date>) -> ArchStart {
    let own = arch.start.map(|(d, _)| d).or(case.start.map(|(d, _)| d));
    if let Some(place) = &case.in_place {
        let same = |wire: &springline_model::Wire| {
            arch.steps.first().is_some_and(|s| s.wire.wire.name == wire.name)
        };
        // The wire in the mouth is the first step's own: its clock has been running since it went in.
        if let Some((wire, since, _)) = place.wires.get(&arch.arch)
            && same(wire)
        {
            let wire = WireUse { wire: wire.clone(), tandem: None, kept: true };
            return ArchStart { on: Some(*since.min(&place.on)), in_place: true, wire: Some(wire) };
        }
        let on = own.unwrap_or(place.on).max(place.on);
        return ArchStart { on: Some(on), in_place: on == place.on, wire: None };
    }
    ArchStart { on: own.or(today), in_place: false, wire: None }
}

/// The visits of an arch in order of date. `as_planned` means: the branch of the card that what was
/// found calls for was followed.
pub(crate) fn events(case: &Case, arch: &ArchCase) -> Vec<RecordedEvent> {
    let mut visits: Vec<(usize, &Visit)> = case.visits.iter().enumerate().collect();
    visits.sort_by_key(|(i, v)| (v.on, *i));
    let mut step = 0;
    let mut out = Vec::with_capacity(visits.len());
    for (visit, record) in visits {
        let seen = record.arches.iter().find(|a| a.arch == arch.arch);
        let found = seen.and_then(|s| s.found.clone());
        let now = seen.and_then(|s| change(arch, s, record, step));
        if let Some((next, _)) = &now {
            step = *next;
        }
        let was_out = seen.is_some_and(|s| s.done == Some(Done::Out));
        out.push(RecordedEvent { visit, on: record.on, found, now, out: was_out });
    }
    out
}

fn change(
    arch: &ArchCase,
    seen: &ArchSeen,
    visit: &Visit,
    step: usize,
) -> Option<(usize, Option<WireUse>)> {
    match &seen.done {
        Some(Done::Now { step: name, wire, tandem }) => {
            // A step name that the plan no longer has: taken as the next step, with the wire as recorded.
            let last = arch.steps.len().saturating_sub(1);
            let named = arch.steps.iter().position(|s| s.name == *name);
            let index = named.unwrap_or((step + 1).min(last));
            let wire = WireUse { wire: wire.clone(), tandem: tandem.clone(), kept: false };
            Some((index, Some(wire)))
        }
        Some(_) => None,
        None => {
            let passed = matches!(seen.found, Some(Found::Passive | Found::NearlyPassive));
            (visit.as_planned && passed && step + 1 < arch.steps.len()).then_some((step + 1, None))
        }
    }
}

/// Whether a visit found the wire still active.
pub(crate) fn still_active(found: Option<&Found>) -> bool {
    matches!(found, Some(Found::Active | Found::Binds { .. }))
}
