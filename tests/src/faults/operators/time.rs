//! When the patient is seen.

use fastrand::Rng;
use jiff::ToSpan;
use springline_lang::model::step::{ActKind, Activation, StepKind};
use springline_lang::text::Span;

use super::one;
use crate::faults::sound_case::SoundCase;
use crate::faults::{Mutant, Operator};

const PLACE: &str = "the step's own lines or the `follow` that brings it, and the steps after it";

pub const OPERATORS: &[Operator] = &[
    Operator {
        name: "interval stretched",
        families: &["time"],
        criterion: "the next visit comes after 13 weeks or more, where the house's longest is 12",
        place: PLACE,
        make: stretched,
        known: "",
    },
    Operator {
        name: "interval shortened",
        families: &["time"],
        criterion: "the next visit comes after three weeks or less, where the house's shortest is 4",
        place: PLACE,
        make: shortened,
        known: "",
    },
    Operator {
        name: "weeks taken for months or days",
        families: &["time", "unit"],
        criterion: "an interval of 6 weeks or more is written in months or in days: over 12 weeks, or under 4",
        place: PLACE,
        make: weeks_confused,
        known: "",
    },
    Operator {
        name: "clinic closed",
        families: &["time"],
        criterion: "the next visit, the start or the debond is on a day on which the clinic is closed",
        place: "the changed line",
        make: closed,
        known: "",
    },
    Operator {
        name: "coil left alone",
        families: &["time"],
        criterion: "an active coil works for nine weeks or more until the next visit",
        place: PLACE,
        make: coil_alone,
        known: "",
    },
    Operator {
        name: "step that never ends",
        families: &["time", "space"],
        criterion: "a step waits for an overjet, gap or space that nothing in the plan changes",
        place: PLACE,
        make: never_ends,
        known: "",
    },
    Operator {
        name: "elastics left alone",
        families: &["time"],
        criterion: "elastics are worn and the next visit comes after nine weeks or more",
        place: "the lines of the elastics and of the steps in which they are worn",
        make: elastics_alone,
        known: "",
    },
];

fn stretched(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.open.iter().copied() {
        let next = match rng.u32(0..3) {
            0 => format!("next {} wk", rng.u32(13..=26)),
            1 => format!("next {}..{} wk", rng.u32(8..=12), rng.u32(13..=24)),
            _ => format!("next {} mo", rng.u32(3..=6)),
        };
        out.extend(g.clause(at, &next, &g.from_here(at)));
    }
    out
}

fn shortened(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.open.iter().copied() {
        let next = one(rng, &["next 1 wk", "next 2 wk", "next 3 wk", "next 1..3 wk", "next 10 d"]);
        out.extend(g.clause(at, next, &g.from_here(at)));
    }
    out
}

fn weeks_confused(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.open.iter().copied() {
        for line in g.lines().filter(|l| g.lines_of(at).iter().any(|s| s.start == l.span().start)) {
            let text = line.text();
            let Some(from) = text.find("next ") else { continue };
            let tail = &text[from..];
            let Some(unit) = tail.find(" wk") else { continue };
            let start = line.span().start as usize + from + unit + 1;
            let weeks: f64 =
                tail[5..unit].split("..").last().and_then(|n| n.parse().ok()).unwrap_or(0.0);
            if weeks < 6.0 {
                continue;
            }
            for by in ["mo", "d"] {
                out.extend(g.replace(Span::new(start, start + 2), by, &g.from_here(at)));
            }
        }
    }
    out
}

fn closed(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    let day_after = |rng: &mut Rng, from: jiff::civil::Date, within: i64| {
        let first = rng.i64(28..=within);
        (0..90)
            .filter_map(|d| from.checked_add((first + d).days()).ok())
            .find(|d| !case.house.is_open(*d))
    };
    for arch in springline_lang::units::tooth::Arch::BOTH {
        let Some(at) = g.open.iter().copied().find(|at| at.arch == arch) else { continue };
        for _ in 0..2 {
            let Some(day) = day_after(rng, g.base.today, 70) else { continue };
            out.extend(g.clause(at, &format!("next {day}"), &[]));
        }
    }
    if let Some((_, place)) = case.start.as_ref().filter(|_| case.visits.is_empty()) {
        let shut = (1..8)
            .filter_map(|d| g.base.today.checked_add(d.days()).ok())
            .find(|d| !case.house.is_open(*d));
        out.extend(shut.and_then(|d| g.replace(place.span, &format!("start {d}"), &[])));
    }
    if let (Some(retain), None) = (case.retention.as_ref().and_then(|r| r.place), &case.debond)
        && let Some(day) = day_after(rng, g.base.today, 900)
            .filter(|d| *d > g.base.today.saturating_add(540.days()))
    {
        let line = format!("debond {day}");
        out.extend(g.mutant(line.clone(), g.texts.before(retain, &line), &[]));
    }
    out
}

fn works_alone(kind: &ActKind) -> bool {
    match kind {
        ActKind::OpenCoil { activation, .. } => *activation != Activation::Passive,
        ActKind::ClosingCoil { .. } | ActKind::Chain { .. } => true,
        _ => false,
    }
}

fn coil_alone(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.open.iter().copied() {
        if g.step(at).acts.iter().any(|a| works_alone(&a.kind)) {
            for _ in 0..3 {
                let next = format!("next {} wk", rng.u32(9..=12));
                out.extend(g.clause(at, &next, &g.from_here(at)));
            }
        }
    }
    out
}

fn never_ends(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    for at in g.coming.iter().copied() {
        let arch = g.arch(at);
        let step = g.step(at);
        let quiet = arch.steps.iter().flat_map(|s| &s.acts).all(|a| {
            !matches!(
                a.kind,
                ActKind::OpenCoil { .. }
                    | ActKind::ClosingCoil { .. }
                    | ActKind::Chain { .. }
                    | ActKind::Reduce { .. }
            )
        });
        if !quiet || !arch.gaps.is_empty() || step.wire.kept {
            continue;
        }
        if case.elastics.is_empty() && case.bite.overjet.is_some() && step.kind != StepKind::Align {
            out.extend(g.clause(at, "until overjet 1.5 mm", &g.from_here(at)));
        }
        let teeth = g.in_wire(at);
        let pairs: Vec<_> = teeth
            .windows(2)
            .filter(|w| {
                w[0].place() + 1 == w[1].place() && w[0].position().max(w[1].position()) <= 5
            })
            .collect();
        if pairs.is_empty() {
            continue;
        }
        let pair = one(rng, &pairs);
        let gap = format!(
            "until gap {} mm between {} and {}",
            rng.u32(2..=4),
            pair[0].code(),
            pair[1].code()
        );
        out.extend(g.clause(at, &gap, &g.from_here(at)));
    }
    out
}

fn elastics_alone(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    for e in &case.elastics {
        let Some((from, ..)) = &e.from else { continue };
        for at in g.open.iter().copied().filter(|at| g.step(*at).name == *from) {
            let mut also = g.from_here(at);
            also.extend(g.elastics());
            let next = format!("next {} wk", rng.u32(9..=12));
            out.extend(g.clause(at, &next, &also));
        }
    }
    out
}
