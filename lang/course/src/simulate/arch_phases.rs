//! Simulates the steps of one arch in order: every phase starts from the state that the last one left.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use jiff::civil::Date;

use crate::law::movement::growth_factor;
use crate::law::passive::QUARTER;
use crate::law::rules_of_thumb::SETTLE_DAYS;
use crate::mouth::bite_figures::BiteFigures;
use crate::mouth::bite_moves::{ALWAYS, BiteMoves};
use crate::mouth::carried::CarriedState;
use crate::mouth::coil_spring::pushing;
use crate::mouth::drawn_tooth::{brought_some_day, drawn_teeth};
use crate::mouth::kept_short::{kept_short, still_kept};
use crate::mouth::positions::Mouth;
use crate::plan::calendar::days_between;
use crate::plan::elastics::{elastics_in, last_day};
use crate::plan::history::{ArchStart, RecordedEvent};
use crate::plan::input::ArchInput;
use crate::plan::loose_brackets::{off_by_record, off_in_step};
use crate::plan::state::{ArchState, arch_state};
use crate::room::supplies::{accounts, begin_step, coils_at_work};
use crate::room::supply_and_demand::{RoomLimitedTime, Supply};
use crate::run::chair::FrictionRange;
use crate::run::drive::MovingTooth;
use crate::run::phase_cache::PhaseCache;
use crate::run::pushed_teeth::pushed_teeth;
use crate::run::time_step::StepControl;
use crate::run::trace::{PhaseTrace, RunQuery, pose_in, run_until};
use crate::setup::arch_setup::{arch_setup, bends};
use crate::setup::axial::HeldLength;
use crate::setup::held_within::hold_within;
use crate::simulate::booking::{due, look_days};
use crate::simulate::carrying::carried_teeth;
use crate::simulate::cross_pull::cross_pulls;
use crate::simulate::due::BookingWindow;
use crate::simulate::movers::{TeethWithRoom, movers};
use crate::simulate::phase_in_progress::{PhaseInProgress, PhaseSegment};
use crate::simulate::stop_conditions::{StopMeasures, when};
use springline_model::house::Task;
use springline_model::step::{Term, WireUse};
use springline_units::tooth::Tooth;

/// Phases in order, as far as they can be predicted.
pub(crate) fn simulate(
    world: &ArchInput<'_>,
    begin: &ArchStart,
    events: &[RecordedEvent],
    memory: &mut PhaseCache,
) -> Vec<PhaseInProgress> {
    let mut carried = CarriedState {
        mouth: Mouth::entered(world.arch),
        missing: None,
        kept_short: Vec::new(),
        released: BTreeSet::new(),
        over_the_bite: BTreeSet::new(),
        off: BTreeSet::new(),
        bite: entered_bite(world),
        on_since: BTreeMap::new(),
    };
    let mut drafts = Vec::new();
    let (mut step, mut date, mut wire) = (0, begin.on, begin.wire.clone());
    let mut next = 0;
    while step < world.arch.steps.len() && drafts.len() < MOST_PHASES {
        let index = drafts.len();
        let Some(entry) = PhaseEntry::new(world, step, index, date, wire.take(), &mut carried)
        else {
            break;
        };
        if index == 0 {
            held_by_the_wire_found(world, &entry.state, &mut carried);
        }
        let (mut draft, change) = phase(world, entry, &events[next..], &mut carried, memory);
        // A start is only a plan until a visit has been recorded since, or the case says that the
        // wire is in.
        draft.begun =
            date.is_some_and(|d| index > 0 || begin.in_place || events.iter().any(|e| e.on >= d));
        next += draft.seen_events;
        // A wire that was taken out ends its phase: the next one that is on record goes on from there.
        let change = change.or_else(|| {
            let rest = events.get(next..).filter(|_| draft.recorded_end.is_some())?;
            let (at, event) = rest.iter().enumerate().find(|(_, event)| event.now.is_some())?;
            next += at + 1;
            event.now.clone().map(|(index, wire)| (event.on, index, wire))
        });
        if let (Some(planned), None) = (world.arch.steps.get(step), &change) {
            let (acts, until) = (&draft.state.acts, &planned.until.value);
            let brought = brought_some_day(world.arch, acts, until, &carried.mouth);
            carried.mouth.move_to(brought);
        }
        drafts.push(draft);
        match change {
            Some((on, index, recorded)) => (step, date, wire) = (index, Some(on), recorded),
            None => (step, date) = (step + 1, None),
        }
    }
    drafts
}

/// A wire found in the mouth that another follows has moved the teeth to where they were entered: what is not known of
/// their places is what it leaves. Whether it was passive is not recorded, so after four weeks it counts as having done three
/// quarters (common practice, no source).
fn held_by_the_wire_found(world: &ArchInput<'_>, state: &ArchState, carried: &mut CarriedState) {
    let Some(place) = &world.case.in_place else { return };
    let Some((wire, since, _)) = place.wires.get(&world.arch.arch) else { return };
    if wire.name == state.wire.wire.name || days_between(*since, place.on) < SETTLE_DAYS {
        return;
    }
    let found = arch_setup(world.case, world.arch, state, &carried.mouth, &[]).with_wire(wire);
    hold_within(&mut carried.mouth, &found.base, QUARTER);
}

/// Bound on phases; no real plan needs more.
const MOST_PHASES: usize = 64;

/// A phase about to begin.
struct PhaseEntry {
    step: usize,
    date: Option<Date>,
    /// With every bracket that the plan has on.
    state: ArchState,
    elastics: Vec<usize>,
    worn_days: Vec<(f64, f64)>,
    /// The day it begins, as recorded or as the first pass found it.
    begins: Option<Date>,
    /// What the other arch does to the bite meanwhile.
    beside: BiteMoves,
}

impl PhaseEntry {
    fn new(
        world: &ArchInput<'_>,
        step: usize,
        index: usize,
        date: Option<Date>,
        wire: Option<WireUse>,
        carried: &mut CarriedState,
    ) -> Option<PhaseEntry> {
        let mut state = arch_state(world.arch, step, &carried.released)?;
        if let Some(wire) = wire {
            state.wire = wire;
        }
        carried.off = match date {
            Some(day) => off_by_record(world.case, world.arch.arch, day),
            None => off_in_step(world.arch, step, &carried.off),
        };
        let foreseen = world.foreseen.as_ref().and_then(|f| f.days.get(index));
        let begins = date.or(foreseen.and_then(|days| days.date_in));
        carried.put_on(&state.acts, begins);
        let (elastics, worn_days) = worn(world, step, index, begins);
        begin_step(world.arch, step, carried);
        let beside = beside(world, index, date);
        Some(PhaseEntry { step, date, state, elastics, worn_days, begins, beside })
    }
}

/// The bite as entered, with the midlines that are written at the arches.
fn entered_bite(world: &ArchInput<'_>) -> BiteFigures {
    let mut out = BiteFigures::of(&world.case.bite);
    for arch in &world.case.arches {
        if let Some((line, _)) = &arch.midline {
            out.midline(arch.arch, line);
        }
    }
    out
}

/// What the other arch does to the bite, on the clock of a phase.
fn beside(world: &ArchInput<'_>, index: usize, date: Option<Date>) -> BiteMoves {
    let mut out = BiteMoves::default();
    let Some(foreseen) = &world.foreseen else { return out };
    let days = foreseen.days.get(index).copied().unwrap_or_default();
    let Some(begins) = date.or(days.date_in) else { return out };
    for (from, to, moves) in &foreseen.beside {
        let to = to.map_or(f64::INFINITY, |to| days_between(begins, to));
        out.join(moves.between(days_between(begins, *from), to));
    }
    out
}

/// The elastics worn in a phase, and on which days of it. Those of both arches wait until both are
/// there, which only a second pass can know.
fn worn(
    world: &ArchInput<'_>,
    step: usize,
    index: usize,
    begins: Option<Date>,
) -> (Vec<usize>, Vec<(f64, f64)>) {
    let planned = elastics_in(world.case, world.arch.arch, step);
    let Some(foreseen) = &world.foreseen else {
        let always = vec![ALWAYS; planned.len()];
        return (planned, always);
    };
    let days = foreseen.days.get(index).copied().unwrap_or_default();
    // The first pass has elastics on from the beginning: a step that waits for what they do ended too soon there.
    let until = world.arch.steps.get(step).map(|s| &s.until.value);
    let waits_for_elastics = until.is_some_and(|c| c.terms.iter().any(Term::may_wait_for_elastics));
    planned
        .into_iter()
        .filter_map(|block| {
            let start = foreseen.elastics.get(block).copied().flatten()?;
            if !waits_for_elastics && days.date_out.is_some_and(|out| out <= start) {
                return None;
            }
            let Some(begins) = begins else { return Some((block, ALWAYS)) };
            let end = last_day(world.case, world.case.elastics.get(block)?, start);
            let to = end.map_or(f64::INFINITY, |end| days_between(begins, end));
            (to > 0.0).then(|| (block, (days_between(begins, start).max(0.0), to)))
        })
        .unzip()
}

/// Simulates one segment: the part of a phase between measurements.
fn segment(
    world: &ArchInput<'_>,
    state: &ArchState,
    elastics: &[usize],
    carried: &CarriedState,
    at_insertion: Option<&BTreeMap<u16, [f64; 6]>>,
    start_days: f64,
    memory: &mut PhaseCache,
) -> PhaseSegment {
    let mut setup = arch_setup(world.case, world.arch, state, &carried.mouth, elastics);
    // Wire that the teeth of an earlier step needed is all that lies between stops and ends bent then.
    let short = still_kept(state, &setup.base, &carried.kept_short);
    let short: Vec<_> = short.iter().filter_map(|k| HeldLength::short(&setup.base, k)).collect();
    setup.held.extend(short);
    let movers = movers(state, &setup, &carried.mouth, &TeethWithRoom::new(world, state, carried));
    // A tooth that the wire did not hold as it went in counts from where it stands now.
    let at_insertion = at_insertion.map(|reference| {
        let pose = |m: &MovingTooth| reference.get(&m.id).copied();
        let now = |m: &MovingTooth| pose_in(&setup, m.id);
        movers.iter().map(|m| pose(m).unwrap_or_else(|| now(m))).collect()
    });
    let friction = FrictionRange::in_house(&world.case.house, state.wire.wire.alloy);
    let pace = StepControl::default();
    let pushed = pushed_teeth(&setup, state, &carried.mouth, &world.arch.bars);
    let carrying = carried_teeth(world, state, &setup, carried, elastics);
    let question =
        RunQuery { setup, movers, at_insertion, pushed, carried: carrying, friction, pace };
    let solved: Arc<PhaseTrace> = memory.run(&question, |stop| run_until(&question, stop));
    let looks = look_days(world, state, elastics) * growth_factor(world.case.growth);
    let coils = coils_at_work(world, state, carried, looks);
    let (mut account, sites) = accounts(world, state, carried, &coils);
    let apart = solved.pushed_apart(&question);
    if account.demanded_mm > 0.0 && apart.last().is_some_and(|(_, mm)| *mm > 0.0) {
        let pressed = question.setup.held.iter().filter(|h| h.presses_apart());
        let teeth = pressed.flat_map(|h| [h.right, h.left]);
        let teeth = teeth.filter_map(|id| Tooth::iso(u32::from(id))).collect();
        account.supplies.push(Supply::stops(teeth, apart));
    }
    let gated = RoomLimitedTime::new(&solved, &account);
    let bent = bends(state);
    let RunQuery { setup, movers, friction, .. } = question;
    let setup = Arc::new(setup);
    let drawn = drawn_teeth(world.arch, &state.acts, &carried.mouth);
    PhaseSegment {
        start_days,
        run: solved,
        gated,
        account,
        sites,
        coils,
        drawn,
        setup,
        movers,
        friction,
        bent,
    }
}

type RecordedChange = Option<(Date, usize, Option<WireUse>)>;

/// Simulates one phase: up to the visit that changed the wire, or to the day the change is booked for.
fn phase(
    world: &ArchInput<'_>,
    entry: PhaseEntry,
    events: &[RecordedEvent],
    carried: &mut CarriedState,
    memory: &mut PhaseCache,
) -> (PhaseInProgress, RecordedChange) {
    let PhaseEntry { step, date, state: mut planned, elastics, worn_days, begins, beside } = entry;
    let mut state = planned.without_brackets(&carried.off);
    let learnt = crate::law::spread::learnt(&world.case.house, &state.wire.wire.name);
    let growth = growth_factor(world.case.growth);
    let entry_mouth = carried.mouth.clone();
    let first = segment(world, &state, &elastics, carried, None, 0.0, memory);
    carried.kept_short = kept_short(&state, &first.setup.base, &carried.kept_short);
    let mut draft =
        PhaseInProgress::new(world, step, date, state.clone(), entry_mouth, learnt, growth, first);
    draft.elastics = elastics.clone();
    draft.across = cross_pulls(world.case, world.arch.arch, &elastics, &worn_days);
    draft.worn_days = worn_days;
    draft.begins = begins;
    draft.beside = beside;
    draft.act_on_bite(world, carried);
    let mut measures = StopMeasures::of(world, &draft, carried);
    (draft.reason, draft.when) = when(world, &draft, &measures);
    draft.due = due(world, &draft);
    draft.first_due = draft.due.clone();
    draft.first_predicted = draft.passive(world.booking.rule).map(|t| t.at(0.5));
    let mut change = None;
    for event in events {
        let Some(begun) = date else { break };
        let days = days_between(begun, event.on);
        if days < 0.0 {
            draft.seen_events += 1;
            continue;
        }
        // A bond-up recorded on the very day names the wire that went in: no second phase.
        if let (Some((index, Some(wire))), true) = (&event.now, days == 0.0)
            && *index == step
            && draft.seen.is_empty()
        {
            if !state.wire.same_wires(wire) {
                planned.wire = wire.clone();
                state.wire = wire.clone();
                let again = segment(world, &state, &elastics, carried, None, 0.0, memory);
                draft.restart(again, state.clone());
                draft.act_on_bite(world, carried);
            }
            draft.seen_events += 1;
            continue;
        }
        draft.seen_events += 1;
        draft.see(world, event, days);
        // From this day measured values replace predicted ones.
        let visit = &world.case.visits[event.visit];
        let measured = visit.stands.keys().any(|t| t.arch() == world.arch.arch)
            || visit.gaps.iter().any(|g| g.first.arch() == world.arch.arch)
            || visit.overlaps.iter().any(|o| o.first.arch() == world.arch.arch);
        let acts: Vec<_> = visit
            .arches
            .iter()
            .filter(|a| a.arch == world.arch.arch)
            .flat_map(|a| a.acts.iter().cloned())
            .collect();
        if let Some((index, wire)) = &event.now {
            draft.leave(world, days, carried);
            draft.replace(visit, event, carried);
            change = Some((event.on, *index, wire.clone()));
            draft.release(carried);
            draft.recorded_end = Some((event.visit, event.on));
            break;
        }
        let off = off_by_record(world.case, world.arch.arch, event.on);
        let other_brackets = off != carried.off;
        if event.out {
            carried.off = off;
            draft.leave(world, days, carried);
            draft.replace(visit, event, carried);
            draft.recorded_end = Some((event.visit, event.on));
            break;
        }
        // A coil that the plan has pressed again at each visit was, unless the visit was for a repair.
        let again: Vec<_> =
            pushing(&state.acts).into_iter().filter(|(.., a)| *a).map(|(key, ..)| key).collect();
        let pressed = days > 0.0
            && !again.is_empty()
            && !matches!(visit.kind, Some(Task::Emergency | Task::Repair));
        if measured || pressed || other_brackets || !acts.is_empty() {
            draft.leave(world, days, carried);
            draft.replace(visit, event, carried);
            if pressed {
                carried.mouth.coils.retain(|key, _| !again.contains(key));
            }
            crate::room::supplies::done_otherwise(&acts, carried);
            carried.put_on(&acts, Some(event.on));
            planned.acts.extend(acts);
            carried.off = off;
            state = planned.without_brackets(&carried.off);
            let reference = draft.poses_at_insertion();
            let again = segment(world, &state, &elastics, carried, Some(&reference), days, memory);
            draft.resume(again, state.clone());
            draft.act_on_bite(world, carried);
            measures = StopMeasures::of(world, &draft, carried);
        } else {
            draft.leave_bite(days, carried);
            draft.replace(visit, event, carried);
            // Gaps are as they were when the leg began; the bite is as it was found.
            measures =
                StopMeasures { gaps: measures.gaps, ..StopMeasures::of(world, &draft, carried) };
        }
    }
    (draft.reason, draft.when) = when(world, &draft, &measures);
    draft.due = due(world, &draft);
    if draft.recorded_end.is_none() {
        let BookingWindow { ready_days, .. } = draft.due;
        draft.leave(world, ready_days, carried);
        draft.release(carried);
    }
    (draft, change)
}
