//! Builds the published visits: recorded ones as they were, coming ones as planned.

use jiff::civil::Date;

use crate::plan::input::Booking;
use crate::simulate::outcome::EndReason;
use crate::timeline::phase::ArchForecast;
use crate::timeline::phase::Phase;
use crate::visits::schedule::Coming;
use crate::visits::visit::{ArchVisit, PlannedVisit, VisitReason};
use springline_model::Case;
use springline_model::house::Task;
use springline_model::step::ActKind;
use springline_units::tooth::Tooth;

/// Number of teeth to test on a card.
const TESTED: usize = 3;

/// Teeth of a phase, the one with most left to correct first; those with nothing left are omitted.
fn worst_teeth(phase: &Phase) -> Vec<Tooth> {
    let mut teeth: Vec<(f64, Tooth)> = phase
        .teeth
        .iter()
        .filter(|t| t.status.is_in_wire() && !t.fixed)
        .map(|t| {
            let (a, b) = (t.entry.parts(), t.left_by_play.parts());
            // A rotation counts as the displacement of a bracket's edge, 1.5 mm from its middle.
            let way: f64 = (0..6)
                .map(|i| (a[i] - b[i]).abs() * if i < 3 { 1.0 } else { 1.5 })
                .map(|x| x * x)
                .sum();
            (way.sqrt(), t.tooth)
        })
        .filter(|(way, _)| *way > 0.1)
        .collect();
    teeth.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    teeth.into_iter().take(TESTED).map(|(_, t)| t).collect()
}

/// The next step begins on the same wire, and nobody touches it: its time at the chair is a look's.
fn leaves_the_wire(before: &Phase, after: &Phase) -> bool {
    let (b, a) = (&before.state, &after.state);
    before.wire.same_wires(&after.wire)
        && b.ends.right.value == a.ends.right.value
        && b.ends.left.value == a.ends.left.value
        && a.acts.len() == a.carried
        && b.acts.len() == a.acts.len()
}

/// Work that the beginning of a phase brings, after the one before.
fn tasks_of(before: Option<&Phase>, phase: &Phase, first: bool, out: &mut Vec<Task>) {
    if before.is_some_and(|before| leaves_the_wire(before, phase)) {
        return;
    }
    out.push(if first { Task::BondUp } else { Task::WireChange });
    for act in phase.state.acts.iter().skip(phase.state.carried) {
        match &act.kind {
            ActKind::OpenCoil { .. }
            | ActKind::ClosedCoil { .. }
            | ActKind::ClosingCoil { .. }
            | ActKind::Chain { .. } => out.push(Task::Coil),
            ActKind::Reposition { .. } | ActKind::PickUp { .. } | ActKind::Rebond { .. } => {
                out.push(Task::Reposition);
            }
            _ => {}
        }
    }
}

/// Minutes: a bond-up counts once for both arches; the rest adds up.
fn minutes(case: &Case, tasks: &[Task]) -> (Vec<(Task, f64)>, f64) {
    let mut seen_bond_up = false;
    let timed: Vec<(Task, f64)> = tasks
        .iter()
        .filter(|t| {
            let again = **t == Task::BondUp && seen_bond_up;
            seen_bond_up |= **t == Task::BondUp;
            !again
        })
        .map(|t| (*t, case.house.minutes_for(*t)))
        .collect();
    let sum = timed.iter().map(|(_, m)| m).sum();
    (timed, sum)
}

pub(crate) struct VisitBuilder<'a> {
    pub case: &'a Case,
    pub arches: &'a [ArchForecast],
    pub booking: Booking,
    /// Share of patients in whom the condition of a phase of an arch holds after so many days.
    pub shares: &'a dyn Fn(usize, usize, f64) -> Option<f64>,
}

impl VisitBuilder<'_> {
    fn phase(&self, arch: usize, index: Option<usize>) -> Option<&Phase> {
        self.arches.get(arch)?.phases.get(index?)
    }

    fn arch_visit(
        &self,
        arch: usize,
        now: Option<usize>,
        next: Option<usize>,
        changed: bool,
        on: Date,
    ) -> ArchVisit {
        let phase = self.phase(arch, now);
        // Where nothing is booked to change the card still says what follows if the test is passed.
        let following = next.or_else(|| now.map(|n| n + 1));
        let next_phase = self.phase(arch, following);
        ArchVisit {
            arch: self.arches[arch].arch,
            phase: now,
            step: phase.map(|p| p.step),
            name: phase.map(|p| p.name.clone()),
            test: phase.map(worst_teeth).unwrap_or_default(),
            next_phase: next_phase.and(following),
            next_step: next_phase.map(|p| p.step),
            next_name: next_phase.map(|p| p.name.clone()),
            change_expected: changed,
            chance: phase.and_then(|p| {
                (self.shares)(arch, now?, crate::plan::calendar::days_between(p.date_in?, on))
            }),
            found: None,
        }
    }

    /// The visit at which the first wires are inserted, where it is not recorded.
    pub fn start(&self, on: Date, first: &[bool]) -> PlannedVisit {
        let mut tasks = Vec::new();
        let mut arches = Vec::new();
        for (a, begins) in first.iter().enumerate() {
            if *begins {
                arches.push(self.arch_visit(a, None, Some(0), true, on));
                if let Some(phase) = self.phase(a, Some(0)) {
                    tasks_of(None, phase, true, &mut tasks);
                }
            }
        }
        let (tasks, minutes) = minutes(self.case, &tasks);
        PlannedVisit {
            date: on,
            window: (on, on),
            recorded: None,
            was_planned_for: None,
            kind: Task::BondUp,
            arches,
            tasks,
            minutes,
            reason: VisitReason::Start,
            quantile: None,
            key: "start".to_owned(),
        }
    }

    /// A visit to come.
    pub fn coming(&self, coming: &Coming) -> PlannedVisit {
        let mut tasks = Vec::new();
        let mut arches = Vec::new();
        let mut ends = true;
        for (a, (now, next)) in coming.arches.iter().enumerate() {
            let changed = coming.changed.get(a).copied().unwrap_or(false);
            arches.push(self.arch_visit(a, *now, *next, changed, coming.date));
            ends &= if changed { next.is_none() } else { now.is_none() };
            if let (true, Some(phase)) = (changed, self.phase(a, *next)) {
                tasks_of(self.phase(a, *now), phase, coming.begins[a], &mut tasks);
            }
        }
        if self.begins_elastics(coming) {
            tasks.push(Task::Elastics);
        }
        let kind = match () {
            () if ends => Task::Debond,
            () if tasks.contains(&Task::BondUp) => Task::BondUp,
            () if tasks.contains(&Task::WireChange) => Task::WireChange,
            () => Task::Review,
        };
        if ends || kind == Task::Review {
            tasks.insert(0, kind);
        }
        if !ends && self.renews(coming) && !tasks.contains(&Task::Coil) {
            tasks.push(Task::Coil);
        }
        let (tasks, minutes) = minutes(self.case, &tasks);
        let (reason, quantile) = self.reason(coming, ends);
        PlannedVisit {
            date: coming.date,
            window: (coming.earliest, coming.latest),
            recorded: None,
            was_planned_for: None,
            kind,
            // The others are numbered once all are there.
            key: if ends { "debond".to_owned() } else { String::new() },
            arches,
            tasks,
            minutes,
            reason,
            quantile,
        }
    }

    /// A coil is pressed again, a chain or a traction thread put on anew, where the wire stays.
    fn renews(&self, coming: &Coming) -> bool {
        coming.arches.iter().enumerate().any(|(a, (now, _))| {
            let stays = !coming.changed.get(a).copied().unwrap_or(false);
            let renewed = |p: &Phase| p.state.acts.iter().any(|a| a.kind.is_renewed_at_looks());
            stays && self.phase(a, *now).is_some_and(renewed)
        })
    }

    fn begins_elastics(&self, coming: &Coming) -> bool {
        coming.arches.iter().enumerate().any(|(a, (_, next))| {
            let begins = |p: &Phase| {
                self.case
                    .elastics
                    .iter()
                    .filter_map(|e| e.from.as_ref())
                    .any(|(name, _, _)| *name == p.name)
            };
            coming.changed[a] && self.phase(a, *next).is_some_and(begins)
        })
    }

    fn reason(&self, coming: &Coming, ends: bool) -> (VisitReason, Option<f64>) {
        if let Some(arch) = coming.stops.and_then(|a| self.arches.get(a)) {
            return (VisitReason::NotForeseen { arch: arch.arch }, None);
        }
        if ends {
            return (VisitReason::Debond, None);
        }
        let mut due = None;
        for (a, (now, _)) in coming.arches.iter().enumerate() {
            if !coming.changed.get(a).copied().unwrap_or(false) {
                continue;
            }
            let arch = self.arches[a].arch;
            let Some(phase) = self.phase(a, *now) else {
                return (VisitReason::Start, None);
            };
            if phase.end.reason == EndReason::Passive {
                return (VisitReason::Passive { arch }, Some(self.booking.at));
            }
            due = due.or(Some(VisitReason::Due { arch }));
        }
        if let Some(due) = due {
            return (due, None);
        }
        let supervised = coming
            .arches
            .iter()
            .enumerate()
            .find_map(|(a, (now, _))| self.phase(a, *now).and_then(|p| p.supervised));
        match supervised {
            Some(what) => (VisitReason::Supervision { what: what.to_owned() }, None),
            None => (VisitReason::LongestInterval, None),
        }
    }

    /// A recorded visit, beside the day it was planned for.
    pub fn recorded(&self, index: usize, was_planned_for: Option<Date>) -> PlannedVisit {
        let visit = &self.case.visits[index];
        let mut arches = Vec::new();
        let mut changes = false;
        for (a, arch) in self.arches.iter().enumerate() {
            let at = |p: &Phase| p.seen.iter().any(|s| s.visit == index);
            let now = arch.phases.iter().position(at);
            let next = arch.phases.iter().position(|p| p.begun && p.date_in == Some(visit.on));
            let changed = next.is_some() && next != now;
            let next = if changed { next } else { None };
            changes |= changed;
            let mut row = self.arch_visit(a, now, next, changed, visit.on);
            if !changed {
                (row.next_phase, row.next_step, row.next_name) = (None, None, None);
            }
            let seen = visit.arches.iter().find(|s| s.arch == arch.arch);
            row.found = seen.and_then(|s| s.found.clone());
            // What was expected before the wire was looked at.
            let looked = now.and_then(|n| arch.phases[n].seen.iter().find(|s| s.visit == index));
            row.chance = looked.and_then(|s| s.expected_passive);
            if now.is_some() || changed || seen.is_some() {
                arches.push(row);
            }
        }
        let kind = visit.kind.unwrap_or(if changes { Task::WireChange } else { Task::Review });
        let (tasks, minutes) = minutes(self.case, &[kind]);
        PlannedVisit {
            date: visit.on,
            window: (visit.on, visit.on),
            recorded: Some(index),
            was_planned_for,
            kind,
            arches,
            tasks,
            minutes,
            reason: VisitReason::Recorded,
            quantile: None,
            key: format!("seen-{}", visit.on),
        }
    }
}
