//! Books the end of a phase, and the longest time until the patient must be seen.

use crate::law::rules_of_thumb::{
    CHAIN_DAYS, CLOSING_COIL_DAYS, COIL_LONGEST_DAYS, ELASTICS_DAYS, ELASTICS_FIRST_DAYS,
    PIGGYBACK_DAYS, TRACTION_DAYS,
};
use crate::plan::input::ArchInput;
use crate::plan::state::ArchState;
use crate::simulate::due::BookingWindow;
use crate::simulate::outcome::EndReason;
use crate::simulate::phase_in_progress::PhaseInProgress;
use springline_model::house::BookOn;
use springline_model::step::{ActKind, Activation, NextVisit, StepKind};

/// Books a phase.
///
/// Where the median patient is passive within the longest interval, the visit is booked on the
/// house's share of patients, but no later than that interval allows. Where not, a look comes first
/// and the change after it, on the same share.
pub(crate) fn due(world: &ArchInput<'_>, draft: &PhaseInProgress) -> BookingWindow {
    let Some(step) = world.arch.steps.get(draft.step) else { return BookingWindow::default() };
    let (from, longest, shortest) = bounds(world, draft.step);
    let fixed = match &step.next.value {
        NextVisit::On { date } => Some(*date),
        NextVisit::Range { .. } | NextVisit::Computed => None,
    };
    let (look, first_look, supervises) = supervision(world, &draft.state, &draft.elastics);
    let look_days = longest.min(look);
    let first_look_days = look_days.min(first_look);
    // A range in the plan, and what levels or torques, is never cut short by in-and-out alone.
    let computed = step.next.value == NextVisit::Computed;
    let levels = !draft.state.wire.wire.section.is_round() && computed;
    let least = from.max(if levels { draft.thumb.0.min(longest) } else { 0.0 }).max(shortest);
    let (mut ready, chance) = match (&draft.when, world.booking.on, &draft.reason) {
        (Some(_), BookOn::RuleOfThumb, EndReason::Passive) => (draft.thumb.0, None),
        (Some(when), _, _) => {
            let (median, wished) = (when.at(0.5), when.at(world.booking.at));
            let ready = if median <= longest {
                wished.clamp(median.min(least), longest.max(least))
            } else {
                wished.max(longest + shortest)
            };
            (ready, Some(()))
        }
        // Open end: the first review after the wire is fully expressed. Where the step waits for
        // something that does not happen, not before the wire is passive.
        (None, _, reason) => {
            let rest = draft.passive(world.booking.rule).map_or(0.0, |t| t.at(0.5));
            let rest = if matches!(reason, EndReason::Never { .. }) { rest } else { 0.0 };
            (from.max(draft.settle_days).max(rest), None)
        }
    };
    ready = ready.max(least);
    let chance = chance.and(draft.when.as_ref()).map(|w| w.share_by(ready));
    let earliest_days = (!computed && fixed.is_none()).then_some(from);
    // Elastics hang on both arches: where they are worn, the one that is worked on asks for their look.
    let without_elastics = supervision(world, &draft.state, &[]).2;
    let rests_days = match (without_elastics, step_looks_after_itself(&draft.state)) {
        (None, true) => draft.passive(world.booking.rule).map(|t| t.at(0.5)),
        _ => None,
    };
    BookingWindow {
        ready_days: ready,
        chance,
        look_days,
        first_look_days,
        supervises,
        earliest_days,
        rests_days,
        fixed,
    }
}

/// Nothing is done in the step that has to be looked at in its time: no bend, no torque, no tooth that comes in.
fn step_looks_after_itself(state: &ArchState) -> bool {
    state.acts.iter().all(|act| {
        matches!(
            act.kind,
            ActKind::Tie { .. }
                | ActKind::Stop { .. }
                | ActKind::Post { .. }
                | ActKind::Sleeve { .. }
                | ActKind::ClosedCoil { .. }
                | ActKind::Laceback { .. }
                | ActKind::Coordinated
                | ActKind::Records { .. }
                | ActKind::Trim { .. }
        )
    })
}

/// Days to the next visit from step and practice: earliest, latest, and the practice's shortest.
fn bounds(world: &ArchInput<'_>, step: usize) -> (f64, f64, f64) {
    let house = &world.case.house;
    let shortest = house.shortest.value.days().max(1.0);
    let house_longest = house.longest.value.days().max(shortest);
    let (from, to) = match world.arch.steps.get(step).map(|s| &s.next.value) {
        Some(NextVisit::Range { from, to }) => (from.days(), to.days()),
        Some(NextVisit::On { .. }) => (1.0, house_longest),
        Some(NextVisit::Computed) | None => (shortest, house_longest),
    };
    (from, house_longest.min(to.max(shortest)), shortest)
}

/// Longest time between two visits while a step lasts, days.
pub(crate) fn look_days(world: &ArchInput<'_>, state: &ArchState, elastics: &[usize]) -> f64 {
    let (_, longest, _) = bounds(world, state.step);
    longest.min(supervision(world, state, elastics).0)
}

/// Longest time that coils, springs, chains, elastics and overlays may be left alone.
fn supervision(
    world: &ArchInput<'_>,
    state: &ArchState,
    elastics: &[usize],
) -> (f64, f64, Option<&'static str>) {
    let mut least: (f64, Option<&'static str>) = (f64::INFINITY, None);
    let mut hold = |days: f64, what: &'static str| {
        if days < least.0 {
            least = (days, Some(what));
        }
    };
    for act in &state.acts {
        match &act.kind {
            ActKind::OpenCoil { activation, .. } if *activation != Activation::Passive => {
                hold(COIL_LONGEST_DAYS, "open coil");
            }
            ActKind::ClosingCoil { .. } => hold(CLOSING_COIL_DAYS, "closing spring"),
            ActKind::Chain { .. } => hold(CHAIN_DAYS, "chain"),
            ActKind::Traction { .. } => hold(TRACTION_DAYS, "traction"),
            ActKind::Piggyback { .. } => hold(PIGGYBACK_DAYS, "light wire over the base wire"),
            _ => {}
        }
    }
    let mut first = f64::INFINITY;
    let begins = elastics.iter().any(|i| {
        let from = world.case.elastics.get(*i).and_then(|e| e.from.as_ref());
        from.is_none_or(|(name, _, _)| *name == state.name)
    });
    if !elastics.is_empty() {
        hold(ELASTICS_DAYS, "elastics");
        if begins && state.kind != StepKind::Align {
            first = ELASTICS_FIRST_DAYS;
        }
    }
    (least.0, first, least.1)
}
