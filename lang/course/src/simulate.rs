//! Living through the steps of one arch: every phase enters where the last one left off.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use jiff::civil::Date;

use super::account::Gated;
use super::booking::{Due, due, look_days};
use super::coil::pushing;
use super::draft::{Draft, Leg};
use super::finish::Days;
use super::forecast::Booking;
use super::history::{Begin, Event};
use super::loads::elastics_in;
use super::memory::Memory;
use super::mouth::Mouth;
use super::movement::{K_ALIGN, K_FREE, K_WITH_ROOM, growth_factor};
use super::passive::Watched;
use super::periodontium::{projected_area_mm2, rotation_lever_mm};
use super::pose::ToothPose;
use super::run::{Mover, Pace, Question, Run, run};
use super::setup::{ArchSetup, arch_setup, bends};
use super::state::{ArchState, ToothInState, ToothStatus, arch_state};
use super::stop_conditions::{Measures, when};
use super::supplies::{accounts, begin_step, coils_at_work, demanded, open_gaps};
use crate::model::Case;
use crate::model::case::{ArchCase, Found};
use crate::model::house::Task;
use crate::model::provenance::Origin;
use crate::model::quantity::mm;
use crate::model::step::WireUse;
use crate::model::tooth::Tooth;

/// What does not change while an arch is lived through.
pub(crate) struct World<'a> {
    pub case: &'a Case,
    pub arch: &'a ArchCase,
    pub booking: Booking,
    pub pace: Pace,
    /// What is known of the days of the phases from living through them once before.
    pub foreseen: Option<Foreseen>,
}

/// Days from a first pass, where elastics wait for both arches.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Foreseen {
    /// In and out of each phase.
    pub days: Vec<Days>,
    /// The day from which each block of elastics can be worn: every arch it hangs on is in the step
    /// that it names, and settled where that is asked.
    pub elastics: Vec<Option<Date>>,
}

/// What is carried from one phase into the next.
#[derive(Debug, Clone)]
pub(crate) struct Carried {
    pub mouth: Mouth,
    /// Room still missing for the teeth in the wire, once reckoned; and whether it was assumed.
    pub missing: Option<(f64, bool)>,
    pub released: BTreeSet<Tooth>,
    pub over_the_bite: BTreeSet<Tooth>,
    /// Negative where the lower front teeth bite in front.
    pub overjet_mm: Option<f64>,
    pub overbite_mm: Option<f64>,
}

/// Phases in order, as far as they can be told.
pub(crate) fn live(
    world: &World<'_>,
    begin: &Begin,
    events: &[Event],
    memory: &mut Memory,
) -> Vec<Draft> {
    let bite = &world.case.bite;
    let mut carried = Carried {
        mouth: Mouth::entered(world.arch),
        missing: None,
        released: BTreeSet::new(),
        over_the_bite: BTreeSet::new(),
        overjet_mm: bite.overjet.map(|(jet, _)| jet.mm()),
        overbite_mm: bite.overbite.map(|(l, _)| mm(l)),
    };
    let mut drafts = Vec::new();
    let (mut step, mut date, mut wire) = (0, begin.on, begin.wire.clone());
    let mut next = 0;
    while step < world.arch.steps.len() && drafts.len() < MOST_PHASES {
        let index = drafts.len();
        let Some(entry) = Entry::new(world, step, index, date, wire.take(), &mut carried) else {
            break;
        };
        let (mut draft, change) = phase(world, entry, &events[next..], &mut carried, memory);
        // A start is only a plan until a visit has been recorded since, or the case says that the
        // wire is in.
        draft.begun =
            date.is_some_and(|d| index > 0 || begin.in_place || events.iter().any(|e| e.on >= d));
        next += draft.seen_events;
        drafts.push(draft);
        match change {
            Some((on, index, recorded)) => (step, date, wire) = (index, Some(on), recorded),
            None => (step, date) = (step + 1, None),
        }
    }
    drafts
}

/// No plan needs more; bounds a file that says so all the same.
const MOST_PHASES: usize = 64;

/// A phase about to begin.
struct Entry {
    step: usize,
    date: Option<Date>,
    state: ArchState,
    elastics: Vec<usize>,
    worn_from: Vec<f64>,
}

impl Entry {
    fn new(
        world: &World<'_>,
        step: usize,
        index: usize,
        date: Option<Date>,
        wire: Option<WireUse>,
        carried: &mut Carried,
    ) -> Option<Entry> {
        let mut state = arch_state(world.arch, step, &carried.released)?;
        if let Some(wire) = wire {
            state.wire = wire;
        }
        let (elastics, worn_from) = worn(world, step, index, date);
        begin_step(world.arch, step, carried);
        Some(Entry { step, date, state, elastics, worn_from })
    }
}

/// The elastics worn in a phase, and from which day of it. Those of both arches wait until both are
/// there, which only a second pass can know.
fn worn(
    world: &World<'_>,
    step: usize,
    index: usize,
    date: Option<Date>,
) -> (Vec<usize>, Vec<f64>) {
    let planned = elastics_in(world.case, world.arch.arch, step);
    let Some(foreseen) = &world.foreseen else {
        let from = vec![0.0; planned.len()];
        return (planned, from);
    };
    let days = foreseen.days.get(index).copied().unwrap_or_default();
    let begins = date.or(days.date_in);
    planned
        .into_iter()
        .filter_map(|block| {
            let start = foreseen.elastics.get(block).copied().flatten()?;
            if days.date_out.is_some_and(|out| out <= start) {
                return None;
            }
            Some((block, begins.map_or(0.0, |b| days_between(b, start).max(0.0))))
        })
        .unzip()
}

/// One leg: a stretch of the phase between measurements.
fn leg(
    world: &World<'_>,
    state: &ArchState,
    elastics: &[usize],
    carried: &Carried,
    at_insertion: Option<Vec<[f64; 6]>>,
    start_days: f64,
    memory: &mut Memory,
) -> Leg {
    let setup = arch_setup(world.case, world.arch, state, &carried.mouth, elastics);
    let movers = movers(state, &setup, &carried.mouth, &Roomy::new(world, state, carried));
    let question = Question { setup, movers, at_insertion, pace: world.pace };
    let solved: Arc<Run> = memory.run(&question, || run(&question));
    let looks = look_days(world, state, elastics) * growth_factor(world.case.growth);
    let coils = coils_at_work(world, state, carried, looks);
    let (account, sites) = accounts(world, state, carried, &coils);
    let gated = Gated::new(&solved, &account);
    let bent = bends(state);
    let Question { setup, movers, .. } = question;
    let setup = Arc::new(setup);
    Leg { start_days, run: solved, gated, account, sites, coils, setup, movers, bent }
}

pub(crate) fn movers(
    state: &ArchState,
    setup: &ArchSetup,
    mouth: &Mouth,
    roomy: &Roomy,
) -> Vec<Mover> {
    let held: BTreeMap<u16, f64> = setup
        .base
        .slots
        .iter()
        .chain(setup.overlay.iter().flat_map(|o| o.slots.iter()))
        .map(|s| (s.id, s.prescription_rad))
        .collect();
    state
        .teeth
        .iter()
        .filter_map(|t| Some((t, *held.get(&(t.tooth.code() as u16))?)))
        .map(|(t, slot_torque_rad)| Mover {
            id: t.tooth.code() as u16,
            watched: Watched {
                tooth: t.tooth,
                crown_mm: mouth.width_mm(t.tooth),
                fixed: t.fixed,
                slot_torque_rad,
            },
            area_mm2: projected_area_mm2(t.tooth),
            rotation_lever_mm: rotation_lever_mm(t.tooth),
            k: situation(t, roomy),
        })
        .collect()
}

/// Which teeth have the room they need, as far as it is known.
#[derive(Debug, Default)]
pub(crate) struct Roomy {
    /// Nobody in the wire lacks room, by spaces that were written.
    all: bool,
    teeth: BTreeSet<Tooth>,
}

/// Room missing in an arch, and space beside a tooth, that change nothing, mm: half a step of the entry
/// grid.
const ENOUGH_MM: f64 = 0.25;

impl Roomy {
    /// By written or measured spaces, and by open gaps. Room that is only assumed to be there proves nothing:
    /// the crowded rate was fitted on whole alignments, second wires and all, without any spaces.
    fn new(world: &World<'_>, state: &ArchState, carried: &Carried) -> Roomy {
        let mouth = &carried.mouth;
        let mut teeth: BTreeSet<Tooth> = BTreeSet::new();
        teeth.extend(
            mouth.spaces.iter().filter(|(t, s)| **s >= mouth.width_mm(**t)).map(|(t, _)| *t),
        );
        for ((a, b), length) in open_gaps(world.arch, state, carried) {
            if length >= ENOUGH_MM {
                teeth.extend([a, b]);
            }
        }
        let (missing_mm, assumed) = demanded(state, carried);
        Roomy { all: missing_mm < ENOUGH_MM && !assumed, teeth }
    }
}

/// k: a tooth on a light wire over the base wire is free on its spring; one that has room is held back by the
/// wire alone; all others count as crowded.
fn situation(tooth: &ToothInState, roomy: &Roomy) -> f64 {
    if tooth.status == ToothStatus::Piggyback {
        K_FREE
    } else if roomy.all || roomy.teeth.contains(&tooth.tooth) {
        K_WITH_ROOM
    } else {
        K_ALIGN
    }
}

type Change = Option<(Date, usize, Option<WireUse>)>;

/// Lives through one phase: to the visit that changed the wire, or to the day it is booked for.
fn phase(
    world: &World<'_>,
    entry: Entry,
    events: &[Event],
    carried: &mut Carried,
    memory: &mut Memory,
) -> (Draft, Change) {
    let Entry { step, date, mut state, elastics, worn_from } = entry;
    let learnt = super::spread::learnt(&world.case.house, &state.wire.wire.name);
    let growth = growth_factor(world.case.growth);
    let entry_mouth = carried.mouth.clone();
    let first = leg(world, &state, &elastics, carried, None, 0.0, memory);
    let mut draft =
        Draft::new(world, step, date, state.clone(), entry_mouth, learnt, growth, first);
    draft.elastics = elastics.clone();
    draft.worn_from = worn_from;
    let mut measures = Measures::of(world, &draft, carried);
    draft.when = when(world, &mut draft, &measures);
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
                state.wire = wire.clone();
                let again = leg(world, &state, &elastics, carried, None, 0.0, memory);
                draft.restart(again, state.clone());
            }
            draft.seen_events += 1;
            continue;
        }
        draft.seen_events += 1;
        draft.see(world, event, days);
        // From this day what was measured takes the place of what was predicted.
        let visit = &world.case.visits[event.visit];
        let measured = visit.stands.keys().any(|t| t.arch() == world.arch.arch)
            || visit.gaps.iter().any(|g| g.first.arch() == world.arch.arch);
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
        if event.out {
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
        if measured || pressed || !acts.is_empty() {
            draft.leave(world, days, carried);
            draft.replace(visit, event, carried);
            if pressed {
                carried.mouth.coils.retain(|key, _| !again.contains(key));
            }
            super::supplies::done_otherwise(&acts, carried);
            state.acts.extend(acts);
            let reference = draft.stands_at_insertion();
            let again = leg(world, &state, &elastics, carried, reference, days, memory);
            draft.resume(again, state.clone());
            measures = Measures::of(world, &draft, carried);
        } else {
            draft.leave_bite(world, days, carried);
            draft.replace(visit, event, carried);
            let bite = &visit.bite;
            if bite.overjet.is_some() || bite.overbite.is_some() || !visit.over_the_bite.is_empty()
            {
                measures = Measures { gaps: measures.gaps, ..Measures::of(world, &draft, carried) };
            }
        }
    }
    draft.when = when(world, &mut draft, &measures);
    draft.due = due(world, &draft);
    if draft.recorded_end.is_none() {
        let Due { ready_days, .. } = draft.due;
        draft.leave(world, ready_days, carried);
        draft.release(carried);
    }
    (draft, change)
}

pub(crate) fn days_between(from: Date, to: Date) -> f64 {
    from.until(to).map_or(0.0, |span| f64::from(span.get_days()))
}

/// Poses of all teeth: those the wire holds as the run has them, the others as they were.
pub(crate) fn poses(
    movers: &[Mover],
    bent: &BTreeMap<Tooth, ToothPose>,
    stands: &[[f64; 6]],
    before: &Mouth,
) -> BTreeMap<Tooth, ToothPose> {
    let mut out = before.poses.clone();
    for (mover, stand) in movers.iter().zip(stands) {
        let bend = bent.get(&mover.watched.tooth).copied().unwrap_or_default().parts();
        let pose = ToothPose::from_parts(std::array::from_fn(|i| stand[i] + bend[i]));
        out.insert(mover.watched.tooth, pose);
    }
    out
}

/// Whether a visit's finding says that the wire still works.
pub(crate) fn still_active(found: Option<&Found>) -> bool {
    matches!(found, Some(Found::Active | Found::Binds { .. }))
}

/// Keeps where a stand came from when the course moves it.
pub(crate) fn moved(mouth: &mut Mouth, poses: BTreeMap<Tooth, ToothPose>) {
    for (tooth, pose) in poses {
        mouth.poses.insert(tooth, pose);
        mouth.origins.entry(tooth).or_insert(Origin::Assumed);
    }
}
