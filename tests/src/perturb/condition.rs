//! What decides a kind of perturbation that is a fault in one plan and a habit in another: written in the table after
//! `where`, and read off plan and change, never off what the checker says.

use std::collections::BTreeSet;

use jiff::civil::Date;
use springline_lang::model::Case;
use springline_lang::model::case::{Done, Found, Growth, ToothState};
use springline_lang::model::step::{ActKind, EndKind, NextVisit, Step, StepKind, Term};
use springline_lang::units::quantity::mm;
use springline_lang::units::tooth::{Arch, Side, Tooth};

use super::facts::{Condition, Facts, starts, steps};
use super::{of_patient, of_records, of_steps};

/// The condition that the table calls so.
pub fn named(words: &str) -> Option<Condition> {
    let of_plan = of_patient::ALL.iter().chain(of_steps::ALL).chain(of_records::ALL);
    ALL.iter().chain(of_plan).find(|c| c.words == words).copied()
}

/// Those that say when a change is no fault, or a fault of the record.
const ALL: &[Condition] = &[
    Condition { words: "the same is said of the tooth already", holds: is_said_already },
    Condition {
        words: "a crown's width is said for a place",
        holds: |f| f.to == "width" && f.from != "space",
    },
    Condition {
        words: "a tooth's space is said for a place",
        holds: |f| f.to == "space" && f.from != "width",
    },
    Condition { words: "a record changes its arch", holds: changes_arch },
    Condition { words: "a later record goes on from the wire change", holds: change_is_gone },
    Condition { words: "the wire was found passive or nearly so", holds: work_is_unsaid },
    Condition { words: "the arch stays without a wire", holds: is_wireless },
    Condition { words: "visits are recorded", holds: |f| !f.before.visits.is_empty() },
    Condition {
        words: "it is past for longer than any interval and nothing is recorded",
        holds: is_late,
    },
    Condition { words: "visits no longer follow one another", holds: are_crossed },
    Condition { words: "an arch has no retainer left", holds: is_unretained },
    Condition { words: "another line names the step", holds: is_named },
    Condition { words: "another line names its teeth", holds: arch_is_used },
    Condition { words: "the goal names its teeth", holds: arch_is_aim },
    Condition { words: "the interval leaves the house's bounds", holds: is_out_of_bounds },
    Condition { words: "only the interval is said", holds: is_interval_alone },
    Condition { words: "the step it goes to is over", holds: goes_into_the_past },
    Condition { words: "the goal holds the other measure", holds: goal_holds_both },
    Condition { words: "nothing holds an aligning wire", holds: is_unheld },
    Condition { words: "a closed gap loses its tie", holds: is_untied },
    Condition { words: "the place of a tooth lies bare", holds: lies_bare },
    Condition { words: "brackets lie under the sleeve", holds: lies_over_brackets },
    Condition { words: "the elastic's tooth has no hook", holds: is_without_hook },
    Condition { words: "they may be worn for over half a year", holds: is_worn_too_long },
    Condition { words: "plan or goal speak of its crossbite", holds: crossbite_is_meant },
    Condition { words: "the age says otherwise", holds: is_of_another_age },
    Condition { words: "both ends are one tooth", holds: ends_are_one },
];

/// In or out, high or low, width and space: each once for a tooth.
fn is_said_already(f: &Facts<'_>) -> bool {
    let axes: [&[&str]; 4] = [
        &["labial", "lingual", "palatal", "buccal"],
        &["gingival", "occlusal"],
        &["width"],
        &["space"],
    ];
    let axis = axes.iter().find(|words| words.contains(&f.to));
    let mut rest: Vec<&str> = f.line.split([' ', ',']).collect();
    if let Some(at) = rest.iter().position(|word| *word == f.from) {
        rest.remove(at);
    }
    axis.is_some_and(|words| rest.iter().any(|word| words.contains(word)))
}

fn changes_arch(f: &Facts<'_>) -> bool {
    let is_arch = |word: &str| matches!(word, "upper" | "lower");
    f.line.starts_with(f.from) && f.from != f.to && is_arch(f.from) && is_arch(f.to)
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

/// A wire change is gone from the records, and a later record of that arch goes on from it.
fn change_is_gone(f: &Facts<'_>) -> bool {
    let (before, after) = (changes(f.before), changes(f.after));
    [Arch::Upper, Arch::Lower].into_iter().any(|arch| {
        let of = |list: &[(Arch, String)]| -> Vec<String> {
            list.iter().filter(|(a, _)| *a == arch).map(|(_, step)| step.clone()).collect()
        };
        let (before, after) = (of(&before), of(&after));
        after.len() < before.len() && before.last() == after.last()
    })
}

/// A wire that was found passive, or as good as that, and nothing says whether it was changed.
fn work_is_unsaid(f: &Facts<'_>) -> bool {
    let count = |case: &Case| {
        let visits = case.visits.iter().filter(|v| !v.as_planned);
        let seen = visits.flat_map(|v| &v.arches);
        let at_rest =
            |found: &Option<Found>| matches!(found, Some(Found::Passive | Found::NearlyPassive));
        seen.filter(|s| at_rest(&s.found) && s.done.is_none()).count()
    };
    count(f.after) > count(f.before)
}

/// The last record of an arch takes its wire out.
fn is_wireless(f: &Facts<'_>) -> bool {
    let without = |case: &Case| -> BTreeSet<Arch> {
        let last = |arch: Arch| {
            let mut seen = case.visits.iter().rev().flat_map(|v| &v.arches);
            seen.find(|s| s.arch == arch && s.done.is_some()).and_then(|s| s.done.as_ref())
        };
        let arches = [Arch::Upper, Arch::Lower].into_iter();
        arches.filter(|a| matches!(last(*a), Some(Done::Out))).collect()
    };
    !without(f.after).is_subset(&without(f.before))
}

/// The first wire went in longer ago than any interval and two weeks more, and nobody has looked at it since.
fn is_late(f: &Facts<'_>) -> bool {
    let most = f.after.house.longest.value.days() + 14.0;
    let old = |on: Date| on.until(f.today).is_ok_and(|gone| f64::from(gone.get_days()) > most);
    f.after.visits.is_empty() && f.after.in_place.is_none() && starts(f.after).any(old)
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
    // Another step of the case comes after it or before it, or a line goes on from it.
    let placed = |(_, name): &(Arch, String)| {
        let words: Vec<&str> = f.text.split([' ', ',', '\n']).filter(|w| !w.is_empty()).collect();
        let places = |w: &[&str]| matches!(w[0], "after" | "before" | "from") && w[1] == name;
        words.windows(2).any(places)
    };
    gone.iter().any(|step| called(step) || placed(step))
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

/// An arch is gone in which the goal brings teeth over the bite, or the only one with a tooth to be taken out.
fn arch_is_aim(f: &Facts<'_>) -> bool {
    let Some(goal) = &f.after.goal else { return false };
    let gone = |t: &Tooth| f.before.arch(t.arch()).is_some() && f.after.arch(t.arch()).is_none();
    let taken_out = |case: &Case| {
        let mut states = case.arches.iter().flat_map(|a| a.states.values());
        states.any(|(state, _)| {
            matches!(state, ToothState::Extract { .. } | ToothState::Extracted { .. })
        })
    };
    let extraction = goal.extraction == Some(true) && taken_out(f.before) && !taken_out(f.after);
    extraction || goal.over_the_bite.iter().any(gone)
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

/// The statement gives no more than a step's next visit.
fn is_interval_alone(f: &Facts<'_>) -> bool {
    let clauses: Vec<&str> = f.line.split(',').skip(1).map(str::trim).collect();
    !f.line.contains('{') && !clauses.is_empty() && clauses.iter().all(|c| c.starts_with("next "))
}

/// The records have left the step behind to which the statement goes: nobody acts on it any more.
fn goes_into_the_past(f: &Facts<'_>) -> bool {
    let Some(to) = f.steps.last().filter(|_| f.steps.len() > 1) else { return false };
    let Some(arch) = f.before.arch(to.arch) else { return false };
    let place = |name: &str| arch.steps.iter().position(|s| *s.name == *name);
    let now = changes(f.before).into_iter().rev().find(|(a, _)| *a == to.arch);
    now.and_then(|(_, name)| place(&name)).zip(place(&to.name)).is_some_and(|(now, to)| to < now)
}

/// Overjet and overbite are both aims of the plan, whichever of them a step waits for.
fn goal_holds_both(f: &Facts<'_>) -> bool {
    let ends_a_step = f.line.starts_with("step ") || f.line.starts_with("change ");
    ends_a_step
        && f.to != "reverse-overjet"
        && f.before.goal.as_ref().is_some_and(|goal| {
            let overbite = goal.bite.overbite.is_some() || goal.bite.open_bite.is_some();
            goal.bite.overjet.is_some() && overbite
        })
}

/// Both ends of an aligning or levelling wire are straight, and no stop sits on it.
fn is_unheld(f: &Facts<'_>) -> bool {
    let loose = |case: &Case| {
        let unheld = steps(case).filter(|(_, s)| {
            let flexible = matches!(s.kind, StepKind::Align | StepKind::Level);
            let straight = |side| matches!(s.ends.of(side).kind, EndKind::Free | EndKind::Flush);
            let stop = s.in_force().any(|a| matches!(a.kind, ActKind::Stop { .. }));
            flexible && !stop && straight(Side::Right) && straight(Side::Left)
        });
        unheld.count()
    };
    loose(f.after) > loose(f.before)
}

/// Teeth that something binds together in a step.
fn binds(step: &Step, a: Tooth, b: Tooth) -> bool {
    step.in_force().any(|act| match &act.kind {
        ActKind::Tie { teeth, .. } | ActKind::Chain { teeth, .. } => {
            teeth.contains(&a) && teeth.contains(&b)
        }
        _ => false,
    })
}

/// A gap that a step has closed is tied in fewer of the steps after it.
fn is_untied(f: &Facts<'_>) -> bool {
    let tied = |case: &Case| {
        let mut count = 0;
        for arch in &case.arches {
            let mut closed: Vec<(Tooth, Tooth)> = Vec::new();
            for step in &arch.steps {
                count += closed.iter().filter(|(a, b)| binds(step, *a, *b)).count();
                closed.extend(step.until.value.terms.iter().filter_map(|t| match t {
                    Term::Gap { length, first, second } if mm(*length) <= 0.0 => {
                        Some((*first, *second))
                    }
                    _ => None,
                }));
            }
        }
        count
    };
    tied(f.after) < tied(f.before)
}

/// A sleeve is gone from over the place of a tooth that is missing or has no bracket.
fn lies_bare(f: &Facts<'_>) -> bool {
    let (before, after) = (sleeved(f.before, false), sleeved(f.after, false));
    let stays = |arch: Arch, name: &str| {
        f.after.arch(arch).is_some_and(|a| a.steps.iter().any(|s| *s.name == *name))
    };
    before.difference(&after).any(|(arch, step, _)| stays(*arch, step))
}

/// A sleeve lies over teeth that carry brackets.
fn lies_over_brackets(f: &Facts<'_>) -> bool {
    let (before, after) = (sleeved(f.before, true), sleeved(f.after, true));
    after.difference(&before).next().is_some()
}

/// Teeth, with or without brackets, between the ends of a sleeve, by step.
fn sleeved(case: &Case, bonded: bool) -> BTreeSet<(Arch, String, Tooth)> {
    let mut out = BTreeSet::new();
    for (arch, step) in steps(case) {
        for act in step.in_force() {
            let ActKind::Sleeve { spans } = &act.kind else { continue };
            for (a, b) in spans {
                let inside = a.stretch(*b).unwrap_or_default();
                let inside = inside.into_iter().filter(|t| t != a && t != b);
                let here = inside.filter(|t| arch.bonded.contains_key(t) == bonded);
                out.extend(here.map(|t| (arch.arch, step.name.to_string(), t)));
            }
        }
    }
    out
}

/// Half a year, days.
const HALF_YEAR_DAYS: f64 = 26.0 * 7.0;

fn is_worn_too_long(f: &Facts<'_>) -> bool {
    let mut longest = f.after.elastics.iter().filter_map(|e| e.longest.as_ref());
    longest.any(|(period, _)| period.days() > HALF_YEAR_DAYS + 0.5)
}

/// A crossbite is no longer entered that raisers, steps or the goal are for.
fn crossbite_is_meant(f: &Facts<'_>) -> bool {
    let gone = f.before.bite.crossbite.iter().any(|t| !f.after.bite.crossbite.contains(t));
    let of_goal = f.after.goal.as_ref().is_some_and(|g| !g.over_the_bite.is_empty());
    let of_step = steps(f.after)
        .any(|(_, s)| s.until.value.terms.iter().any(|t| matches!(t, Term::OverTheBite { .. })));
    gone && (of_goal || of_step)
}

/// Grown at thirteen, or growing at twenty-six.
fn is_of_another_age(f: &Facts<'_>) -> bool {
    let Some((years, _)) = f.after.age else { return false };
    match f.after.growth {
        Growth::Adult => years < 14,
        Growth::Growing => years > 25,
        _ => false,
    }
}

fn ends_are_one(f: &Facts<'_>) -> bool {
    let words: Vec<&str> = f.line.split([' ', ',']).collect();
    f.line.contains("between ") && words.iter().filter(|w| **w == f.to).count() > 0
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
