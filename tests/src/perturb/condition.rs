//! What decides a kind of perturbation that is a fault in one plan and a habit in another: written in the table after
//! `where`, and read off plan and change, never off what the checker says.

use std::collections::BTreeSet;

use jiff::civil::Date;
use springline_lang::model::Case;
use springline_lang::model::case::{ArchCase, Done};
use springline_lang::model::step::{ActKind, NextVisit, Step};
use springline_lang::units::tooth::{Arch, Tooth};

/// A mutant as far as a condition looks at it.
pub struct Facts<'a> {
    pub before: &'a Case,
    /// As far as the changed text is read.
    pub after: &'a Case,
    pub today: Date,
    /// The words that went, and those in their place.
    pub from: &'a str,
    pub to: &'a str,
}

type Holds = fn(&Facts<'_>) -> bool;

/// A condition as the table names it.
#[derive(Clone, Copy)]
pub struct Condition {
    pub words: &'static str,
    holds: Holds,
}

impl Condition {
    pub fn named(words: &str) -> Option<Condition> {
        ALL.iter().find(|c| c.words == words).copied()
    }

    pub fn holds(&self, facts: &Facts<'_>) -> bool {
        (self.holds)(facts)
    }
}

impl std::fmt::Debug for Condition {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.words)
    }
}

/// Every condition that a row may name.
pub const ALL: &[Condition] = &[
    Condition { words: "a crown's width is said for a place", holds: is_width },
    Condition { words: "a place is said for a tooth's space", holds: was_space },
    Condition { words: "a tooth's space is said for a place", holds: is_space },
    Condition {
        words: "a record changes its arch",
        holds: |f| f.from != f.to && is_arch(f.from) && is_arch(f.to),
    },
    Condition { words: "a recorded wire change is gone", holds: change_is_gone },
    Condition { words: "visits are recorded", holds: |f| !f.before.visits.is_empty() },
    Condition { words: "the day is past and nothing is recorded", holds: is_late },
    Condition { words: "visits no longer follow one another", holds: are_crossed },
    Condition { words: "an arch has no retainer left", holds: is_unretained },
    Condition { words: "another line names the step", holds: is_named },
    Condition { words: "another line names its teeth", holds: arch_is_used },
    Condition { words: "the interval leaves the house's bounds", holds: is_out_of_bounds },
    Condition { words: "the wire is taken out", holds: |f| f.to == "out" },
    Condition { words: "the place of a tooth lies bare", holds: lies_bare },
    Condition { words: "the elastic's tooth has no hook", holds: is_without_hook },
];

fn is_width(f: &Facts<'_>) -> bool {
    f.to == "width"
}

fn is_space(f: &Facts<'_>) -> bool {
    f.to == "space"
}

fn was_space(f: &Facts<'_>) -> bool {
    matches!(f.from, "space" | "width")
}

fn is_arch(word: &str) -> bool {
    matches!(word, "upper" | "lower")
}

/// Steps whose wire the records put in, by arch, in order.
fn changes(case: &Case) -> Vec<(Arch, String)> {
    let seen = case.visits.iter().flat_map(|v| &v.arches);
    let now = seen.filter_map(|s| match &s.done {
        Some(Done::Now { step, .. }) => Some((s.arch, step.to_string())),
        _ => None,
    });
    now.collect()
}

fn change_is_gone(f: &Facts<'_>) -> bool {
    changes(f.after).len() < changes(f.before).len()
}

fn starts(case: &Case) -> impl Iterator<Item = Date> {
    case.start.iter().map(|(on, _)| *on).chain(case.arches.iter().filter_map(|a| Some(a.start?.0)))
}

fn is_late(f: &Facts<'_>) -> bool {
    f.after.visits.is_empty()
        && f.after.in_place.is_none()
        && starts(f.after).any(|on| on < f.today)
}

fn are_crossed(f: &Facts<'_>) -> bool {
    let days: Vec<Date> = f.after.visits.iter().map(|v| v.on).collect();
    let first = f.after.in_place.as_ref().map(|p| p.on).into_iter().chain(starts(f.after)).max();
    days.windows(2).any(|w| w[1] <= w[0])
        || days.last().is_some_and(|on| *on > f.today)
        || first.zip(days.first()).is_some_and(|(first, on)| *on < first)
}

/// Arches with brackets that no retainer holds.
fn unretained(case: &Case) -> BTreeSet<Arch> {
    let held = |arch: Arch| {
        let Some(retain) = &case.retention else { return false };
        retain.night.iter().any(|(a, _)| *a == arch)
            || retain.fixed.iter().any(|(teeth, _)| teeth.iter().any(|t| t.arch() == arch))
    };
    let treated = case.arches.iter().filter(|a| !a.bonded.is_empty());
    treated.map(|a| a.arch).filter(|a| !held(*a)).collect()
}

fn is_unretained(f: &Facts<'_>) -> bool {
    !unretained(f.after).is_subset(&unretained(f.before))
}

/// A step is gone by name, and records, elastics or accepts still call it.
fn is_named(f: &Facts<'_>) -> bool {
    let names = |case: &Case| -> BTreeSet<(Arch, String)> {
        let arches = case.arches.iter();
        arches.flat_map(|a| a.steps.iter().map(|s| (a.arch, s.name.to_string()))).collect()
    };
    let gone: Vec<_> = names(f.before).difference(&names(f.after)).cloned().collect();
    let called = |(arch, name): &(Arch, String)| {
        changes(f.after).contains(&(*arch, name.clone()))
            || f.after.elastics.iter().any(|e| {
                e.from.as_ref().is_some_and(|(from, ..)| **from == **name)
                    || e.until_step.as_ref().is_some_and(|(until, _)| **until == **name)
            }) && !f.after.arches.iter().any(|a| a.steps.iter().any(|s| *s.name == **name))
    };
    gone.iter().any(called)
}

/// An arch is gone, and elastics hang in it, or records tell of it.
fn arch_is_used(f: &Facts<'_>) -> bool {
    let gone = f.before.arches.iter().filter(|a| f.after.arch(a.arch).is_none());
    let mut gone = gone.map(|a| a.arch);
    gone.any(|arch| {
        let hang = f.after.elastics.iter().flat_map(|e| &e.runs).flat_map(|r| &r.teeth);
        hang.into_iter().any(|t| t.arch() == arch)
            || f.after.visits.iter().any(|v| v.arches.iter().any(|a| a.arch == arch))
            || f.after.in_place.as_ref().is_some_and(|p| p.wires.contains_key(&arch))
    })
}

fn steps(case: &Case) -> impl Iterator<Item = (&ArchCase, &Step)> {
    case.arches.iter().flat_map(|a| a.steps.iter().map(move |s| (a, s)))
}

fn is_out_of_bounds(f: &Facts<'_>) -> bool {
    let out = |case: &Case| {
        let (least, most) = (&case.house.shortest.value, &case.house.longest.value);
        let next = steps(case).filter(|(_, s)| match &s.next.value {
            NextVisit::Range { from, to } => {
                from.days() < least.days() - 1e-6 || to.days() > most.days() + 1e-6
            }
            _ => false,
        });
        next.count()
    };
    out(f.after) > out(f.before)
}

/// A sleeve is gone from over the place of a tooth that is missing or has no bracket.
fn lies_bare(f: &Facts<'_>) -> bool {
    let sleeved = |case: &Case| -> BTreeSet<(Arch, String, Tooth)> {
        let mut out = BTreeSet::new();
        for (arch, step) in steps(case) {
            for act in step.in_force() {
                let ActKind::Sleeve { spans } = &act.kind else { continue };
                let inside = spans.iter().flat_map(|(a, b)| a.stretch(*b).unwrap_or_default());
                let bare = inside.filter(|t| !arch.bonded.contains_key(t));
                out.extend(bare.map(|t| (arch.arch, step.name.to_string(), t)));
            }
        }
        out
    };
    let (before, after) = (sleeved(f.before), sleeved(f.after));
    before.difference(&after).next().is_some()
}

fn is_without_hook(f: &Facts<'_>) -> bool {
    let bare = |case: &Case| -> BTreeSet<Tooth> {
        let teeth = case.elastics.iter().flat_map(|e| &e.runs).flat_map(|r| r.teeth.clone());
        teeth.filter(|t| !has_hook(case, *t)).collect()
    };
    !bare(f.after).is_subset(&bare(f.before))
}

fn has_hook(case: &Case, tooth: Tooth) -> bool {
    let Some(arch) = case.arch(tooth.arch()) else { return false };
    let on_bracket = arch.bonded.get(&tooth).is_some_and(|b| b.bracket.hooks.contains(&tooth));
    let on_wire = arch.steps.iter().flat_map(|s| s.in_force()).any(|act| match &act.kind {
        ActKind::Post { spots } => spots.iter().any(|s| s.tooth == tooth),
        ActKind::PowerArm { teeth, .. } => teeth.contains(&tooth),
        _ => false,
    });
    on_bracket
        || on_wire
        || arch.hooks.contains(&tooth)
        || arch.buttons.iter().any(|(t, ..)| *t == tooth)
}
