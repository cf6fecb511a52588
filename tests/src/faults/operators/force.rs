//! Wires too heavy for where the teeth stand.

use fastrand::Rng;
use springline_lang::model::step::StepKind;
use springline_lang::text::Span;
use springline_lang::units::tooth::Arch;

use super::{half, one};
use crate::faults::sound_case::{At, SoundCase};
use crate::faults::{Mutant, Operator};

const PLACE: &str = "the step's own lines, or the `follow` that brings it; the lines that describe its teeth, for \
                     what is wrong is where they stand under this wire; the steps after it";

pub const OPERATORS: &[Operator] = &[
    Operator {
        name: "heavy first wire",
        families: &["force", "order"],
        criterion: "the first wire is 0.018 round or any rectangular wire while a tooth in it stands 2 mm out or more, \
                    where the practice's first wire is 0.014",
        place: PLACE,
        make: heavy_first,
        known: "beside open extraction sites the front has room to give way, and 0.018 round stays a few grams under the figure \
                that warns (117 of 120 g)",
    },
    Operator {
        name: "rigid first wire",
        families: &["force", "order"],
        criterion: "steel or beta-titanium as first wire while a tooth in it stands 1 mm out or 10 deg turned or more",
        place: PLACE,
        make: rigid_first,
        known: "",
    },
    Operator {
        name: "aligning left out",
        families: &["force", "order"],
        criterion: "the step that aligns is skipped and the next, rectangular wire goes in first, while a tooth stands \
                    1.5 mm out or 15 deg turned or more",
        place: PLACE,
        make: align_skipped,
        known: "",
    },
    Operator {
        name: "aligning cut short before steel",
        families: &["force", "order", "time"],
        criterion: "the first wire comes out after two weeks and steel or beta-titanium follows, while a tooth stood \
                    1.5 mm out or 15 deg turned or more",
        place: PLACE,
        make: cut_short_before_steel,
        known: "",
    },
    Operator {
        name: "aligning cut short",
        families: &["force", "order", "time"],
        criterion: "the first wire comes out after ten days, and a stiffer one goes in, while a tooth stood 1.5 mm out or \
                    20 deg turned or more",
        place: PLACE,
        make: cut_short,
        known: "",
    },
    Operator {
        name: "tooth entered far out under a working wire",
        families: &["force", "space", "order"],
        criterion: "a tooth described 3 mm out or more lies fully in a rectangular first wire",
        place: PLACE,
        make: far_out,
        known: "",
    },
    Operator {
        name: "torque asked all at once",
        families: &["force", "unit"],
        criterion: "26 deg of torque or more asked at one tooth by a rectangular wire of 0.018 x 0.025 in or more, half \
                    as much again as the house's strongest bracket carries",
        place: PLACE,
        make: too_much_torque,
        known: "",
    },
    Operator {
        name: "bend too large",
        families: &["force", "order"],
        criterion: "a bend of 1 mm or more at one tooth in steel or beta-titanium, more than the house lets such a wire \
                    meet where a tooth stands off (0.9 mm stops)",
        place: PLACE,
        make: large_bend,
        known: "",
    },
    Operator {
        name: "caution passed over",
        families: &["force"],
        criterion: "a tooth 2.5 mm out or more bears half the usual (short root) and is in the usual first wire. (That wire \
                    stays under half the limit up to there; by the simulation behind the limits.)",
        place: PLACE,
        make: caution,
        known: "between long spans the usual first wire stays under half the limit even so",
    },
];

const ROUND: [&str; 1] = ["niti-18"];
const RECT: [&str; 4] = ["niti-14x25", "niti-16x22", "niti-18x25", "niti-19x25"];
const RIGID: [&str; 3] = ["beta-19x25", "steel-18", "steel-19x25"];

fn places(g: &SoundCase, at: At) -> Vec<Span> {
    let mut out = g.from_here(at);
    out.extend(g.all_described(at.arch));
    out
}

fn out_by(g: &SoundCase, at: At, mm: f64, deg: f64) -> bool {
    let arch = g.arch(at);
    g.in_wire(at).into_iter().any(|t| {
        let (by, turned) = g.off(arch, t);
        by >= mm - 1e-9 || turned >= deg - 1e-9
    })
}

fn heavy_first(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps().filter(|at| out_by(g, *at, 2.0, 180.0)) {
        for wire in ROUND.iter().chain(&RECT) {
            out.extend(g.clause(at, &format!("wire {wire}"), &places(g, at)));
        }
    }
    // More of them where a tooth in line is entered farther out as well.
    for at in g.first_steps() {
        let teeth: Vec<_> = g.in_wire(at).into_iter().filter(|t| t.position() <= 5).collect();
        for tooth in teeth {
            if g.arch(at).stands.contains_key(&tooth) {
                continue;
            }
            let side = if at.arch == Arch::Upper { "palatal" } else { "lingual" };
            let line = format!("tooth {} {side} {} mm", tooth.code(), half(rng, 2.0, 3.0));
            let wire = if rng.bool() { one(rng, &RECT) } else { one(rng, &ROUND) };
            let edits = g.before_steps(g.arch(at), &line).and_then(|mut e| {
                e.extend(g.texts.set_clause(g.arch(at), g.step(at), &format!("wire {wire}"))?);
                Some(e)
            });
            out.extend(g.mutant(format!("{line} under {wire}"), edits, &places(g, at)));
        }
    }
    out
}

fn rigid_first(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps().filter(|at| out_by(g, *at, 1.0, 10.0)) {
        for wire in RIGID {
            out.extend(g.clause(at, &format!("wire {wire}"), &places(g, at)));
        }
    }
    out
}

fn align_skipped(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps().filter(|at| out_by(g, *at, 1.5, 15.0)) {
        let (arch, step) = (g.arch(at), g.step(at));
        let follows = arch.follows.as_ref().filter(|_| step.kind == StepKind::Align);
        let next = arch.steps.get(1).filter(|s| !s.wire.wire.section.is_round());
        // A step the case changes cannot be skipped as well: leave those.
        let own = step.place.file == arch.place.file;
        if let (Some((_, place)), Some(_), false) = (follows, next, own) {
            let line = format!("\n  skip {}", step.name);
            let end = Span::new(place.span.end as usize, place.span.end as usize);
            let edit = crate::faults::edit::put(end, &line);
            out.extend(g.mutant(
                format!("{}: skip {}", at.arch, step.name),
                Some(vec![edit]),
                &places(g, at),
            ));
        }
    }
    out
}

fn cut_short_before_steel(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps().filter(|at| out_by(g, *at, 1.5, 15.0)) {
        let arch = g.arch(at);
        let Some(next) = arch.steps.get(1) else { continue };
        for wire in RIGID {
            let weeks = one(rng, &["2 wk", "1 wk", "10 d"]);
            let edits = g.texts.set_clause(arch, g.step(at), &format!("until {weeks}")).and_then(
                |mut e| {
                    e.extend(g.texts.set_clause(arch, next, &format!("wire {wire}"))?);
                    Some(e)
                },
            );
            let what = format!("{} {} until {weeks}, then {wire}", at.arch, g.step(at).name);
            out.extend(g.mutant(what, edits, &places(g, at)));
        }
    }
    out
}

fn cut_short(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    g.first_steps()
        .filter(|at| out_by(g, *at, 1.5, 20.0))
        .filter(|at| g.arch(*at).steps.get(1).is_some_and(|s| !s.wire.wire.section.is_round()))
        .filter_map(|at| g.clause(at, "until 10 d", &places(g, at)))
        .collect()
}

fn far_out(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps() {
        for tooth in g.in_wire(at).into_iter().filter(|t| t.position() <= 5) {
            if g.arch(at).stands.contains_key(&tooth) {
                continue;
            }
            let way = one(rng, &["labial", "gingival"]);
            let line = format!("tooth {} {way} {} mm", tooth.code(), half(rng, 3.0, 6.0));
            let wire = one(rng, &RECT);
            let edits = g.before_steps(g.arch(at), &line).and_then(|mut e| {
                e.extend(g.texts.set_clause(g.arch(at), g.step(at), &format!("wire {wire}"))?);
                Some(e)
            });
            out.extend(g.mutant(format!("{line} under {wire}"), edits, &places(g, at)));
        }
    }
    out
}

fn heavy_rect(g: &SoundCase, at: At) -> bool {
    let wire = &g.step(at).wire.wire;
    !wire.section.is_round()
        && springline_lang::units::quantity::mm(wire.section.height()) >= 0.018 * 25.4 - 1e-6
}

fn too_much_torque(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.coming.iter().copied().filter(|at| heavy_rect(g, *at)) {
        for tooth in g.in_wire(at).into_iter().filter(|t| t.is_anterior()) {
            let way = one(rng, &["root-labial", "root-lingual"]);
            let line = format!("torque {} {} deg {way}", tooth.code(), rng.u32(26..=60));
            out.extend(g.add(at, &line, &places(g, at)));
        }
    }
    out
}

fn large_bend(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.coming.iter().copied() {
        let wire = &g.step(at).wire.wire;
        if wire.alloy.is_niti() || wire.section.is_round() {
            continue;
        }
        for tooth in g.in_wire(at).into_iter().filter(|t| t.position() <= 5) {
            let way = one(rng, &["gingival", "occlusal", "labial"]);
            let line = format!("bend {} {way} {} mm", tooth.code(), half(rng, 1.0, 4.0));
            out.extend(g.add(at, &line, &places(g, at)));
        }
    }
    out
}

/// So far out the usual first wire is over half the limit on every tooth.
const FAR_MM: f64 = 2.5;

fn caution(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.first_steps() {
        let arch = g.arch(at);
        for tooth in g.in_wire(at) {
            let caution = format!("caution {} because \"short root\"", tooth.code());
            let line = match g.off(arch, tooth).0 {
                off if off >= FAR_MM => caution,
                _ if tooth.is_incisor() && !arch.stands.contains_key(&tooth) => {
                    format!("tooth {} labial {FAR_MM} mm\n  {caution}", tooth.code())
                }
                _ => continue,
            };
            out.extend(g.mutant(line.clone(), g.before_steps(arch, &line), &places(g, at)));
        }
    }
    out
}
