//! Where the wire may slide and where it may not.

use fastrand::Rng;
use springline_lang::model::step::{ActKind, StepKind};
use springline_lang::text::Span;
use springline_lang::units::quantity::mm;
use springline_lang::units::tooth::{Arch, Side, Tooth};

use super::one;
use crate::faults::sound_case::{At, SoundCase};
use crate::faults::{Mutant, Operator};

const PLACE: &str = "the step's own lines or the `follow` that brings it, the lines that describe its teeth and the \
                     midline, and the steps after it";

pub const OPERATORS: &[Operator] = &[
    Operator {
        name: "ends left free",
        families: &["slide"],
        criterion: "an aligning or levelling wire with both ends free or flush and no stop on it",
        place: PLACE,
        make: free_ends,
        known: "",
    },
    Operator {
        name: "one end left free",
        families: &["slide"],
        criterion: "an aligning wire with one end free and no stop on it",
        place: PLACE,
        make: one_free_end,
        known: "",
    },
    Operator {
        name: "cinched in crowding",
        families: &["slide", "space"],
        criterion: "the first wire is cinched tight while teeth described as out of line lack 2 mm or more of space in all, \
                    with no extraction and nothing that holds the incisors on purpose",
        place: PLACE,
        make: cinched,
        known: "",
    },
    Operator {
        name: "stop beside a tooth that is out",
        families: &["slide"],
        criterion: "a stop is written against a tooth that is not in the wire, or in the bare stretch beside it",
        place: PLACE,
        make: beside_bypass,
        known: "",
    },
    Operator {
        name: "stop beside a turned tooth",
        families: &["slide", "space"],
        criterion: "a stop is written against a tooth turned by 35 deg or more",
        place: PLACE,
        make: beside_turned,
        known: "",
    },
    Operator {
        name: "two stops without a gap",
        families: &["slide"],
        criterion: "two stops of 2 mm, as rectangular wires take them, in the 4 mm between two lower incisors",
        place: PLACE,
        make: without_gap,
        known: "",
    },
    Operator {
        name: "midline stopped on the wrong side",
        families: &["slide"],
        criterion: "the midline is 1.5 mm or more to one side and a lone stop lets length leave to that side only, while \
                    teeth on the way are 1.5 mm out or more",
        place: PLACE,
        make: wrong_side,
        known: "",
    },
    Operator {
        name: "stop moved to the other side",
        families: &["slide"],
        criterion: "a lone stop that the plan has for its midline stands on the mirrored tooth",
        place: PLACE,
        make: moved,
        known: "",
    },
    Operator {
        name: "wire locked",
        families: &["slide"],
        criterion: "stops on both sides of a tooth 2 mm out or more leave its length no way out, in an arch bonded as a \
                    whole (the long bare wire of four incisors and two molars bends instead)",
        place: PLACE,
        make: locked,
        known: "",
    },
    Operator {
        name: "stop against the midline it should keep",
        families: &["slide"],
        criterion: "the midline stands right, and a lone stop sends all length of a tooth 2 mm out or more to one side",
        place: PLACE,
        make: carried_off,
        known: "",
    },
    Operator {
        name: "coil that pushes the midline farther",
        families: &["slide", "space", "order"],
        criterion: "an active coil on the side away from a midline that is already 2 mm off pushes the front teeth farther",
        place: PLACE,
        make: coil_wrong_way,
        known: "",
    },
];

fn places(g: &SoundCase, at: At) -> Vec<Span> {
    let mut out = g.from_here(at);
    out.extend(g.all_described(at.arch));
    out.extend(g.arch(at).midline.as_ref().map(|(_, p)| p.span));
    out
}

fn has_stop(g: &SoundCase, at: At) -> bool {
    g.step(at).in_force().any(|a| matches!(a.kind, ActKind::Stop { .. }))
}

fn free_ends(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let early = |at: &At| matches!(g.step(*at).kind, StepKind::Align | StepKind::Level);
    let mut out = Vec::new();
    for at in g
        .coming
        .iter()
        .copied()
        .filter(early)
        .filter(|at| !has_stop(g, *at) && !g.step(*at).wire.kept)
    {
        let word = one(rng, &["free", "flush"]);
        out.extend(g.clause(at, &format!("ends {word}"), &places(g, at)));
    }
    out
}

fn one_free_end(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let align = |at: &At| g.step(*at).kind == StepKind::Align;
    for at in g
        .coming
        .iter()
        .copied()
        .filter(align)
        .filter(|at| !has_stop(g, *at) && !g.step(*at).wire.kept)
    {
        let (a, b) = if rng.bool() { ("right", "left") } else { ("left", "right") };
        let clause = format!("ends free on {a} turned-in slack 2 mm on {b}");
        out.extend(g.clause(at, &clause, &places(g, at)));
    }
    out
}

fn no_extraction(g: &SoundCase, at: At) -> bool {
    let arch = g.arch(at);
    arch.gaps.is_empty() && arch.states.values().all(|(s, _)| !s.is_absent())
}

fn cinched(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps().filter(|at| no_extraction(g, *at)) {
        let arch = g.arch(at);
        let teeth: Vec<Tooth> = g
            .in_wire(at)
            .into_iter()
            .filter(|t| t.is_anterior() && !arch.stands.contains_key(t))
            .collect();
        if teeth.len() < 2 {
            continue;
        }
        for _ in 0..3 {
            // Two more teeth that lack a millimetre and a half each.
            let mut two = teeth.clone();
            rng.shuffle(&mut two);
            let lines: Vec<String> = two
                .iter()
                .take(2)
                .map(|t| {
                    let space = springline_lang::units::anatomy::crown_width_mm(*t) - 1.5;
                    let side = if t.arch() == Arch::Upper { "palatal" } else { "lingual" };
                    format!(
                        "tooth {} {side} 1.5 mm, space {} mm",
                        t.code(),
                        springline_lang::units::quantity::plain(space)
                    )
                })
                .collect();
            let edits = g.before_steps(arch, &lines.join("\n  ")).and_then(|mut e| {
                e.extend(g.texts.set_clause(arch, g.step(at), "ends cinched")?);
                Some(e)
            });
            out.extend(g.mutant(format!("cinched; {}", lines.join("; ")), edits, &places(g, at)));
        }
    }
    out
}

fn beside_bypass(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.coming.iter().copied() {
        let arch = g.arch(at);
        let teeth = g.in_wire(at);
        for pair in teeth.windows(2).filter(|w| w[1].place() == w[0].place() + 2) {
            let between = Tooth::at(at.arch, pair[0].place() + 1);
            let absent =
                between.is_none_or(|t| arch.states.get(&t).is_some_and(|(s, _)| s.is_absent()));
            if absent {
                continue;
            }
            for tooth in pair {
                // The side that faces the tooth left out.
                let inner = (tooth.place() < pair[1].place()) == (tooth.side() == Side::Right);
                let along = if inner { "mesial" } else { "distal" };
                out.extend(g.add(at, &format!("stop {along} of {}", tooth.code()), &places(g, at)));
            }
        }
        for tooth in arch.bonded.keys().filter(|t| t.position() <= 3 && teeth.contains(t)) {
            let line =
                format!("bypass {} until 6 wk\n    stop mesial of {}", tooth.code(), tooth.code());
            let edits = g.texts.add_to_step(
                arch,
                g.step(at),
                &line.split("\n    ").map(str::to_owned).collect::<Vec<_>>(),
            );
            let named =
                arch.steps.iter().flat_map(|s| &s.acts).any(|a| a.kind.teeth().contains(tooth));
            if !named && at.index == 0 {
                out.extend(g.mutant(line.replace("\n    ", "; "), edits, &places(g, at)));
            }
        }
    }
    out
}

fn beside_turned(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps() {
        let arch = g.arch(at);
        for tooth in
            g.in_wire(at).into_iter().filter(|t| t.position() <= 5 && !arch.stands.contains_key(t))
        {
            let line = format!("tooth {} rotated {} deg mesial-in", tooth.code(), rng.u32(35..=44));
            let along = one(rng, &["mesial", "distal"]);
            let stop = format!("stop {along} of {}", tooth.code());
            let edits = g.before_steps(arch, &line).and_then(|mut e| {
                e.extend(g.texts.add_to_step(arch, g.step(at), std::slice::from_ref(&stop))?);
                Some(e)
            });
            out.extend(g.mutant(format!("{line}; {stop}"), edits, &places(g, at)));
        }
    }
    out
}

fn without_gap(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let early = |at: &&At| {
        matches!(g.step(**at).kind, StepKind::Align | StepKind::Level) && at.arch == Arch::Lower
    };
    for at in g.coming.iter().filter(early).copied() {
        let teeth = g.in_wire(at);
        let round = g.step(at).wire.wire.section.is_round();
        if round || has_stop(g, at) {
            continue;
        }
        for pair in teeth.windows(2).filter(|w| w.iter().all(|t| t.is_incisor())) {
            let face = |t: Tooth, way: Side| {
                let mesial = (t.side() == Side::Right) == (way == Side::Left);
                format!("{} of {}", if mesial { "mesial" } else { "distal" }, t.code())
            };
            let line =
                format!("stop {}, {}", face(pair[0], Side::Left), face(pair[1], Side::Right));
            out.extend(g.add(at, &line, &places(g, at)));
        }
    }
    out
}

/// A stop at the back on that side lets nothing leave there.
fn closing_stop(g: &SoundCase, at: At, side: Side) -> Option<String> {
    let last =
        g.in_wire(at).into_iter().filter(|t| t.side() == side).max_by_key(|t| t.position())?;
    (last.position() >= 5).then(|| format!("stop mesial of {}", last.code()))
}

/// Undescribed front teeth on a side, one of them put 2 mm out, so that the wire has length to give.
fn source(g: &SoundCase, at: At, rng: &mut Rng, by: f64) -> Option<String> {
    let arch = g.arch(at);
    let teeth: Vec<Tooth> = g
        .in_wire(at)
        .into_iter()
        .filter(|t| t.is_incisor() && !arch.stands.contains_key(t))
        .collect();
    if teeth.is_empty() {
        return None;
    }
    let side = if at.arch == Arch::Upper { "palatal" } else { "lingual" };
    Some(format!("tooth {} {side} {by} mm", one(rng, &teeth).code()))
}

fn wrong_side(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps() {
        let arch = g.arch(at);
        if arch.midline.is_some()
            || has_stop(g, at)
            || g.case().is_some_and(|c| c.bite.midlines.contains_key(&at.arch))
        {
            continue;
        }
        for (lies, other) in [(Side::Right, Side::Left), (Side::Left, Side::Right)] {
            // Nothing leaves on the side it should go to.
            let (Some(stop), Some(tooth)) = (closing_stop(g, at, other), source(g, at, rng, 2.0))
            else {
                continue;
            };
            let by = one(rng, &["1.5", "2", "2.5"]);
            let midline = format!("midline {by} mm to patient-{lies} of face");
            let edits = g.before_steps(arch, &format!("{tooth}\n  {midline}")).and_then(|mut e| {
                e.extend(g.texts.add_to_step(arch, g.step(at), std::slice::from_ref(&stop))?);
                Some(e)
            });
            out.extend(g.mutant(format!("{midline}; {tooth}; {stop}"), edits, &places(g, at)));
        }
    }
    out
}

fn moved(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.coming.iter().copied() {
        let off = g.arch(at).midline.as_ref().is_some_and(|(m, _)| mm(m.off) >= 1.0);
        for act in g.acts(at, |a| matches!(&a.kind, ActKind::Stop { spots } if spots.len() == 1)) {
            let ActKind::Stop { spots } = &act.kind else { continue };
            let tooth = spots[0].tooth;
            let edits = g.texts.replace_in(
                act.place,
                &tooth.code().to_string(),
                &tooth.mirror().code().to_string(),
            );
            if off {
                let what = format!("stop at {} becomes {}", tooth.code(), tooth.mirror().code());
                out.extend(g.mutant(what, edits, &places(g, at)));
            }
        }
    }
    out
}

fn locked(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let whole = |at: &At| g.in_wire(*at).len() >= 10;
    for at in g.first_steps().filter(|at| !has_stop(g, *at)).filter(whole) {
        let arch = g.arch(at);
        let (Some(right), Some(left)) =
            (closing_stop(g, at, Side::Right), closing_stop(g, at, Side::Left))
        else {
            continue;
        };
        for _ in 0..3 {
            let by = one(rng, &[2.0, 2.5]);
            let Some(tooth) = source(g, at, rng, by) else { continue };
            let edits = g.before_steps(arch, &tooth).and_then(|mut e| {
                e.extend(g.texts.add_to_step(arch, g.step(at), &[right.clone(), left.clone()])?);
                Some(e)
            });
            out.extend(g.mutant(format!("{tooth}; {right}; {left}"), edits, &places(g, at)));
        }
    }
    out
}

fn carried_off(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps().filter(|at| !has_stop(g, *at)) {
        let arch = g.arch(at);
        let set = g.case().is_some_and(|c| c.bite.midlines.contains_key(&at.arch));
        if set || arch.midline.as_ref().is_some_and(|(m, _)| mm(m.off) > 0.0) {
            continue;
        }
        for side in [Side::Right, Side::Left] {
            let (Some(stop), Some(tooth)) = (closing_stop(g, at, side), source(g, at, rng, 2.0))
            else {
                continue;
            };
            let midline = if arch.midline.is_some() {
                String::new()
            } else {
                "\n  midline on face".to_owned()
            };
            let edits = g.before_steps(arch, &format!("{tooth}{midline}")).and_then(|mut e| {
                e.extend(g.texts.add_to_step(arch, g.step(at), std::slice::from_ref(&stop))?);
                Some(e)
            });
            out.extend(g.mutant(
                format!("midline on face; {tooth}; {stop}"),
                edits,
                &places(g, at),
            ));
        }
    }
    out
}

fn coil_wrong_way(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.coming.iter().copied() {
        let arch = g.arch(at);
        let active = g.acts(at, |a| {
            matches!(&a.kind, ActKind::OpenCoil { activation, .. }
                if *activation != springline_lang::model::step::Activation::Passive)
        });
        for act in active {
            let ActKind::OpenCoil { first, second, .. } = &act.kind else { continue };
            if first.side() != second.side() || !first.is_anterior() && !second.is_anterior() {
                continue;
            }
            // A coil on the right carries the front teeth to the left: put the midline there already.
            let goes = if first.side() == Side::Right { Side::Left } else { Side::Right };
            let Some((_, place)) = &arch.midline else { continue };
            let line = format!("midline 2 mm to patient-{goes} of face");
            let mut also = places(g, at);
            also.push(act.place.span);
            // The record must not say otherwise.
            let recorded = g.case().is_some_and(|c| {
                c.visits.iter().flat_map(|v| &v.arches).any(|a| a.midline.is_some())
            });
            if !recorded {
                out.extend(g.replace(place.span, &line, &also));
            }
        }
    }
    out
}
