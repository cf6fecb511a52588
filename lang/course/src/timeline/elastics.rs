//! Which elastics are worn from a visit on.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::plan::calendar::days_between;
use crate::plan::elastics::{longest, settle_days, share_hooks};
use crate::plan::measures::is_met;
use crate::timeline::device::{ElasticsLife, ElasticsRemoval, RemovalReason};
use crate::timeline::foreseen::MouthForecast;
use crate::timeline::moment::ArchMoment;
use crate::timeline::phase::ArchForecast;
use springline_model::Case;
use springline_model::case::Elastics;
use springline_units::quantity::Period;

/// The first and the last day of every block of the case.
pub(crate) fn lives(case: &Case, arches: &[ArchForecast]) -> Vec<ElasticsLife> {
    let life = |block: &Elastics| {
        let first_day = first_day(case, arches, block);
        let last_day = first_day.and_then(|first| longest(block).after(first));
        let longest_said = block.longest.is_some();
        ElasticsLife { kind: block.kind, first_day, last_day, longest_said }
    };
    case.elastics.iter().map(life).collect()
}

/// The date on which the later arch reached the step they are worn from, with its wire expressed where
/// required.
fn first_day(case: &Case, arches: &[ArchForecast], block: &Elastics) -> Option<Date> {
    let (from, settled, _) = block.from.as_ref()?;
    let days = case.arches.iter().filter_map(|arch| {
        let step = arch.steps.iter().position(|s| s.name == *from)?;
        let wait = if *settled { settle_days(&arch.steps[step]) } else { 0.0 };
        let forecast = arches.iter().find(|a| a.arch == arch.arch)?;
        let day = forecast.phase_of_step(step)?.date_in?;
        Some(Period::days_of(wait.max(0.0).round()).after(day).unwrap_or(day))
    });
    days.max()
}

/// The blocks that are on when the patient leaves a visit, and those that end at it. A block that has ended
/// is never worn again.
pub(crate) struct Worn {
    pub after: Vec<usize>,
    pub off: Vec<ElasticsRemoval>,
}

/// `recorded`: the visit has been, so only what was recorded counts. `over`: blocks that have ended before.
pub(crate) fn worn_after(
    mouth: &MouthForecast<'_>,
    lives: &[ElasticsLife],
    on_arrival: &[usize],
    over: &BTreeSet<usize>,
    recorded: bool,
) -> Worn {
    let case = mouth.case;
    let begun = |i: &usize| {
        let block = &case.elastics[*i];
        !over.contains(i) && has_begun(case, mouth.arches, block, mouth.on)
    };
    let begun: Vec<usize> = (0..case.elastics.len()).filter(begun).collect();
    let ends = |i: usize| {
        let (block, life) = (&case.elastics[i], lives.get(i)?);
        let until = block.until.as_ref().map(|(c, _)| c);
        let later = begun.iter().copied().find(|j| {
            let first = |k: usize| lives.get(k).and_then(|l| l.first_day);
            *j > i && first(*j) > first(i) && share_hooks(block, &case.elastics[*j])
        });
        if until.is_some_and(|c| is_met(case, c, mouth.on)) {
            return Some(RemovalReason::Recorded);
        }
        if let Some(later) = later {
            return Some(RemovalReason::ReplacedBy(later));
        }
        if block.until_step.as_ref().is_some_and(|(name, _)| begins(case, mouth.arches, name)) {
            return Some(RemovalReason::StepBegins);
        }
        if !recorded && until.is_some_and(|c| mouth.meets(c, life.first_day)) {
            return Some(RemovalReason::Foreseen);
        }
        let past = life.last_day.is_some_and(|end| mouth.on >= end);
        // What a record shows to be worn still is worn, whatever is usual.
        (past && (life.longest_said || !recorded)).then_some(RemovalReason::LongestTime)
    };
    let mut worn = Worn { after: Vec::new(), off: Vec::new() };
    for block in begun.iter().copied() {
        match ends(block) {
            None => worn.after.push(block),
            Some(reason) if on_arrival.contains(&block) => {
                worn.off.push(ElasticsRemoval { block, reason });
            }
            Some(_) => {}
        }
    }
    // Worn until now, and no more by what the arches are in: their step is over.
    for block in on_arrival.iter().copied().filter(|b| !begun.contains(b)) {
        worn.off.push(ElasticsRemoval { block, reason: RemovalReason::WithChange });
    }
    worn
}

/// An arch is in that step, or in a later one, as the patient leaves.
fn begins(case: &Case, arches: &[ArchMoment], name: &str) -> bool {
    arches.iter().any(|moment| {
        let Some(arch) = case.arch(moment.arch) else { return false };
        let at = arch.steps.iter().position(|s| *s.name == *name);
        let here = moment.with_work_done().map(|m| m.step);
        matches!((at, here), (Some(at), Some(here)) if here >= at)
    })
}

/// Whether both arches have reached the step they are worn from, with its wire expressed where required.
fn has_begun(case: &Case, arches: &[ArchMoment], block: &Elastics, on: Date) -> bool {
    let Some((from, settled, _)) = &block.from else { return true };
    arches.iter().all(|moment| {
        let Some(arch) = case.arch(moment.arch) else { return true };
        let Some(first) = arch.steps.iter().position(|s| s.name == *from) else { return true };
        let here = if *settled { moment.arrives.as_ref() } else { moment.with_work_done() };
        let Some(here) = here else { return false };
        if here.step < first {
            return false;
        }
        if !*settled || here.step > first {
            return true;
        }
        let days = settle_days(&arch.steps[first]);
        here.begun.is_some_and(|day| days_between(day, on) >= days - 0.5)
    })
}
