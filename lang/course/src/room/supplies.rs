//! Sources of room in a step, for the engaged teeth and for each bypassed tooth.

use std::collections::{BTreeMap, BTreeSet};

use crate::geometry::{crown, left_by_absent_mm, measured_overlaps};
use crate::law::irregularity::{Crown, index_mm};
use crate::law::rates::LENGTH_PER_WIDTH;
use crate::mouth::carried::CarriedState;
use crate::mouth::coil_spring::pushing;
use crate::mouth::pair::pair;
use crate::plan::input::ArchInput;
use crate::plan::state::{ArchState, ToothStatus};
use crate::room::coil::CoilAtWork;
use crate::room::supply_and_demand::{Account, Supply};
use crate::timeline::expander_life::expander_life;
use springline_model::case::ArchCase;
use springline_model::crowding::MISSING_PER_INDEX;
use springline_model::provenance::Origin;
use springline_model::step::{Act, ActKind, Activation, EndKind, Term};
use springline_units::quantity::mm;
use springline_units::tooth::{Side, Tooth};

/// A tooth is engaged when it has its width and this much more, where the plan gives no figure.
const EASE_MM: f64 = 0.5;

/// The account of one tooth that is out of the wire.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SpaceSite {
    pub tooth: Tooth,
    pub width_mm: f64,
    pub space_mm: f64,
    pub assumed: bool,
    pub wanted_mm: f64,
    pub ends_by_itself: bool,
    pub supplies: Vec<Supply>,
}

/// Applies what a step does once, at its start.
pub(crate) fn begin_step(arch: &ArchCase, step: usize, carried: &mut CarriedState) {
    // How far teeth were pushed along the arch is room by now, and in the layout of the next wire.
    for pose in carried.mouth.poses.values_mut() {
        pose.along_mm = 0.0;
    }
    if let Some(step) = arch.steps.get(step) {
        done_otherwise(&step.acts, carried);
    }
}

/// Acts that change positions, planned or recorded.
pub(crate) fn done_otherwise(acts: &[Act], carried: &mut CarriedState) {
    for act in acts {
        match &act.kind {
            ActKind::Reposition { teeth, to } if !to.is_empty() => {
                for tooth in teeth {
                    carried.mouth.measure(*tooth, to, Origin::Case);
                }
            }
            // The gap that was kept for it is its space from then on.
            ActKind::PickUp { teeth, .. } => {
                for tooth in teeth {
                    let over = |(a, b): &(Tooth, Tooth)| a < tooth && tooth < b;
                    let gap = carried.mouth.gaps.keys().copied().find(over);
                    if let Some(length) = gap.and_then(|gap| carried.mouth.gaps.remove(&gap)) {
                        carried.mouth.spaces.insert(*tooth, length);
                    }
                }
            }
            ActKind::Reduce { amount, contacts } => {
                for (a, b) in contacts {
                    *carried.mouth.reduced.entry(pair(*a, *b)).or_default() += mm(*amount);
                }
            }
            _ => {}
        }
    }
}

/// Enamel taken off in a step, by contact.
fn enamel(state: &ArchState, arch: &ArchCase) -> Vec<((Tooth, Tooth), f64)> {
    let own = arch.steps.get(state.step).map_or(&[][..], |s| &s.acts[..]);
    own.iter()
        .chain(state.acts.iter().filter(|a| a.origin == Origin::Visit))
        .flat_map(|act| match &act.kind {
            ActKind::Reduce { amount, contacts } => {
                contacts.iter().map(|c| (pair(c.0, c.1), mm(*amount))).collect()
            }
            _ => Vec::new(),
        })
        .collect()
}

/// The account of the arch and of every tooth out of the wire.
pub(crate) fn accounts(
    world: &ArchInput<'_>,
    state: &ArchState,
    carried: &CarriedState,
    coils: &[CoilAtWork],
) -> (Account, Vec<SpaceSite>) {
    let mut sites = sites(world, state, carried, coils);
    let mut account = Account::default();
    (account.demanded_mm, account.assumed) = demanded(state, carried);
    for (contact, amount) in enamel(state, world.arch) {
        let touches = |s: &&mut SpaceSite| s.tooth == contact.0 || s.tooth == contact.1;
        match sites.iter_mut().find(touches) {
            Some(site) => site.supplies.push(Supply::enamel(contact, amount)),
            None => account.supplies.push(Supply::enamel(contact, amount)),
        }
    }
    if account.demanded_mm > 0.0 {
        if may_come_forward(world, state) {
            let front = state.in_wire().map(|t| t.tooth).filter(|t| t.is_incisor()).collect();
            account.supplies.push(Supply::forward(front));
        }
        account.supplies.extend(widened(world, state));
        for (gap, length) in open_gaps(world.arch, state, carried) {
            let free = length - kept_mm(state, gap, length);
            if free > 0.0 {
                account.supplies.push(Supply::gap(gap, free));
            }
        }
    }
    (account, sites)
}

/// Arch length that an expander gives the first wire of the arch; later ones find what it left.
fn widened(world: &ArchInput<'_>, state: &ArchState) -> Option<Supply> {
    let expander = world.arch.expander.as_ref().filter(|_| state.step == 0)?;
    let life = expander_life(world.case, world.arch)?;
    let start = world.arch.start.as_ref().or(world.case.start.as_ref()).map(|(day, _)| *day)?;
    let won = life.open_mm(expander, start);
    let left = (mm(expander.width) - won).max(0.0);
    let length = |width: f64| LENGTH_PER_WIDTH * width;
    let rate = length(expander.mm_per_day());
    Some(Supply::expansion(expander.teeth.clone(), length(won), (rate, length(left))))
}

/// Room that the engaged teeth lack: as written, else as carried over, else by overlaps where all contacts were measured,
/// else from the irregularity.
pub(crate) fn demanded(state: &ArchState, carried: &CarriedState) -> (f64, bool) {
    let short = |t: Tooth| {
        let space = carried.mouth.spaces.get(&t)?;
        Some((carried.mouth.width_mm(t) - space).max(0.0))
    };
    let written: Vec<f64> = state.in_wire().filter_map(|t| short(t.tooth)).collect();
    if !written.is_empty() {
        return (written.iter().sum(), false);
    }
    if let Some(missing) = carried.missing {
        return missing;
    }
    if let Some(crowding_mm) = carried.mouth.crowding_mm {
        return (crowding_mm, false);
    }
    if let Some(contacts) = measured_overlaps(state, &carried.mouth) {
        let held = |t: Tooth| state.status(t).is_in_wire();
        let lacking = contacts.iter().filter(|((a, b), _)| held(*a) && held(*b));
        return (lacking.map(|(_, overlap)| overlap).sum(), false);
    }
    let crowns: Vec<Crown> = state.in_wire().map(|t| crown(t.tooth, &carried.mouth)).collect();
    ((MISSING_PER_INDEX * (index_mm(&crowns) - 1.0)).max(0.0), true)
}

/// Whether the front may give room by coming forward: not where the goal forbids it, nor against a
/// wire cinched tight on both sides.
fn may_come_forward(world: &ArchInput<'_>, state: &ArchState) -> bool {
    let forbidden = world.case.goal.as_ref().is_some_and(|g| g.incisors_forward == Some(false));
    let cinched =
        [Side::Right, Side::Left].iter().all(|s| state.ends.of(*s).value.kind == EndKind::Cinched);
    !forbidden && !cinched
}

/// What of a gap is kept open: by a coil that fills it, or as the space held for a tooth that is to come there.
fn kept_mm(state: &ArchState, gap: (Tooth, Tooth), length_mm: f64) -> f64 {
    let keeps = |act: &Act| match &act.kind {
        ActKind::ClosedCoil { first, second, .. }
        | ActKind::OpenCoil { first, second, activation: Activation::Passive, .. }
            if pair(*first, *second) == gap =>
        {
            Some(length_mm)
        }
        ActKind::Hold { teeth, length } if teeth.iter().any(|t| gap.0 < *t && *t < gap.1) => {
            Some(mm(*length))
        }
        _ => None,
    };
    state.acts.iter().filter_map(keeps).fold(0.0, f64::max)
}

/// Gaps that crowded neighbours can spread into: written ones, and what an extraction left.
pub(crate) fn open_gaps(
    arch: &ArchCase,
    state: &ArchState,
    carried: &CarriedState,
) -> Vec<((Tooth, Tooth), f64)> {
    use springline_model::case::ToothState as S;
    let mut gaps: BTreeMap<(Tooth, Tooth), f64> =
        carried.mouth.gaps.iter().filter(|(_, l)| **l > 0.05).map(|(k, l)| (*k, *l)).collect();
    let mut before: Option<Tooth> = None;
    let mut taken = 0.0;
    for t in &state.teeth {
        if t.status == ToothStatus::Absent {
            let out = arch.states.get(&t.tooth).map(|(s, _)| *s);
            if matches!(out, Some(S::Extracted { .. } | S::Extract { .. })) {
                taken += left_by_absent_mm(arch, &carried.mouth, t.tooth);
            }
            continue;
        }
        if let Some(before) = before
            && taken > 0.0
        {
            let known = carried.mouth.gaps.contains_key(&pair(before, t.tooth));
            if !known {
                gaps.insert(pair(before, t.tooth), taken);
            }
        }
        (before, taken) = (Some(t.tooth), 0.0);
    }
    gaps.into_iter().collect()
}

/// Bypassed teeth, with the sources of their space.
fn sites(
    world: &ArchInput<'_>,
    state: &ArchState,
    carried: &CarriedState,
    coils: &[CoilAtWork],
) -> Vec<SpaceSite> {
    let mut wanted: BTreeMap<Tooth, (Option<f64>, bool)> = BTreeMap::new();
    for act in &state.acts {
        if let ActKind::Bypass { teeth, until, .. } = &act.kind {
            let figure = until.as_ref().and_then(|c| space_of(&c.terms));
            wanted.extend(teeth.iter().map(|t| (*t, (figure, until.is_some()))));
        }
    }
    // The step itself may wait for a space.
    let until = world.arch.steps.get(state.step).map(|s| &s.until.value);
    for term in until.iter().flat_map(|c| c.terms.iter()) {
        if let Term::Space { length, teeth } = term {
            let out: Vec<Tooth> = if teeth.is_empty() {
                wanted.keys().copied().collect()
            } else {
                teeth.iter().copied().filter(|t| state.status(*t) != ToothStatus::Absent).collect()
            };
            for tooth in out.into_iter().filter(|t| !state.status(*t).is_in_wire()) {
                let entry = wanted.entry(tooth).or_insert((None, false));
                entry.0 = entry.0.or(Some(mm(*length)));
            }
        }
    }
    let sites: Vec<SpaceSite> = wanted
        .into_iter()
        .filter(|(t, _)| !matches!(state.status(*t), ToothStatus::Absent | ToothStatus::Engaged))
        .map(|(tooth, (figure, ends_by_itself))| {
            let width_mm = carried.mouth.width_mm(tooth);
            let known = carried.mouth.spaces.get(&tooth).copied();
            SpaceSite {
                tooth,
                width_mm,
                space_mm: known.unwrap_or(width_mm),
                assumed: known.is_none(),
                wanted_mm: figure.unwrap_or(width_mm + EASE_MM),
                ends_by_itself,
                supplies: Vec::new(),
            }
        })
        .collect();
    let shared = |site: &SpaceSite| {
        let coil = coils.iter().find(|c| c.spans(site.tooth))?;
        let beside = sites.iter().filter(|s| coil.spans(s.tooth));
        Some(coil.supply.shared(share_of(site, beside)))
    };
    let supplies: Vec<Option<Supply>> = sites.iter().map(shared).collect();
    let with = |(site, supply): (SpaceSite, Option<Supply>)| SpaceSite {
        supplies: supply.into_iter().collect(),
        ..site
    };
    sites.into_iter().zip(supplies).map(with).collect()
}

/// What a tooth has of the room that one coil makes over several: in proportion to what each lacks, so that all have
/// theirs together (estimate, no source: between such teeth the room can be used by either).
fn share_of<'s>(site: &SpaceSite, all: impl Iterator<Item = &'s SpaceSite> + Clone) -> f64 {
    let lacks = |s: &SpaceSite| (s.wanted_mm - s.space_mm).max(0.0);
    let total: f64 = all.clone().map(lacks).sum();
    match total > 1e-9 {
        true => lacks(site) / total,
        false => 1.0 / all.count().max(1) as f64,
    }
}

/// The figure of a `space` term.
fn space_of(terms: &[Term]) -> Option<f64> {
    terms.iter().find_map(|t| match t {
        Term::Space { length, .. } => Some(mm(*length)),
        _ => None,
    })
}

/// The open coils that push in a step, as they lie when a leg of it begins. `look_days`: the longest time
/// between two visits, at unit rate.
pub(crate) fn coils_at_work(
    world: &ArchInput<'_>,
    state: &ArchState,
    carried: &CarriedState,
    look_days: f64,
) -> Vec<CoilAtWork> {
    let tied = state.tied(&world.arch.bars);
    let side = |abutment: Tooth, other: Tooth| -> Vec<Tooth> {
        let group = tied.iter().find(|g| g.contains(&abutment) && !g.contains(&other));
        let moves = |t: &Tooth| state.tooth(*t).is_some_and(|s| !s.fixed);
        let all: BTreeSet<Tooth> = group.into_iter().flatten().copied().chain([abutment]).collect();
        // One tooth that cannot move holds all that are tied to it.
        if all.iter().all(moves) { all.into_iter().collect() } else { Vec::new() }
    };
    pushing(&state.acts)
        .into_iter()
        .map(|(key, fresh, again)| {
            let (a, b) = (side(key.0, key.1), side(key.1, key.0));
            let spring = carried.mouth.coil_now(&key, fresh);
            CoilAtWork::new(key, spring, (&a, &b), again.then_some(look_days))
        })
        .collect()
}
