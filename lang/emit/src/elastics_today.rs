//! What the patient does about elastics after a visit, and how far that hangs on a test of that visit.

use crate::plan::{ArchToday, Plan, VisitToday};
use springline_course::{RemovalReason, Standing};
use springline_model::case::Elastics;
use springline_model::step::Term;
use springline_units::tooth::Arch;

/// One block of elastics at one visit.
#[derive(Debug, Clone, PartialEq)]
pub struct ElasticsToday {
    /// Index into the case's blocks.
    pub index: usize,
    pub worn: WornIf,
    /// Not worn when the patient comes.
    pub new: bool,
    /// Others take their place on the same hooks.
    pub replaced: bool,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WornIf {
    /// Whatever the tests say.
    Always,
    /// Unless their own measure is met today.
    UnlessMet,
    /// Only if the tests of these arches are passed.
    Passed(Vec<Arch>),
    /// Only if they are not.
    NotPassed(Vec<Arch>),
}

impl<'a> VisitToday<'a> {
    /// Every block that may be worn after the visit: those that the patient has first.
    pub fn elastics_today(&self, plan: &Plan<'a>) -> Vec<ElasticsToday> {
        let moment = self.moment;
        let all = &plan.case.elastics;
        if moment.standing != Standing::Foreseen {
            let worn = moment.elastics_after.iter();
            let new = |i: &usize| !moment.elastics_on_arrival.contains(i);
            return worn.map(|i| always(*i, new(i))).collect();
        }
        let had = moment.elastics_on_arrival.iter().filter_map(|i| {
            let reason = moment.elastics_off.iter().find(|e| e.block == *i).map(|e| e.reason);
            let (gates, replaced) = self.ends_with(all, *i);
            let worn = match reason {
                Some(
                    RemovalReason::Recorded | RemovalReason::Debond | RemovalReason::LongestTime,
                ) => return None,
                Some(RemovalReason::Foreseen) if gates.is_empty() => WornIf::UnlessMet,
                Some(_) if gates.is_empty() => return None,
                None if gates.is_empty() => WornIf::Always,
                _ => WornIf::NotPassed(gates),
            };
            Some(ElasticsToday { index: *i, worn, new: false, replaced })
        });
        let fresh = (0..all.len()).filter(|i| !moment.elastics_on_arrival.contains(i));
        let fresh = fresh.filter_map(|i| match self.begins_with(all.get(i)?) {
            Some(gates) => Some(ElasticsToday {
                index: i,
                worn: WornIf::Passed(gates),
                new: true,
                replaced: false,
            }),
            None => moment.elastics_after.contains(&i).then(|| always(i, true)),
        });
        had.chain(fresh).collect()
    }

    /// The arches whose test begins the step from which a block is worn; `None` where that needs no test of
    /// today, or more than one.
    fn begins_with(&self, block: &Elastics) -> Option<Vec<Arch>> {
        // One that waits until the wire is expressed does not begin on the day of the change.
        let (from, _, _) = block.from.as_ref().filter(|(_, settled, _)| !settled)?;
        let gates = self.crossed(from);
        let there = |arch: &ArchToday<'_>| {
            let Some(first) = step_index(arch, from) else { return true };
            let sure = if arch.is_asked() { arch.now } else { arch.after() };
            gates.contains(&arch.arch.arch) || sure.is_some_and(|m| m.moment.step >= first)
        };
        (!gates.is_empty() && self.arches.iter().all(there)).then_some(gates)
    }

    /// The arches whose test ends a block, and whether another one takes its place.
    fn ends_with(&self, all: &[Elastics], index: usize) -> (Vec<Arch>, bool) {
        let Some(block) = all.get(index) else { return (Vec::new(), false) };
        let same_hooks = |later: &&Elastics| {
            block.runs.iter().any(|run| later.runs.iter().any(|other| other.teeth == run.teeth))
        };
        let later = all.iter().skip(index + 1).filter(same_hooks);
        if let Some(gates) = later.filter_map(|later| self.begins_with(later)).next() {
            return (gates, true);
        }
        if let Some((name, _)) = &block.until_step {
            return (self.crossed(name), false);
        }
        let Some((until, _)) = &block.until else { return (Vec::new(), false) };
        let same_aim = |arch: &&ArchToday<'_>| {
            let asked = arch.now.filter(|_| arch.is_asked()).map(|now| &now.step.until.value);
            asked.is_some_and(|test| {
                let shared = until.terms.iter().all(|term| test.terms.contains(term));
                shared && (test.all || test.terms.len() == 1)
            })
        };
        (self.arches.iter().filter(same_aim).map(|a| a.arch.arch).collect(), false)
    }

    /// Arches that go into that step, or past it, if their test is passed.
    fn crossed(&self, name: &str) -> Vec<Arch> {
        let crosses = |arch: &&ArchToday<'_>| {
            let steps = step_index(arch, name).zip(arch.now).zip(arch.next);
            steps.is_some_and(|((at, now), next)| {
                arch.is_asked() && now.moment.step < at && at <= next.moment.step
            })
        };
        self.arches.iter().filter(crosses).map(|a| a.arch.arch).collect()
    }

    /// "both tests are passed": of the tests of the visit those of these arches.
    pub fn passed(&self, gates: &[Arch]) -> String {
        match (self.arches.iter().filter(|a| a.is_asked()).count(), gates) {
            (2.., [one]) => format!("the {one} test is passed"),
            (2.., _) => "both tests are passed".to_owned(),
            _ => "the test is passed".to_owned(),
        }
    }
}

impl ArchToday<'_> {
    /// Something is asked at the chair before the next step begins; a time that is over is not.
    pub fn is_asked(&self) -> bool {
        let asks = |t: &Term| !matches!(t, Term::Time { .. } | Term::Settled);
        self.next.is_some() && self.now.is_some_and(|now| now.step.until.terms.iter().any(asks))
    }
}

fn step_index(arch: &ArchToday<'_>, name: &str) -> Option<usize> {
    arch.arch.steps.iter().position(|s| *s.name == *name)
}

fn always(index: usize, new: bool) -> ElasticsToday {
    ElasticsToday { index, worn: WornIf::Always, new, replaced: false }
}
