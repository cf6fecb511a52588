//! Which wire when, and with what.

use fastrand::Rng;
use springline_lang::model::step::{ActKind, Step, StepKind};
use springline_lang::text::Span;
use springline_lang::units::tooth::Arch;

use super::one;
use crate::faults::sound_case::{At, SoundCase};
use crate::faults::{Mutant, Operator};

const PLACE: &str = "the step's own lines or the `follow` that brings it, the lines that describe its teeth, and the \
                     steps after it";

pub const OPERATORS: &[Operator] = &[
    Operator {
        name: "steps swapped",
        families: &["order", "force"],
        criterion: "the first and a later, heavier wire change places while a tooth in the wire stands 1 mm out or 10 deg \
                    turned or more; not where the later step goes down to a light wire for brackets placed anew",
        place: PLACE,
        make: swapped,
        known: "",
    },
    Operator {
        name: "back to the lightest wire",
        families: &["order"],
        criterion: "a step after a rectangular wire, finishing apart, is written with 0.012 or 0.014 superelastic wire, \
                    and nothing is picked up, engaged, repositioned, bent or broken",
        place: PLACE,
        make: step_back,
        known: "",
    },
    Operator {
        name: "two wires too big for the slot",
        families: &["order"],
        criterion: "two rectangular wires in one slot of 0.022 x 0.028 in whose sections together are larger than it",
        place: PLACE,
        make: too_big,
        known: "",
    },
    Operator {
        name: "implant in the aligning wire",
        families: &["order"],
        criterion: "a tooth entered 1 mm out or more is an implant or grown to the bone, and lies in the first wire",
        place: PLACE,
        make: fixed_tooth,
        known: "",
    },
    Operator {
        name: "no retainer",
        families: &["order"],
        criterion: "nothing holds the result once the appliance comes off",
        place: "the line that opens the case, for it is the case that lacks it",
        make: no_retainer,
        known: "",
    },
    Operator {
        name: "heavier wire in poor hygiene",
        families: &["order"],
        criterion: "the last visit found hygiene poor and a stiffer wire is planned next",
        place: PLACE,
        make: poor_hygiene,
        known: "",
    },
    Operator {
        name: "torque asked of a round wire",
        families: &["order"],
        criterion: "torque asked at a tooth by a round wire, which turns freely in its slot",
        place: PLACE,
        make: torque_on_round,
        known: "",
    },
    Operator {
        name: "torque lost to play",
        families: &["order"],
        criterion: "torque asked at a tooth by a rectangular wire of 0.018 x 0.025 in or less, no more than half its play \
                    in a slot of 0.022 in (beyond that the bracket's own torque may let some of it arrive)",
        place: PLACE,
        make: torque_lost,
        known: "where the bracket's own torque has turned the slot to the end of the play, the little asked for arrives",
    },
    Operator {
        name: "bare span",
        families: &["order", "space"],
        criterion: "the sleeve over a stretch past a missing or bypassed tooth is gone, on a wire other than \
                    rectangular steel; or a molar tube is left out so that more than 8 mm lie bare",
        place: PLACE,
        make: bare_span,
        known: "",
    },
    Operator {
        name: "closing on a light wire",
        families: &["order", "space"],
        criterion: "spaces are closed with a coil on a wire under 0.019 x 0.025 in or 0.018 round in steel",
        place: PLACE,
        make: closing_light,
        known: "",
    },
    Operator {
        name: "closing too hard",
        families: &["order", "unit"],
        criterion: "a closing spring of 220 g or more a side, more than closes a space",
        place: PLACE,
        make: closing_heavy,
        known: "",
    },
    Operator {
        name: "anchorage without anything that holds",
        families: &["order"],
        criterion: "maximum anchorage is asked for and no bar, laceback, tie over back teeth or screw is in the plan",
        place: "the line that asks for the anchorage, and the steps' own lines",
        make: unsecured,
        known: "",
    },
    Operator {
        name: "debond long before the goal",
        families: &["order", "time", "record"],
        criterion: "the appliance is to come off within ten weeks of the first wire, with three or more wires to come",
        place: "the changed line",
        make: early_debond,
        known: "",
    },
];

fn places(g: &SoundCase, at: At) -> Vec<Span> {
    let mut out = g.from_here(at);
    out.extend(g.all_described(at.arch));
    out
}

fn swapped(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps() {
        let arch = g.arch(at);
        let off = g.in_wire(at).into_iter().any(|t| {
            let (by, turned) = g.off(arch, t);
            by >= 1.0 || turned >= 10.0
        });
        let first = &arch.steps[0];
        if !off || first.kind != StepKind::Align {
            continue;
        }
        let later = |s: &&Step| {
            let anew = s.acts.iter().any(|a| matches!(a.kind, ActKind::Reposition { .. }));
            s.kind != StepKind::Align && !s.wire.kept && !anew
        };
        for work in arch.steps.iter().skip(1).filter(later) {
            let (a, b) = (first.wire.wire.name.to_string(), work.wire.wire.name.to_string());
            let edits = g.texts.set_clause(arch, first, &format!("wire {b}")).and_then(|mut e| {
                e.extend(g.texts.set_clause(arch, work, &format!("wire {a}"))?);
                Some(e)
            });
            let what = format!("{}: {} with {b}, {} with {a}", at.arch, first.name, work.name);
            out.extend(g.mutant(what, edits, &places(g, at)));
        }
    }
    out
}

fn step_back(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.coming.iter().copied().filter(|at| at.index > 0) {
        let step = g.step(at);
        let before = &g.arch(at).steps[at.index - 1];
        let full = !before.wire.wire.section.is_round();
        let reason = |k: &ActKind| {
            matches!(
                k,
                ActKind::PickUp { .. }
                    | ActKind::Engage { .. }
                    | ActKind::Reposition { .. }
                    | ActKind::Rebond { .. }
                    | ActKind::Bend { .. }
                    | ActKind::Torque { .. }
                    | ActKind::Piggyback { .. }
            )
        };
        if step.kind == StepKind::Finish || !full || step.acts.iter().any(|a| reason(&a.kind)) {
            continue;
        }
        for wire in ["niti-12", "niti-14"] {
            out.extend(g.clause(at, &format!("wire {wire}"), &places(g, at)));
        }
    }
    out
}

fn too_big(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.coming.iter().copied().filter(|at| !g.step(*at).wire.kept) {
        let rect =
            ["niti-14x25", "niti-16x22", "niti-18x25", "niti-19x25", "beta-19x25", "steel-19x25"];
        let (a, b) = (one(rng, &rect), one(rng, &rect));
        out.extend(g.clause(at, &format!("wire {a} tandem {b}"), &places(g, at)));
    }
    out
}

fn fixed_tooth(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps() {
        let arch = g.arch(at);
        for tooth in g.in_wire(at).into_iter().filter(|t| g.off(arch, *t).0 >= 1.0) {
            for word in ["implant", "ankylosed"] {
                let line = format!("{word} {}", tooth.code());
                out.extend(g.mutant(line.clone(), g.before_steps(arch, &line), &places(g, at)));
            }
        }
    }
    out
}

fn no_retainer(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let Some(case) = g.case() else { return Vec::new() };
    let Some(place) = case.retention.as_ref().and_then(|r| r.place) else { return Vec::new() };
    g.remove(place, &[case.chart_place.span]).into_iter().collect()
}

fn poor_hygiene(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    let Some(last) = case.visits.last() else { return out };
    let heavier = Arch::BOTH.iter().any(|arch| {
        let wires: Vec<_> =
            g.open.iter().filter(|at| at.arch == *arch).map(|at| g.step(*at)).collect();
        matches!(wires.as_slice(), [now, next, ..]
            if now.wire.wire.section.is_round() && !next.wire.wire.section.is_round())
    });
    if !heavier {
        return out;
    }
    let also: Vec<Span> = g.open.iter().flat_map(|at| g.from_here(*at)).collect();
    let said = g.lines().find(|l| {
        l.keyword() == Some("hygiene")
            && l.parent().is_some_and(|p| p.span().start == last.place.span.start)
    });
    match said {
        Some(line) => out.extend(g.replace(line.span(), "hygiene poor", &also)),
        None => {
            let edits = g.texts.add_inside(last.place, &["hygiene poor".to_owned()]);
            out.extend(g.mutant("hygiene poor", edits, &also));
        }
    }
    out
}

fn torque_on_round(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.coming.iter().copied().filter(|at| g.step(*at).wire.wire.section.is_round()) {
        for tooth in g.in_wire(at).into_iter().filter(|t| t.is_anterior()) {
            let line = format!("torque {} {} deg root-lingual", tooth.code(), rng.u32(5..=15));
            out.extend(g.add(at, &line, &places(g, at)));
        }
    }
    out
}

fn torque_lost(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    use springline_lang::units::quantity::mm;
    let mut out = Vec::new();
    let loose = |at: &At| {
        let section = g.step(*at).wire.wire.section;
        !section.is_round() && mm(section.height()) <= 0.018 * 25.4 + 1e-6
    };
    for at in g.coming.iter().copied().filter(loose) {
        for tooth in g.in_wire(at).into_iter().filter(|t| t.is_anterior()) {
            // 0.018 x 0.025 in 0.022 x 0.028 in has some 10 deg of play.
            let line = format!("torque {} {} deg root-lingual", tooth.code(), rng.u32(3..=5));
            out.extend(g.add(at, &line, &places(g, at)));
        }
    }
    out
}

fn bare_span(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.coming.iter().copied() {
        for act in g.acts(at, |a| matches!(a.kind, ActKind::Sleeve { .. })) {
            out.extend(g.remove(act.place, &places(g, at)));
        }
    }
    out
}

fn closing(g: &SoundCase) -> Vec<At> {
    g.coming
        .iter()
        .copied()
        .filter(|at| !g.acts(*at, |a| matches!(a.kind, ActKind::ClosingCoil { .. })).is_empty())
        .collect()
}

fn closing_light(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in closing(g) {
        for wire in ["niti-14", "niti-16", "niti-18", "niti-18x25", "niti-16x22"] {
            out.extend(g.clause(at, &format!("wire {wire}"), &places(g, at)));
        }
    }
    out
}

fn closing_heavy(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in closing(g) {
        for act in g.acts(at, |a| matches!(a.kind, ActKind::ClosingCoil { .. })) {
            for force in [220, 280, 350, 450, 600] {
                let edits = g.texts.append(act.place, &format!(", force {force} g"));
                out.extend(g.mutant(format!("closing force {force} g"), edits, &places(g, at)));
            }
        }
    }
    out
}

fn unsecured(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    for arch in &case.arches {
        let holds = |k: &ActKind| match k {
            ActKind::Laceback { .. } => true,
            ActKind::Tie { teeth, .. } => teeth.iter().filter(|t| t.position() >= 5).count() >= 2,
            _ => false,
        };
        let acts = arch.steps.iter().flat_map(|s| &s.acts).filter(|a| holds(&a.kind));
        let mut edits = Vec::new();
        for place in acts
            .map(|a| a.place)
            .chain(arch.bars.iter().map(|b| b.2))
            .chain(arch.screws.iter().map(|s| s.2))
        {
            edits.extend(g.texts.remove(place).unwrap_or_default());
        }
        let mut also: Vec<Span> = arch
            .steps
            .iter()
            .enumerate()
            .flat_map(|(index, _)| g.lines_of(At { arch: arch.arch, index }))
            .collect();
        match &arch.anchorage {
            Some((_, place)) => also.push(place.span),
            None => edits.extend(g.before_steps(arch, "anchorage maximum").unwrap_or_default()),
        }
        out.extend(g.mutant(
            format!("{}: anchorage, and nothing that holds", arch.arch),
            Some(edits),
            &also,
        ));
    }
    out
}

fn early_debond(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    use jiff::ToSpan;
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    let steps = g.coming.iter().filter(|at| at.arch == Arch::Upper).count();
    let Some((start, _)) = case.start.as_ref().filter(|_| case.visits.is_empty() && steps >= 3)
    else {
        return out;
    };
    if case.debond.is_some() {
        return out;
    }
    let Some(retain) = case.retention.as_ref().and_then(|r| r.place) else { return out };
    for _ in 0..3 {
        let weeks = rng.i64(6..=10);
        let Some(day) = (0..14)
            .filter_map(|d| start.checked_add((weeks * 7 + d).days()).ok())
            .find(|d| case.house.is_open(*d))
        else {
            continue;
        };
        let line = format!("debond {day}");
        out.extend(g.mutant(line.clone(), g.texts.before(retain, &line), &[]));
    }
    out
}
