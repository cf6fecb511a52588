//! What makes a fault of a change in the description of the patient, in the goal or in a day, that is a habit or means
//! nothing in other plans.

use std::collections::BTreeSet;

use jiff::civil::Date;
use springline_lang::course::ToothPose;
use springline_lang::model::Case;
use springline_lang::model::case::{ArchCase, BiteClass, ElasticsKind, Growth, ToothState};
use springline_lang::model::stand::Stand;
use springline_lang::model::step::{ActKind, Condition as Waits, Term, Wing};
use springline_lang::units::quantity::mm;
use springline_lang::units::tooth::{Arch, Side, Tooth};

use super::facts::{Condition, Facts, at_first, starts, steps};
use super::of_records::is_aligning;

pub const ALL: &[Condition] = &[
    Condition { words: "another line tells of that tooth", holds: is_told_already },
    Condition {
        words: "brackets or molars cannot stand in a bite so deep",
        holds: |f| f.brings(deep),
    },
    Condition {
        words: "the practice is closed on that day",
        holds: |f| f.brings(|case| closed(case, f.today)),
    },
    Condition { words: "an arch begins before the case", holds: |f| f.brings(too_soon) },
    Condition {
        words: "incisors without room are to be held from the beginning",
        holds: |f| f.brings(held_crowded),
    },
    Condition { words: "the canines say otherwise", holds: |f| f.brings(sides_at_odds) },
    Condition { words: "it is Class I by a millimetre", holds: |f| f.brings(nearly_class_1) },
    Condition { words: "it is Class I by over a millimetre", holds: |f| f.brings(far_class_1) },
    Condition {
        words: "upper premolars are out and the incisors go back past the goal",
        holds: |f| at_first(f) && f.brings(small_for_extraction),
    },
    Condition {
        words: "what it closed is held by nothing else",
        holds: |f| holds_what_was_closed(f),
    },
    Condition {
        words: "elastics of another class are worn",
        holds: |f| f.brings(worn_for_another),
    },
    Condition { words: "nothing brings it to the goal's", holds: |f| f.brings(unbrought) },
    Condition { words: "the goal is what it was", holds: |f| f.brings(molars_under_goal) },
    Condition {
        words: "the goal says what the canines are to be",
        holds: |f| f.brings(canines_under_goal),
    },
    Condition { words: "the canines go back into an extraction's place", holds: goes_back },
    Condition { words: "the relation is over 10 mm", holds: |f| f.brings(over_ten) },
    Condition { words: "an extraction left the gap", holds: |f| f.brings(narrow_sites) },
    Condition {
        words: "what waits for it has it as treatment begins",
        holds: |f| at_first(f) && f.brings(reached),
    },
    Condition { words: "records tell of more", holds: |f| f.brings(grown_since) },
    Condition {
        words: "something is to be worn until that measure",
        holds: |f| f.brings(unmeasured),
    },
    Condition {
        words: "the tooth is far out as treatment begins",
        holds: |f| at_first(f) && f.brings(far_out),
    },
    Condition {
        words: "its crossbite has no tooth that stands inside",
        holds: |f| f.brings(crossed_in_line),
    },
    Condition { words: "the bite says otherwise", holds: |f| f.brings(midlines_at_odds) },
    Condition {
        words: "the goal asks for the midline and nothing is recorded",
        holds: |f| at_first(f) && asks_for_midline(f),
    },
];

/// The teeth put in the place of others have lines of their own.
fn is_told_already(f: &Facts<'_>) -> bool {
    let teeth = |words: &str| -> BTreeSet<Tooth> {
        let each = words.split([' ', ',']).filter(|w| !w.is_empty());
        each.flat_map(|w| match w.split_once("..") {
            Some((a, b)) => stretch(a, b),
            None => Tooth::parse(w).into_iter().collect(),
        })
        .collect()
    };
    let (from, to) = (teeth(f.from), teeth(f.to));
    let told = |t: &Tooth| {
        let stand = f.before.arch(t.arch()).and_then(|a| a.stands.get(t));
        stand.is_some_and(|s| s.place.is_some() && is_told_alike(&s.value, f.line))
    };
    to.difference(&from).any(told)
}

/// The line tells of something that is told of the tooth already; two lines may each tell of another thing.
fn is_told_alike(stand: &Stand, line: &str) -> bool {
    let words: Vec<&str> = line.split([' ', ',']).collect();
    let says = |any: &[&str]| any.iter().any(|word| words.contains(word));
    stand.in_out.is_some() && says(&["labial", "lingual", "palatal", "buccal"])
        || stand.up_down.is_some() && says(&["gingival", "occlusal"])
        || stand.rotated.is_some() && says(&["rotated"])
        || stand.tipped.is_some() && says(&["tipped"])
        || stand.torque.is_some() && says(&["torque"])
        || stand.width.is_some() && says(&["width"])
        || stand.space.is_some() && says(&["space"])
}

fn stretch(a: &str, b: &str) -> Vec<Tooth> {
    let ends = Tooth::parse(a).zip(Tooth::parse(b));
    ends.and_then(|(a, b)| a.stretch(b)).unwrap_or_default()
}

fn overbite_mm(case: &Case) -> Option<f64> {
    case.bite.overbite.as_ref().map(|(length, _)| mm(*length))
}

/// Beyond that the upper incisors bite on lower brackets, and a grown patient's bite is levelled from the second
/// molars, mm (common practice, no source).
const DEEP_MM: f64 = 4.0;

/// Lower front brackets that go in without raisers, and first molars behind which nothing is bonded.
fn deep(case: &Case) -> BTreeSet<&'static str> {
    let mut out = BTreeSet::new();
    let lower = case.arch(Arch::Lower).filter(|_| overbite_mm(case).is_some_and(|o| o > DEEP_MM));
    let Some(lower) = lower else { return out };
    let raised = |a: &ArchCase| {
        let mut acts = a.steps.iter().flat_map(|s| &s.acts);
        acts.any(|act| matches!(act.kind, ActKind::BiteRaisers { .. }))
    };
    let begun = !case.visits.is_empty() || case.in_place.is_some();
    if !begun && !case.arches.iter().any(raised) && lower.bonded.keys().any(|t| t.is_anterior()) {
        out.insert("brackets");
    }
    let behind = |position: u8| lower.bonded.keys().any(|t| t.position() == position);
    if case.growth == Growth::Adult && behind(6) && !behind(7) {
        out.insert("molars");
    }
    out
}

/// Days of the plan still to come on which nobody is there.
fn closed(case: &Case, today: Date) -> BTreeSet<Date> {
    let debond = case.debond.iter().filter_map(|d| d.on);
    starts(case).chain(debond).filter(|day| *day >= today && !case.house.is_open(*day)).collect()
}

fn too_soon(case: &Case) -> BTreeSet<Arch> {
    let Some((first, _)) = case.start else { return BTreeSet::new() };
    let begins = |a: &&ArchCase| a.start.is_some_and(|(on, _)| on < first);
    case.arches.iter().filter(begins).map(|a| a.arch).collect()
}

/// Nothing in the arch makes room, so that crooked incisors come forward as they come into line.
fn held_crowded(case: &Case) -> BTreeSet<Arch> {
    let held = case.goal.as_ref().and_then(|g| g.incisors_forward) == Some(false);
    let crowded = |a: &&ArchCase| {
        let room = !a.gaps.is_empty()
            || a.expander.is_some()
            || a.states.values().any(|(state, _)| state.is_absent());
        let crooked = a.stands.keys().filter(|t| t.position() <= 2).any(|t| {
            let (off, turned) = off(a, *t);
            off >= 1.0 || turned >= 15.0
        });
        crooked && !room && !reductions(case).contains(&a.arch) && is_aligning(case, a)
    };
    case.arches.iter().filter(|_| held).filter(crowded).map(|a| a.arch).collect()
}

fn reductions(case: &Case) -> BTreeSet<Arch> {
    let reduces = |s: &springline_lang::model::Step| {
        s.acts.iter().any(|act| matches!(act.kind, ActKind::Reduce { .. }))
    };
    steps(case).filter(|(_, s)| reduces(s)).map(|(a, _)| a.arch).collect()
}

/// Where a tooth was found, mm out of line and degrees turned.
fn off(arch: &ArchCase, tooth: Tooth) -> (f64, f64) {
    let stand = arch.stands.get(&tooth).map(|s| s.value).unwrap_or_default();
    let pose = ToothPose::from_stand(tooth, &stand);
    (pose.off_mm(), pose.turned_deg())
}

/// Canines of one class over molars of the other.
fn sides_at_odds(case: &Case) -> BTreeSet<Side> {
    let other = |a, b| {
        matches!(
            (a, b),
            (BiteClass::Class2, BiteClass::Class3) | (BiteClass::Class3, BiteClass::Class2)
        )
    };
    let canines = case.bite.canines.iter();
    let odd = canines.filter(|(side, canines)| {
        case.bite.molars.get(side).is_some_and(|molars| other(molars.class, canines.class))
    });
    odd.map(|(side, _)| *side).collect()
}

/// Class II elastics on a Class III, and the other way.
fn worn_for_another(case: &Case) -> BTreeSet<Side> {
    let worn = |side: Side, kind| {
        let mut runs = case.elastics.iter().filter(|e| e.kind == kind).flat_map(|e| &e.runs);
        runs.any(|run| run.teeth.iter().any(|t| t.side() == side))
    };
    // A midline to move is a reason to pull on that side all the same.
    let midline = !case.bite.midlines.is_empty() || case.arches.iter().any(|a| a.midline.is_some());
    let wrong = case.bite.molars.iter().filter(|(side, relation)| match relation.class {
        _ if midline => false,
        BiteClass::Class2 => worn(**side, ElasticsKind::Class3),
        BiteClass::Class3 => worn(**side, ElasticsKind::Class2),
        BiteClass::Class1 => false,
    });
    wrong.map(|(side, _)| *side).collect()
}

/// Relations of Class I that say by how much, in tenths of a millimetre.
fn class_1(case: &Case) -> BTreeSet<(Side, i64)> {
    let bite = case.bite.canines.iter().chain(&case.bite.molars);
    let by = bite.filter(|(_, r)| r.class == BiteClass::Class1);
    by.filter_map(|(side, r)| Some((*side, tenths(mm(r.by?))))).collect()
}

fn nearly_class_1(case: &Case) -> BTreeSet<(Side, i64)> {
    class_1(case).into_iter().filter(|(_, by)| *by <= 12).collect()
}

fn far_class_1(case: &Case) -> BTreeSet<(Side, i64)> {
    class_1(case).into_iter().filter(|(_, by)| *by > 12).collect()
}

/// An overjet under 5 mm in front of the places of upper premolars, which are closed on a whole lower arch.
fn small_for_extraction(case: &Case) -> BTreeSet<()> {
    let out = |arch: Arch| {
        let arch = case.arch(arch);
        arch.is_some_and(|a| {
            a.states.iter().any(|(tooth, (state, _))| {
                let gone =
                    matches!(state, ToothState::Extracted { .. } | ToothState::Extract { .. });
                tooth.position() == 4 && gone
            })
        })
    };
    let asked = case.goal.as_ref().is_some_and(|g| g.bite.overjet.is_some());
    let small = case.bite.overjet.as_ref().is_some_and(|(overjet, _)| overjet.mm() < 5.0);
    (asked && small && out(Arch::Upper) && !out(Arch::Lower)).then_some(()).into_iter().collect()
}

/// The night-time retainer is gone that held an open bite or an extraction's place.
fn holds_what_was_closed(f: &Facts<'_>) -> bool {
    let by_night = |case: &Case| -> BTreeSet<Arch> {
        let retain = case.retention.iter().flat_map(|r| &r.night);
        retain.map(|(arch, _)| *arch).collect()
    };
    let (before, after) = (by_night(f.before), by_night(f.after));
    let mut gone = before.difference(&after);
    let open_bite = f.before.bite.open_bite.is_some();
    let closed = |arch: &Arch| {
        let steps = f.before.arch(*arch).into_iter().flat_map(|a| &a.steps);
        let mut terms = steps.flat_map(|s| &s.until.value.terms);
        terms.any(|t| matches!(t, Term::Gap { length, .. } if mm(*length) <= 3.0))
    };
    gone.any(|arch| open_bite || closed(arch))
}

fn pulls(case: &Case) -> bool {
    case.elastics.iter().any(|e| matches!(e.kind, ElasticsKind::Class2 | ElasticsKind::Class3))
}

/// Molars of another class than the goal's, with no elastics along the arches.
fn unbrought(case: &Case) -> BTreeSet<(Side, &'static str)> {
    let Some(goal) = case.goal.as_ref().filter(|_| !pulls(case)) else { return BTreeSet::new() };
    let word = |class| match class {
        BiteClass::Class1 => "I",
        BiteClass::Class2 => "II",
        BiteClass::Class3 => "III",
    };
    let bite = case.bite.molars.iter();
    let apart =
        bite.filter(|(side, r)| goal.bite.molars.get(side).is_some_and(|g| g.class != r.class));
    apart.map(|(side, r)| (*side, word(r.class))).collect()
}

fn tenths(mm: f64) -> i64 {
    (mm * 10.0).round() as i64
}

/// Molars under a goal that leaves them in Class II or III by so much, in tenths of a millimetre.
fn molars_under_goal(case: &Case) -> BTreeSet<(Side, i64)> {
    let held = |side: &Side| {
        let goal = case.goal.as_ref().and_then(|g| g.bite.molars.get(side));
        goal.is_some_and(|g| g.by.is_some() && g.class != BiteClass::Class1)
    };
    let molars = case.bite.molars.iter().filter(|(side, _)| held(side));
    molars.filter_map(|(side, r)| Some((*side, tenths(r.mm()?)))).collect()
}

/// Canines under a goal for them, in tenths of a millimetre.
fn canines_under_goal(case: &Case) -> BTreeSet<(Side, i64)> {
    let asked = |side: &Side| case.goal.as_ref().is_some_and(|g| g.bite.canines.contains_key(side));
    let canines = case.bite.canines.iter().filter(|(side, _)| asked(side));
    canines.filter_map(|(side, r)| Some((*side, tenths(r.mm()?)))).collect()
}

/// A goal for the canines, and premolars taken out for them.
fn goes_back(f: &Facts<'_>) -> bool {
    let goal = f.before.goal.as_ref().is_some_and(|g| !g.bite.canines.is_empty());
    let mut states = f.before.arches.iter().flat_map(|a| &a.states);
    goal && states.any(|(tooth, (state, _))| {
        tooth.position() == 4
            && matches!(state, ToothState::Extracted { .. } | ToothState::Extract { .. })
    })
}

fn over_ten(case: &Case) -> BTreeSet<Side> {
    let relations = case.bite.molars.iter().chain(&case.bite.canines);
    let goal = case.goal.iter().flat_map(|g| g.bite.molars.iter().chain(&g.bite.canines));
    let far = relations.chain(goal).filter(|(_, r)| r.mm().is_some_and(|mm| mm.abs() > 10.0));
    far.map(|(side, _)| *side).collect()
}

/// Sites of teeth taken out for the plan that are much narrower than the crown that went, mm (a premolar has 7).
fn narrow_sites(case: &Case) -> BTreeSet<(Tooth, Tooth)> {
    let gaps = case.arches.iter().flat_map(|a| a.gaps.iter().map(move |g| (a, g)));
    let narrow = gaps.filter(|(arch, gap)| {
        let between = gap.first.stretch(gap.second).unwrap_or_default();
        let out = |t: &Tooth| {
            arch.states.get(t).is_some_and(|(state, _)| {
                matches!(state, ToothState::Extract { .. } | ToothState::Extracted { .. })
            })
        };
        mm(gap.length) < 5.0 && between.iter().any(out)
    });
    narrow.map(|(_, gap)| (gap.first, gap.second)).collect()
}

/// What elastics, raisers and steps wait for, with a name for each.
fn waiting(case: &Case) -> Vec<(String, &Waits)> {
    let elastics = case.elastics.iter().filter_map(|e| {
        let (until, _) = e.until.as_ref()?;
        Some((format!("elastics {:?} {:?}", e.kind, e.from.as_ref().map(|(from, ..)| from)), until))
    });
    let raisers = steps(case).flat_map(|(a, s)| {
        s.acts.iter().filter_map(move |act| match &act.kind {
            ActKind::BiteRaisers { until: Some(until), .. } => {
                Some((format!("raisers {} {}", a.arch, s.name), until))
            }
            _ => None,
        })
    });
    let steps = steps(case).map(|(a, s)| (format!("step {} {}", a.arch, s.name), &s.until.value));
    elastics.chain(raisers).chain(steps).collect()
}

/// Measures that the bite has as it is entered, and that something waits for all the same.
fn reached(case: &Case) -> BTreeSet<String> {
    let overjet = case.bite.overjet.as_ref().map(|(overjet, _)| overjet.mm());
    let is_so = |term: &Term| match term {
        Term::Overjet { overjet: wanted } if !wanted.is_reverse() => {
            overjet.is_some_and(|now| now <= wanted.mm() + 1e-6)
        }
        Term::Overbite { length } => overbite_mm(case).is_some_and(|now| now <= mm(*length) + 1e-6),
        _ => false,
    };
    let waits = waiting(case).into_iter().filter(|(_, until)| until.terms.iter().any(is_so));
    waits.map(|(what, _)| what).collect()
}

/// Elastics and raisers that come off at a measure that nobody has entered.
fn unmeasured(case: &Case) -> BTreeSet<String> {
    let bites = || case.visits.iter().map(|v| &v.bite).chain([&case.bite]);
    let missing = |term: &Term| match term {
        Term::Overjet { .. } => bites().all(|b| b.overjet.is_none()),
        Term::Overbite { .. } => bites().all(|b| b.overbite.is_none() && b.open_bite.is_none()),
        Term::OverTheBite { teeth } => !teeth.iter().all(|t| case.bite.crossbite.contains(t)),
        _ => false,
    };
    let waits = waiting(case).into_iter().filter(|(what, _)| !what.starts_with("step"));
    waits.filter(|(_, until)| until.terms.iter().any(missing)).map(|(what, _)| what).collect()
}

/// Measures that records have above what was there in the beginning.
fn grown_since(case: &Case) -> BTreeSet<&'static str> {
    let mut out = BTreeSet::new();
    let overjet = case.bite.overjet.as_ref().map(|(overjet, _)| overjet.mm());
    for visit in &case.visits {
        let later = visit.bite.overjet.as_ref().map(|(overjet, _)| overjet.mm());
        if later.zip(overjet).is_some_and(|(later, first)| later > first + 0.9) {
            out.insert("overjet");
        }
        let later = visit.bite.overbite.as_ref().map(|(length, _)| mm(*length));
        if later.zip(overbite_mm(case)).is_some_and(|(later, first)| later > first + 0.9) {
            out.insert("overbite");
        }
    }
    out
}

/// Teeth so far out that the first wire in stock is not laid in without asking: over 3.3 mm or 45 degrees; lower incisors,
/// between whose brackets a wire from 0.016 is short, out and turned together (common practice, no source).
fn far_out(case: &Case) -> BTreeSet<Tooth> {
    let mut out = BTreeSet::new();
    for arch in &case.arches {
        let first = arch.steps.first().map(|s| mm(s.wire.value.wire.section.height()));
        let heavy = first.is_some_and(|h| h > 0.0155 * 25.4);
        for tooth in arch.stands.keys() {
            let (off, turned) = off(arch, *tooth);
            let short = heavy && arch.arch == Arch::Lower && tooth.position() <= 2;
            let both = short && (off > 1.9 && turned > 14.0 || off > 0.9 && turned > 29.0);
            let incisor = tooth.position() <= 2;
            // In by both wings from the first, on more than the lightest wire.
            let light = first.is_none_or(|h| h < 0.0125 * 25.4);
            let winged = !light && is_taken_in(arch, *tooth) && turned > 33.0;
            if off > 3.3 || turned > 45.0 || both || winged || heavy && incisor && off > 2.9 {
                out.insert(*tooth);
            }
        }
    }
    out
}

/// Nothing spares the tooth in the first wire, and its neighbours are beside it.
fn is_taken_in(arch: &ArchCase, tooth: Tooth) -> bool {
    let Some(first) = arch.steps.first() else { return false };
    let spared = first.in_force().any(|act| match &act.kind {
        ActKind::Engage { teeth, wing } => *wing != Wing::Both && teeth.contains(&tooth),
        ActKind::Bypass { teeth, .. } => teeth.contains(&tooth),
        _ => false,
    });
    let at = |place: Option<usize>| place.and_then(|place| Tooth::at(arch.arch, place));
    let beside = [at(tooth.place().checked_sub(1)), at(Some(tooth.place() + 1))];
    let bonded = |t: &Option<Tooth>| t.is_some_and(|t| arch.bonded.contains_key(&t));
    !spared && arch.bonded.contains_key(&tooth) && beside.iter().all(bonded)
}

/// Upper teeth in crossbite that are not entered inside the arch.
fn crossed_in_line(case: &Case) -> BTreeSet<Tooth> {
    let upper = case.arch(Arch::Upper);
    let crossed = case.bite.crossbite.iter().filter(|t| t.arch() == Arch::Upper);
    let inside = |t: &Tooth| {
        let stand = upper.and_then(|a| a.stands.get(t)).map(|s| s.value).unwrap_or_default();
        ToothPose::from_stand(*t, &stand).lingual_mm > 0.25
    };
    crossed.filter(|t| !inside(t)).copied().collect()
}

/// Midlines told at the arch and in the bite, and not alike.
fn midlines_at_odds(case: &Case) -> BTreeSet<Arch> {
    let odd = case.arches.iter().filter(|a| {
        a.midline.as_ref().zip(case.bite.midlines.get(&a.arch)).is_some_and(
            |((here, _), (there, _))| {
                here.side != there.side || (mm(here.off) - mm(there.off)).abs() > 0.2
            },
        )
    });
    odd.map(|a| a.arch).collect()
}

/// A midline twice as far off as the plan was made for, where the goal has it on the face.
fn asks_for_midline(f: &Facts<'_>) -> bool {
    let goal =
        |arch: &Arch| f.after.goal.as_ref().is_some_and(|g| g.bite.midlines.contains_key(arch));
    let far = |a: &&ArchCase| a.midline.as_ref().is_some_and(|(m, _)| mm(m.off) >= 3.0);
    f.after.arches.iter().filter(far).any(|a| goal(&a.arch))
}
