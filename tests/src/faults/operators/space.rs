//! Teeth and the space they need.

use fastrand::Rng;
use springline_lang::model::step::{Act, ActKind, Activation, Term};
use springline_lang::text::Span;
use springline_lang::units::anatomy::crown_width_mm;
use springline_lang::units::quantity::{mm, plain};
use springline_lang::units::tooth::{Arch, Tooth};

use super::{half, one};
use crate::faults::sound_case::{At, SoundCase};
use crate::faults::{Mutant, Operator};

const PLACE: &str = "the step's own lines or the `follow` that brings it, the lines that describe its teeth, and the \
                     steps after it";

pub const OPERATORS: &[Operator] = &[
    Operator {
        name: "space measured too small",
        families: &["space"],
        criterion: "a tooth taken into the first wire has 1.6 mm less space than its crown is wide, or still less, and \
                    nothing makes any",
        place: PLACE,
        make: short_of_space,
        known: "",
    },
    Operator {
        name: "bypass taken out",
        families: &["space", "force", "order"],
        criterion: "a tooth that the plan leaves out until it has its space is bonded and in the first wire",
        place: PLACE,
        make: engaged_early,
        known: "",
    },
    Operator {
        name: "bypass without an end",
        families: &["space"],
        criterion: "a tooth in the wire of every step is left out of one, without saying until when, and no later step \
                    takes it in",
        place: PLACE,
        make: endless_bypass,
        known: "",
    },
    Operator {
        name: "coil taken out",
        families: &["space", "time", "slide", "order"],
        criterion: "the coil that makes the space that its own step waits for is gone, and no coil of a step before stays on \
                    the same wire there",
        place: PLACE,
        make: coil_out,
        known: "",
    },
    Operator {
        name: "coil too strong",
        families: &["space"],
        criterion: "an open coil of 160 g or more beside a front tooth, more than the house lets a coil push with",
        place: PLACE,
        make: strong_coil,
        known: "",
    },
    Operator {
        name: "coil on a light wire",
        families: &["space", "force", "order"],
        criterion: "an active open coil of 100 g on 0.012, 0.014 or 0.016 round superelastic wire",
        place: PLACE,
        make: coil_on_light,
        known: "",
    },
    Operator {
        name: "coil with untied front teeth",
        families: &["space", "slide"],
        criterion: "the tie that holds the incisors behind an active coil of 100 g is gone, and no pair of stops holds \
                    them",
        place: PLACE,
        make: untied,
        known: "",
    },
    Operator {
        name: "coil that does nothing",
        families: &["space", "time"],
        criterion: "an active coil is pressed together by 0.2 mm or less, and the step waits for the space it should make",
        place: PLACE,
        make: inert_coil,
        known: "",
    },
    Operator {
        name: "coil without a tooth to push against",
        families: &["space", "name", "order"],
        criterion: "a tooth that an active coil pushes against is left out of the wire in the same step",
        place: PLACE,
        make: no_abutment,
        known: "",
    },
    Operator {
        name: "turned tooth fully engaged",
        families: &["space", "force"],
        criterion: "a tooth turned by 31 deg or more between close neighbours has both wings in the first wire; by 46 \
                    deg or more where that is 0.012, which the trade lets turn a tooth so far",
        place: PLACE,
        make: severe_rotation,
        known: "",
    },
    Operator {
        name: "high tooth in a continuous wire",
        families: &["space", "force"],
        criterion: "a canine or lateral 3.5 mm or more towards the gum lies fully in a first wire of 0.014 or more (0.012 \
                    is what the trade takes for it)",
        place: PLACE,
        make: high_tooth,
        known: "",
    },
    Operator {
        name: "bracket in the bite",
        families: &["space", "order"],
        criterion: "an upper front tooth in crossbite, or lower front teeth under an overbite of 4.5 mm or more, is in the \
                    first wire without bite raisers anywhere in the plan",
        place: "the changed line, the step's own lines or the `follow` that brings it, and the lines that describe teeth",
        make: in_the_bite,
        known: "",
    },
    Operator {
        name: "bite raisers left out",
        families: &["space", "order"],
        criterion: "the plan's own bite raisers are gone while the teeth they protect are still in crossbite or under a \
                    deep bite",
        place: PLACE,
        make: raisers_out,
        known: "",
    },
    Operator {
        name: "too much enamel",
        families: &["space", "unit"],
        criterion: "0.6 mm of enamel or more off one contact, 0.4 mm or more between lower incisors",
        place: PLACE,
        make: enamel,
        known: "",
    },
    Operator {
        name: "space from nowhere",
        families: &["space"],
        criterion: "four front teeth lack 0.6 mm each or more, the goal says nothing of incisors coming forward, and \
                    nothing in the plan makes space",
        place: "the lines that describe the teeth, the arch and the goal",
        make: shortage,
        known: "",
    },
    Operator {
        name: "closed space not held",
        families: &["space", "slide", "order"],
        criterion: "the tie across a space just closed, or the coil that keeps an opened one, is gone in the steps after",
        place: PLACE,
        make: not_held,
        known: "",
    },
];

fn places(g: &SoundCase, at: At) -> Vec<Span> {
    let mut out = g.from_here(at);
    out.extend(g.all_described(at.arch));
    out
}

/// Teeth in the first wire that nobody described yet.
fn plain_teeth(g: &SoundCase, at: At, last: u8) -> Vec<Tooth> {
    let arch = g.arch(at);
    g.in_wire(at)
        .into_iter()
        .filter(|t| t.position() <= last && !arch.stands.contains_key(t))
        .collect()
}

fn short_of_space(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps() {
        let arch = g.arch(at);
        let enamel = arch
            .steps
            .iter()
            .flat_map(|s| &s.acts)
            .any(|a| matches!(a.kind, ActKind::Reduce { .. }));
        if enamel || !arch.gaps.is_empty() {
            continue;
        }
        for tooth in plain_teeth(g, at, 5) {
            let space = crown_width_mm(tooth) - f64::from(rng.u32(16..=35)) / 10.0;
            let line =
                format!("tooth {} space {} mm", tooth.code(), plain((space * 10.0).floor() / 10.0));
            out.extend(g.mutant(line.clone(), g.before_steps(arch, &line), &places(g, at)));
        }
    }
    out
}

fn engaged_early(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps() {
        let arch = g.arch(at);
        for act in g.acts(at, |a| matches!(a.kind, ActKind::Bypass { .. })) {
            let ActKind::Bypass { teeth, .. } = &act.kind else { continue };
            let list: Vec<String> = teeth.iter().map(|t| t.code().to_string()).collect();
            let bonded = g.before_steps(arch, &format!("bonded {} with twin", list.join(", ")));
            let edits = g.texts.remove(act.place).zip(bonded).map(|(mut a, b)| {
                a.extend(b);
                a
            });
            out.extend(g.mutant(
                format!("{} bonded, not bypassed", list.join(", ")),
                edits,
                &places(g, at),
            ));
        }
    }
    out
}

fn endless_bypass(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.coming.iter().copied() {
        let arch = g.arch(at);
        let named: Vec<Tooth> =
            arch.steps.iter().flat_map(|s| &s.acts).flat_map(|a| a.kind.teeth()).collect();
        for tooth in g.in_wire(at).into_iter().filter(|t| t.position() <= 5 && !named.contains(t)) {
            out.extend(g.add(at, &format!("bypass {}", tooth.code()), &places(g, at)));
        }
    }
    out
}

fn is_active(act: &Act) -> bool {
    matches!(&act.kind, ActKind::OpenCoil { activation, .. } if *activation != Activation::Passive)
}

fn active_coils(g: &SoundCase) -> Vec<(At, &Act)> {
    g.coming.iter().flat_map(|at| g.acts(*at, is_active).into_iter().map(|a| (*at, a))).collect()
}

fn coil_out(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    active_coils(g)
        .into_iter()
        .filter(|(at, act)| is_waited_for(g, *at, act) && !comes_with_wire(g, *at, act))
        .filter_map(|(at, act)| {
            let mut also = places(g, at);
            for index in 0..at.index {
                also.extend(g.lines_of(At { index, ..at }));
            }
            g.remove(act.place, &also)
        })
        .collect()
}

/// The step itself waits for the space under its coil: for a gap there, or for the space of a tooth.
fn is_waited_for(g: &SoundCase, at: At, act: &Act) -> bool {
    let ActKind::OpenCoil { first, second, .. } = &act.kind else { return false };
    let (right, left) = (first.place().min(second.place()), first.place().max(second.place()));
    let is_over =
        |a: Tooth, b: Tooth| right <= a.place().min(b.place()) && a.place().max(b.place()) <= left;
    let step = g.step(at);
    let bypass = step.acts.iter().filter_map(|a| match &a.kind {
        ActKind::Bypass { until, .. } => until.as_ref(),
        _ => None,
    });
    let mut terms = std::iter::once(&step.until.value).chain(bypass).flat_map(|c| &c.terms);
    terms.any(|term| match term {
        Term::Gap { first, second, .. } => is_over(*first, *second),
        Term::Space { teeth, .. } => {
            teeth.is_empty() || teeth.iter().any(|t| right < t.place() && t.place() < left)
        }
        _ => false,
    })
}

/// The wire stays, and so does the coil that the step before has in the same place.
fn comes_with_wire(g: &SoundCase, at: At, act: &Act) -> bool {
    let Some(before) = at.index.checked_sub(1) else { return false };
    let ends = |a: &Act| match &a.kind {
        ActKind::OpenCoil { first, second, .. } => Some((*first.min(second), *first.max(second))),
        _ => None,
    };
    let before = At { index: before, ..at };
    g.step(at).wire.kept && g.acts(before, is_active).into_iter().any(|a| ends(a) == ends(act))
}

fn strong_coil(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for (at, act) in active_coils(g) {
        for force in [160, 200, 240, 320, 400] {
            let text = act.text.split(", activated").next().unwrap_or_default();
            let by = format!("{text}, force {force} g");
            if let Some(edits) = g.texts.replace_in(act.place, &act.text, &by) {
                out.extend(g.mutant(by, Some(edits), &places(g, at)));
            }
        }
    }
    // A coil put in where there is none.
    for at in g.coming.iter().copied() {
        if g.acts(at, |a| matches!(a.kind, ActKind::OpenCoil { .. })).is_empty() {
            let teeth = g.in_wire(at);
            let pairs: Vec<_> = teeth
                .windows(2)
                .filter(|w| w[0].position().min(w[1].position()) <= 3 && w[0].side() == w[1].side())
                .collect();
            if pairs.is_empty() {
                continue;
            }
            let pair = one(rng, &pairs);
            let force = one(rng, &[160, 210, 280, 340, 420]);
            let line = format!(
                "open-coil between {} and {} with open-100, force {force} g",
                pair[0].code(),
                pair[1].code()
            );
            out.extend(g.add(at, &line, &places(g, at)));
        }
    }
    out
}

fn coil_on_light(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for (at, _) in active_coils(g) {
        for wire in ["niti-12", "niti-14", "niti-16"] {
            out.extend(g.clause(at, &format!("wire {wire}"), &places(g, at)));
        }
    }
    for at in g.first_steps() {
        let wire = &g.step(at).wire.wire;
        let light = wire.alloy.is_niti()
            && wire.section.is_round()
            && mm(wire.section.height()) <= 0.014 * 25.4 + 1e-6;
        let has = !g.acts(at, |a| matches!(a.kind, ActKind::OpenCoil { .. })).is_empty();
        if !light || has {
            continue;
        }
        for pair in g
            .in_wire(at)
            .windows(2)
            .filter(|w| w[0].side() == w[1].side() && w[0].position().min(w[1].position()) <= 3)
        {
            let line = format!(
                "open-coil between {} and {} with open-100, activated 3 mm",
                pair[0].code(),
                pair[1].code()
            );
            out.extend(g.add(at, &line, &places(g, at)));
        }
    }
    out
}

fn untied(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for (at, coil) in active_coils(g) {
        let ActKind::OpenCoil { first, second, .. } = &coil.kind else { continue };
        let near = [*first, *second];
        let stops = g.step(at).in_force().any(|a| matches!(a.kind, ActKind::Stop { .. }));
        let incisor = near.iter().any(|t| t.is_incisor()) && !stops;
        for tie in g.acts(at, |a| matches!(&a.kind, ActKind::Tie { teeth, .. } if near.iter().any(|t| teeth.contains(t)))) {
            if incisor {
                out.extend(g.remove(tie.place, &places(g, at)));
            }
        }
    }
    out
}

fn inert_coil(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for (at, act) in active_coils(g) {
        let Some((head, tail)) = act.text.split_once("activated ") else { continue };
        let was = tail.split(" mm").next().unwrap_or_default();
        for by in ["0.1", "0.2", "0.05"] {
            let now = format!("{head}activated {by} mm");
            let edits = g.texts.replace_in(
                act.place,
                &format!("activated {was} mm"),
                &format!("activated {by} mm"),
            );
            out.extend(g.mutant(now, edits, &places(g, at)));
        }
    }
    out
}

fn no_abutment(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for (at, act) in active_coils(g) {
        let ActKind::OpenCoil { first, second, .. } = &act.kind else { continue };
        for tooth in [first, second] {
            out.extend(g.add(at, &format!("bypass {} until 4 wk", tooth.code()), &places(g, at)));
        }
    }
    out
}

fn severe_rotation(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps() {
        let mesial = if rng.bool() { "mesial-in" } else { "mesial-out" };
        let wire = &g.step(at).wire.wire;
        let lightest = mm(wire.section.height()) < 0.013 * 25.4;
        for tooth in plain_teeth(g, at, 5) {
            let deg = if lightest { rng.u32(46..=85) } else { rng.u32(31..=85) };
            let line = format!("tooth {} rotated {deg} deg {mesial}", tooth.code());
            out.extend(g.mutant(line.clone(), g.before_steps(g.arch(at), &line), &places(g, at)));
        }
    }
    out
}

fn high_tooth(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps() {
        let wire = &g.step(at).wire.wire;
        if mm(wire.section.height()) < 0.013 * 25.4 {
            continue;
        }
        for tooth in plain_teeth(g, at, 3).into_iter().filter(|t| t.position() >= 2) {
            let line = format!("tooth {} gingival {} mm", tooth.code(), half(rng, 3.5, 5.0));
            out.extend(g.mutant(line.clone(), g.before_steps(g.arch(at), &line), &places(g, at)));
        }
    }
    out
}

fn has_raisers(g: &SoundCase) -> bool {
    g.arches()
        .iter()
        .flat_map(|a| &a.steps)
        .flat_map(|s| s.in_force())
        .any(|a| matches!(a.kind, ActKind::BiteRaisers { .. }))
}

fn in_the_bite(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    if has_raisers(g) {
        return out;
    }
    let bite = g.lines().find(|l| l.keyword() == Some("bite")).map(|l| l.place());
    for at in g.first_steps() {
        let mut edits = Vec::new();
        if at.arch == Arch::Upper {
            for tooth in g.in_wire(at).into_iter().filter(|t| t.is_anterior()) {
                edits.push(format!("crossbite {}", tooth.code()));
            }
        } else if let Some((_, place)) = &case.bite.overbite {
            let by = half(rng, 4.5, 7.0);
            let line = format!("overbite {} mm", plain(by));
            out.extend(g.replace(place.span, &line, &places(g, at)));
        }
        for line in edits {
            let edit = match bite {
                Some(bite) => g.texts.add_inside(bite, std::slice::from_ref(&line)),
                None => case
                    .arches
                    .first()
                    .and_then(|a| g.texts.before(a.place, &format!("bite {{\n  {line}\n}}"))),
            };
            out.extend(g.mutant(line, edit, &places(g, at)));
        }
    }
    out
}

fn raisers_out(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    g.coming
        .iter()
        .flat_map(|at| {
            g.acts(*at, |a| matches!(a.kind, ActKind::BiteRaisers { .. }))
                .into_iter()
                .filter_map(|a| g.remove(a.place, &places(g, *at)))
        })
        .collect()
}

fn enamel(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.coming.iter().copied() {
        let teeth = g.in_wire(at);
        for pair in teeth.windows(2).filter(|w| w[0].position().max(w[1].position()) <= 5) {
            if pair[0].place() + 1 != pair[1].place() {
                continue;
            }
            let lower = pair[0].arch() == Arch::Lower && pair.iter().all(|t| t.is_incisor());
            let by = f64::from(if lower { rng.u32(4..=9) } else { rng.u32(6..=10) }) / 10.0;
            let line =
                format!("ipr {} mm between {} and {}", plain(by), pair[0].code(), pair[1].code());
            out.extend(g.add(at, &line, &places(g, at)));
        }
    }
    out
}

fn shortage(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    let forward = g.lines().find(|l| l.text().starts_with("incisors "));
    let goal: Vec<Span> =
        case.goal.as_ref().and_then(|g| g.place).and_then(|p| g.whole(p)).into_iter().collect();
    for at in g.first_steps() {
        let arch = g.arch(at);
        let makes = |a: &Act| matches!(a.kind, ActKind::Reduce { .. } | ActKind::OpenCoil { .. });
        let busy = arch.steps.iter().flat_map(|s| &s.acts).any(makes)
            || !arch.gaps.is_empty()
            || arch.states.values().any(|(s, _)| s.is_absent())
            || arch.midline.as_ref().is_some_and(|(m, _)| mm(m.off) > 0.0);
        if busy || at.index > 0 {
            continue;
        }
        let teeth = plain_teeth(g, at, 3);
        for _ in 0..4 {
            let mut four = teeth.clone();
            rng.shuffle(&mut four);
            four.truncate(4);
            if four.len() < 4 {
                continue;
            }
            let lines: Vec<String> = four
                .iter()
                .map(|t| {
                    let space = crown_width_mm(*t) - f64::from(rng.u32(6..=14)) / 10.0;
                    format!("tooth {} space {} mm", t.code(), plain((space * 10.0).round() / 10.0))
                })
                .collect();
            let edits = g.before_steps(arch, &lines.join("\n  ")).and_then(|mut e| {
                if let Some(line) = forward {
                    e.extend(g.texts.remove(line.place())?);
                }
                Some(e)
            });
            let mut also = places(g, at);
            also.extend(goal.iter().copied());
            also.push(arch.place.span);
            out.extend(g.mutant(lines.join("; "), edits, &also));
        }
    }
    out
}

fn not_held(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    use springline_lang::model::step::Term;
    let mut out = Vec::new();
    for at in g.coming.iter().copied().filter(|at| at.index > 0) {
        let before = &g.arch(at).steps[at.index - 1];
        let closes = before
            .until
            .terms
            .iter()
            .any(|t| matches!(t, Term::Gap { length, .. } if mm(*length) < 0.5));
        // A coil sits on its wire: where that stays, it stays.
        let stays = g.step(at).wire.kept;
        let acts = g.acts(at, |a| match &a.kind {
            ActKind::Tie { .. } => closes,
            ActKind::ClosedCoil { .. } => !stays,
            _ => false,
        });
        for act in acts {
            let mut also = places(g, at);
            also.extend(g.lines_of(At { index: at.index - 1, ..at }));
            out.extend(g.remove(act.place, &also));
        }
    }
    out
}
