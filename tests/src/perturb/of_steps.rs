//! What makes a fault of a change in steps, devices or records that is a habit or means nothing in other plans.

use std::collections::BTreeSet;

use springline_lang::course::setup::rigidity;
use springline_lang::model::Case;
use springline_lang::model::case::{ArchCase, Done, Elastics, ElasticsKind};
use springline_lang::model::step::{
    Act, ActKind, Activation, NextVisit, Step, StepSource, Term, Wing,
};
use springline_lang::units::quantity::mm;
use springline_lang::units::tooth::{Arch, Side, Tooth};

use super::facts::{Condition, Facts, at_first, steps};

pub const ALL: &[Condition] = &[
    Condition {
        words: "the wire in the mouth is another by record",
        holds: |f| f.brings(recorded_otherwise),
    },
    Condition { words: "a coil lies on a light wire", holds: |f| f.brings(coil_on_light) },
    Condition {
        words: "the wire before it is to be stiffer",
        holds: |f| at_first(f) && f.brings(goes_back),
    },
    Condition {
        words: "nothing is to wait for the measure any more",
        holds: |f| at_first(f) && f.brings(unwaited),
    },
    Condition { words: "a tooth stays on one wing", holds: |f| f.brings(one_winged) },
    Condition { words: "the step it goes into says that already", holds: is_there_already },
    Condition { words: "the step says that of the tooth already", holds: is_said_in_step },
    Condition { words: "a turned tooth goes in by both wings", holds: |f| f.brings(both_wings) },
    Condition {
        words: "the step waits for the space",
        holds: |f| own(f).is_some_and(waits_for_space),
    },
    Condition { words: "no such tooth stands there", holds: is_bare },
    Condition { words: "that step has a line of its own", holds: has_own_line },
    Condition { words: "only wire ends or enamel are said", holds: is_ends_or_enamel },
    Condition { words: "a bracket placed anew stands between", holds: stands_between },
    Condition {
        words: "the step beside it has that wire",
        holds: |f| at_first(f) && f.brings(same_again),
    },
    Condition {
        words: "elastics or a chain pull unseen for over eight weeks",
        holds: |f| f.brings(pull_unseen),
    },
    Condition { words: "a far tooth is to be in line first", holds: |f| f.brings(unwaited_teeth) },
    Condition { words: "over 5 mm stick out", holds: |f| f.brings(long_ends) },
    Condition {
        words: "a coil works unseen for over eight weeks",
        holds: |f| f.brings(coil_unseen),
    },
    Condition {
        words: "the step waits for the overbite",
        holds: |f| own(f).is_some_and(waits_for_overbite),
    },
    Condition {
        words: "a coil is to push a tooth that nothing ties",
        holds: |f| at_first(f) && f.brings(untied),
    },
    Condition { words: "a bracket moves on a stiff wire", holds: |f| f.brings(moved_on_stiff) },
    Condition { words: "nobody is on record for twelve weeks", holds: |f| is_silent_since(f) },
    Condition { words: "the lower brackets are on by record", holds: lower_is_on },
    Condition {
        words: "they are to begin as the working wire goes in",
        holds: |f| at_first(f) && begins_with_wire(f),
    },
];

type Place = (Arch, String);

fn place(arch: &ArchCase, step: &Step) -> Place {
    (arch.arch, step.name.to_string())
}

/// The step that the change is about, as it was.
fn own<'a>(f: &Facts<'a>) -> Option<&'a Step> {
    let first = f.steps.first()?;
    f.before.arch(first.arch)?.steps.iter().find(|s| *s.name == *first.name)
}

/// Steps that the last record of their arch has with another wire than the plan.
fn recorded_otherwise(case: &Case) -> BTreeSet<Place> {
    let last = |arch| {
        let mut seen = case.visits.iter().rev().flat_map(|v| &v.arches);
        seen.find(|s| s.arch == arch && matches!(s.done, Some(Done::Now { .. })))
    };
    let mut out = BTreeSet::new();
    for seen in [last(Arch::Upper), last(Arch::Lower)].into_iter().flatten() {
        let Some(Done::Now { step, wire, .. }) = &seen.done else { continue };
        let planned = steps(case).find(|(a, s)| a.arch == seen.arch && s.name == *step);
        if let Some((arch, planned)) = planned
            && planned.wire.value.wire.name != wire.name
        {
            out.insert(place(arch, planned));
        }
    }
    out
}

/// Coils bend a round superelastic wire under 0.016 between two brackets (common practice, no source).
fn coil_on_light(case: &Case) -> BTreeSet<Place> {
    let light = steps(case).filter(|(_, s)| {
        let wire = &s.wire.value.wire;
        let thin = wire.section.is_round() && mm(wire.section.height()) < 0.0155 * 25.4;
        let coil = s.in_force().any(|act| matches!(act.kind, ActKind::OpenCoil { .. }));
        thin && wire.alloy.is_niti() && coil
    });
    light.map(|(a, s)| place(a, s)).collect()
}

/// Steps that go back to a much more flexible wire with no bracket placed anew and no tooth taken in.
fn goes_back(case: &Case) -> BTreeSet<Place> {
    let reason = |s: &Step| {
        s.acts.iter().any(|act| {
            matches!(
                act.kind,
                ActKind::Reposition { .. }
                    | ActKind::Rebond { .. }
                    | ActKind::PickUp { .. }
                    | ActKind::Engage { .. }
                    | ActKind::Bend { .. }
            )
        })
    };
    let mut out = BTreeSet::new();
    for arch in &case.arches {
        for (before, after) in arch.steps.iter().zip(arch.steps.iter().skip(1)) {
            let of_one_alloy = before.wire.value.wire.alloy == after.wire.value.wire.alloy;
            let share = if of_one_alloy { 0.7 } else { 0.5 };
            let back = rigidity(&after.wire.value) < share * rigidity(&before.wire.value);
            if back && !reason(after) {
                out.insert(place(arch, after));
            }
        }
    }
    out
}

/// Elastics along the arches for a measure of the goal that neither they nor a step wait for.
fn unwaited(case: &Case) -> BTreeSet<()> {
    let asks = case.goal.as_ref().is_some_and(|g| g.bite.overjet.is_some());
    let overjet = |terms: &[Term]| terms.iter().any(|t| matches!(t, Term::Overjet { .. }));
    let along = |kind| matches!(kind, ElasticsKind::Class2 | ElasticsKind::Class3);
    let worn = case.elastics.iter().any(|e| along(e.kind));
    let by_elastics = case
        .elastics
        .iter()
        .any(|e| e.until.as_ref().is_some_and(|(until, _)| overjet(&until.terms)));
    let by_step = steps(case).any(|(_, s)| overjet(&s.until.value.terms));
    (asks && worn && !by_elastics && !by_step).then_some(()).into_iter().collect()
}

/// Teeth that the last line about them lays in by one wing.
fn one_winged(case: &Case) -> BTreeSet<Tooth> {
    let mut out = BTreeSet::new();
    for act in steps(case).flat_map(|(_, s)| &s.acts) {
        match &act.kind {
            ActKind::Engage { teeth, wing: Wing::Both } => out.retain(|t| !teeth.contains(t)),
            ActKind::Engage { teeth, .. } => out.extend(teeth.iter().copied()),
            _ => {}
        }
    }
    out
}

/// In the step to which a statement goes the same kind of thing is said of one of its teeth.
fn is_there_already(f: &Facts<'_>) -> bool {
    let [from, to] = f.steps else { return false };
    let step = |name: &str, arch| {
        f.before.arch(arch).and_then(|a| a.steps.iter().find(|s| *s.name == *name))
    };
    let (Some(from), Some(to)) = (step(&from.name, from.arch), step(&to.name, to.arch)) else {
        return false;
    };
    let goes = from.acts.iter().filter(|act| is_of_line(&act.kind, f.line));
    let mut goes = goes.flat_map(|act| to.acts.iter().map(move |other| (act, other)));
    goes.any(|(a, b)| {
        let shares = a.kind.teeth().iter().any(|t| b.kind.teeth().contains(t));
        std::mem::discriminant(&a.kind) == std::mem::discriminant(&b.kind) && shares
    })
}

/// Another line of the step does the same to the tooth that is named in place of another.
fn is_said_in_step(f: &Facts<'_>) -> bool {
    let Some(step) = own(f) else { return false };
    let to: Vec<Tooth> = f.to.split([' ', ',']).filter_map(Tooth::parse).collect();
    let from: Vec<Tooth> = f.from.split([' ', ',']).filter_map(Tooth::parse).collect();
    let mut same = step.acts.iter().filter(|act| is_of_line(&act.kind, f.line));
    same.any(|act| act.kind.teeth().iter().any(|t| to.contains(t) && !from.contains(t)))
}

/// Teeth turned by 40 degrees and more that the first wire takes in by both wings (common practice, no source).
fn both_wings(case: &Case) -> BTreeSet<(Place, Tooth)> {
    let mut out = BTreeSet::new();
    for arch in &case.arches {
        let turned = arch.stands.iter().filter(|(tooth, stand)| {
            let pose = springline_lang::course::ToothPose::from_stand(**tooth, &stand.value);
            pose.turned_deg() >= 40.0 - 1e-6
        });
        for (tooth, _) in turned {
            for step in arch.steps.iter().take(2) {
                let spared = step.in_force().any(|act| match &act.kind {
                    ActKind::Engage { teeth, wing } => *wing != Wing::Both && teeth.contains(tooth),
                    ActKind::Bypass { teeth, .. } => teeth.contains(tooth),
                    _ => false,
                });
                if !spared {
                    out.insert((place(arch, step), *tooth));
                }
            }
        }
    }
    out
}

/// An act that a line of this first word writes.
fn is_of_line(act: &ActKind, line: &str) -> bool {
    let word = line.split_whitespace().next().unwrap_or_default();
    let word_of = match act {
        ActKind::Engage { .. } => "engage",
        ActKind::Tie { .. } => "tie",
        ActKind::Stop { .. } => "stop",
        ActKind::Post { .. } => "post",
        ActKind::Reposition { .. } => "reposition",
        ActKind::Laceback { .. } => "laceback",
        _ => return false,
    };
    word == word_of
}

fn waits_for_space(step: &Step) -> bool {
    let terms = &step.until.value.terms;
    terms.iter().any(|t| matches!(t, Term::Space { .. } | Term::Gap { .. }))
}

fn waits_for_overbite(step: &Step) -> bool {
    step.until.value.terms.iter().any(|t| matches!(t, Term::Overbite { .. }))
}

/// The change is to be of a step that the case has a line for already.
fn has_own_line(f: &Facts<'_>) -> bool {
    let Some(to) = f.steps.get(1) else { return false };
    let step = f.before.arch(to.arch).and_then(|a| a.steps.iter().find(|s| *s.name == *to.name));
    step.is_some_and(|s| !matches!(s.source, StepSource::Sequence { .. }))
}

/// How the ends are left, how soon the patient is seen, and where enamel goes: each may stand in any step.
fn is_ends_or_enamel(f: &Facts<'_>) -> bool {
    let mut clauses = f.line.split(',').skip(1).map(str::trim);
    let habit = clauses.all(|c| c.starts_with("ends ") || c.starts_with("next "));
    let enamel = |s: &Step| s.acts.iter().all(|act| matches!(act.kind, ActKind::Reduce { .. }));
    habit && own(f).is_some_and(enamel)
}

/// One of the two steps that change places goes back a size because a bracket was placed anew.
fn stands_between(f: &Facts<'_>) -> bool {
    let anew = |s: &Step| s.acts.iter().any(|act| matches!(act.kind, ActKind::Reposition { .. }));
    let names: Vec<&str> = f.line.split([' ', ',']).collect();
    steps(f.before).any(|(_, s)| names.contains(&&*s.name) && anew(s))
}

/// Steps that put in the wire of the step before anew and do nothing else.
fn same_again(case: &Case) -> BTreeSet<Place> {
    let mut out = BTreeSet::new();
    for arch in &case.arches {
        for (before, after) in arch.steps.iter().zip(arch.steps.iter().skip(1)) {
            let wire = |s: &Step| s.wire.value.wire.name.clone();
            let anew = !after.wire.value.kept && wire(before) == wire(after);
            if anew && after.acts.is_empty() && before.wire.value.tandem.is_none() {
                out.insert(place(arch, after));
            }
        }
    }
    out
}

/// Steps with elastics that begin in them, or with a chain or closing spring of their own, until a visit after more than
/// eight weeks (common practice, no source).
fn pull_unseen(case: &Case) -> BTreeSet<Place> {
    let late = |s: &Step| match &s.next.value {
        NextVisit::Range { to, .. } => to.days() > 8.0 * 7.0 + 0.5,
        _ => false,
    };
    let pulls = |s: &Step| {
        let chain =
            |act: &Act| matches!(act.kind, ActKind::Chain { .. } | ActKind::ClosingCoil { .. });
        let worn = |e: &Elastics| e.from.as_ref().is_some_and(|(from, ..)| *from == s.name);
        s.acts.iter().any(chain) || case.elastics.iter().any(worn)
    };
    steps(case).filter(|(_, s)| late(s) && pulls(s)).map(|(a, s)| place(a, s)).collect()
}

/// A tooth put in the place of another is missing, taken out or not through; what a stop is to meet has no bracket.
fn is_bare(f: &Facts<'_>) -> bool {
    let words = f.to.split([' ', ',']).flat_map(|w| w.split(".."));
    let mut teeth = words.filter_map(Tooth::parse);
    teeth.any(|t| {
        let arch = f.before.arch(t.arch());
        let unbonded = |a: &ArchCase| f.line.starts_with("stop") && !a.bonded.contains_key(&t);
        arch.is_some_and(|a| a.states.contains_key(&t) || unbonded(a))
    })
}

/// Steps that end before a tooth is in line that was found 3 mm high or turned by 40 degrees, with a rectangular wire
/// next (common practice, no source).
fn unwaited_teeth(case: &Case) -> BTreeSet<Place> {
    let mut out = BTreeSet::new();
    for arch in &case.arches {
        let brought =
            arch.steps.iter().flat_map(|s| &s.acts).any(|act| {
                matches!(act.kind, ActKind::Piggyback { .. } | ActKind::Traction { .. })
            });
        let far = !brought
            && arch.stands.iter().any(|(tooth, stand)| {
                let pose = springline_lang::course::ToothPose::from_stand(*tooth, &stand.value);
                pose.gingival_mm.abs() >= 3.0 - 1e-6 || pose.turned_deg() >= 40.0 - 1e-6
            });
        for (step, next) in arch.steps.iter().zip(arch.steps.iter().skip(1)) {
            let round = |s: &Step| s.wire.value.wire.section.is_round();
            let waits = step.until.value.terms.iter().any(|t| matches!(t, Term::Passive));
            if far && round(step) && !round(next) && !waits {
                out.insert(place(arch, step));
            }
        }
    }
    out
}

/// Wire that is left to stand out behind the last tube, over what is of use (common practice, no source).
fn long_ends(case: &Case) -> BTreeSet<Place> {
    let long = |s: &Step| {
        let slack = |side| s.ends.of(side).slack.as_ref().is_some_and(|l| mm(*l) > 5.0 + 1e-6);
        slack(Side::Right) || slack(Side::Left)
    };
    steps(case).filter(|(_, s)| long(s)).map(|(a, s)| place(a, s)).collect()
}

/// Coils that work until a visit after more than eight weeks (common practice, no source).
fn coil_unseen(case: &Case) -> BTreeSet<Place> {
    let late = |s: &Step| match &s.next.value {
        NextVisit::Range { to, .. } => to.days() > 8.0 * 7.0 + 0.5,
        _ => false,
    };
    let active = |act: &Act| matches!(&act.kind, ActKind::OpenCoil { activation, .. } if *activation != Activation::Passive);
    let works = |s: &Step| s.acts.iter().any(active);
    steps(case).filter(|(_, s)| late(s) && works(s)).map(|(a, s)| place(a, s)).collect()
}

/// Incisors and canines that a coil pushes away from their neighbour, with no tie of theirs in the step.
fn untied(case: &Case) -> BTreeSet<(Arch, String, Tooth)> {
    let mut out = BTreeSet::new();
    for (arch, step) in steps(case) {
        let tied = |t: &Tooth| {
            step.in_force().any(|act| match &act.kind {
                ActKind::Tie { teeth, .. } | ActKind::Chain { teeth, .. } => teeth.contains(t),
                // A stop beside its bracket holds it as well.
                ActKind::Stop { spots } => spots.iter().any(|s| s.tooth == *t),
                _ => false,
            })
        };
        for act in step.in_force() {
            let ActKind::OpenCoil { first, second, activation, .. } = &act.kind else { continue };
            if *activation == Activation::Passive {
                continue;
            }
            let pushed = [first, second].into_iter().filter(|t| t.position() <= 2 && !tied(t));
            out.extend(pushed.map(|t| (arch.arch, step.name.to_string(), *t)));
        }
    }
    out
}

/// Brackets placed anew on steel or beta-titanium.
fn moved_on_stiff(case: &Case) -> BTreeSet<Place> {
    let moved = steps(case).filter(|(_, s)| {
        let stiff = !s.wire.value.wire.alloy.is_niti();
        stiff && s.acts.iter().any(|act| matches!(act.kind, ActKind::Reposition { .. }))
    });
    moved.map(|(a, s)| place(a, s)).collect()
}

/// The last record is older than the longest usual interval, and was not before the change.
fn is_silent_since(f: &Facts<'_>) -> bool {
    let days = |case: &Case| {
        let last = case.visits.iter().map(|v| v.on).max()?;
        last.until(f.today).ok().map(|span| span.get_days())
    };
    days(f.after).is_some_and(|days| days > 84) && days(f.before).is_some_and(|days| days <= 84)
}

/// Elastics along the arches that hang on a wire on the day that it goes in.
fn begins_with_wire(f: &Facts<'_>) -> bool {
    f.brings(|case| {
        let along = |kind| matches!(kind, ElasticsKind::Class2 | ElasticsKind::Class3);
        let hang = case.elastics.iter().enumerate().filter(|(_, e)| along(e.kind));
        hang.filter(|(_, e)| e.from.as_ref().is_some_and(|(_, expressed, _)| !expressed))
            .map(|(n, _)| n)
            .collect()
    })
}

/// A record has a wire in the lower arch.
fn lower_is_on(f: &Facts<'_>) -> bool {
    let mut seen = f.before.visits.iter().flat_map(|v| &v.arches);
    seen.any(|s| s.arch == Arch::Lower && matches!(s.done, Some(Done::Now { .. })))
}
