//! Elastics between the arches.

use fastrand::Rng;
use springline_lang::model::case::{ElasticRun, Elastics, ElasticsKind};
use springline_lang::model::step::StepKind;
use springline_lang::text::{Edit, Span};
use springline_lang::units::quantity::plain;

use super::one;
use crate::faults::sound_case::{At, SoundCase};
use crate::faults::{Mutant, Operator};

const PLACE: &str = "the lines of that block of elastics, and those of the steps in which they are worn, whose wire \
                     carries them";

pub const OPERATORS: &[Operator] = &[
    Operator {
        name: "elastics from the first wire",
        families: &["order"],
        criterion: "class II, class III or diagonal elastics are worn from the aligning step on, on a round wire",
        place: PLACE,
        make: too_early,
        known: "",
    },
    Operator {
        name: "elastics on a round wire",
        families: &["order", "force"],
        criterion: "the wire under class II or class III elastics is round superelastic",
        place: PLACE,
        make: on_round,
        known: "",
    },
    Operator {
        name: "elastics of the wrong class",
        families: &["order"],
        criterion: "elastics written for class II are called class III, or the other way round, with their teeth as they \
                    were",
        place: PLACE,
        make: wrong_class,
        known: "",
    },
    Operator {
        name: "elastics hung the other way",
        families: &["order"],
        criterion: "a class II elastic runs from an upper molar to a lower canine",
        place: PLACE,
        make: other_way,
        known: "",
    },
    Operator {
        name: "elastics too strong",
        families: &["order", "unit", "name"],
        criterion: "twelve ounces or more on one side by three heavy elastics, or six and more on a superelastic working \
                    wire",
        place: PLACE,
        make: too_strong,
        known: "",
    },
    Operator {
        name: "elastics uneven",
        families: &["order", "slide"],
        criterion: "right and left are worn for hours that differ by five a day or more, with nothing that says why: no \
                    accept covers so many",
        place: PLACE,
        make: uneven,
        known: "",
    },
    Operator {
        name: "elastics on one side only",
        families: &["order", "slide"],
        criterion: "one of the two sides is gone, with nothing that says why",
        place: PLACE,
        make: one_side,
        known: "",
    },
    Operator {
        name: "nothing to hang it on",
        families: &["order"],
        criterion: "an elastic runs to a premolar that has no hook",
        place: PLACE,
        make: no_hook,
        known: "",
    },
    Operator {
        name: "elastic across the mouth",
        families: &["name", "order"],
        criterion: "one end of a right elastic is a left tooth, or the other way round",
        place: PLACE,
        make: across,
        known: "",
    },
    Operator {
        name: "elastics past the goal",
        families: &["order"],
        criterion: "class II elastics with an overjet of 1 mm or less, or until one",
        place: "the lines of that block of elastics, and of the bite and the visits, where the overjet is written",
        make: overdone,
        known: "",
    },
    Operator {
        name: "elastics nobody wears",
        families: &["order", "record"],
        criterion: "the last two visits say that elastics were not worn, and the plan goes on counting on them",
        place: "the lines of that block of elastics and of the visits",
        make: not_worn,
        known: "",
    },
    Operator {
        name: "elastics without an end",
        families: &["time"],
        criterion: "neither a measure nor a longest time ends the elastics, or the longest is over half a year",
        place: PLACE,
        make: endless,
        known: "",
    },
];

fn blocks(g: &SoundCase) -> impl Iterator<Item = &Elastics> {
    g.case().map_or(&[][..], |c| &c.elastics).iter()
}

fn along(e: &Elastics) -> bool {
    matches!(e.kind, ElasticsKind::Class2 | ElasticsKind::Class3)
}

/// Steps in which elastics are worn, in both arches: from the one that they begin with to the one before that which ends
/// them.
fn worn_in(g: &SoundCase, e: &Elastics) -> Vec<At> {
    let mut out = g.open.clone();
    out.retain(|at| {
        let steps = g.arches().iter().filter(|a| a.arch == at.arch).flat_map(|a| &a.steps);
        let names: Vec<_> = steps.map(|s| &s.name).collect();
        let place = |name| names.iter().position(|n| *n == name);
        let begun =
            e.from.as_ref().is_none_or(|(from, ..)| place(from).is_some_and(|f| at.index >= f));
        let over = e.until_step.as_ref().and_then(|(until, _)| place(until));
        begun && over.is_none_or(|until| at.index < until)
    });
    out
}

fn places(g: &SoundCase, e: &Elastics) -> Vec<Span> {
    let mut out: Vec<Span> = g.whole(e.place).into_iter().collect();
    out.extend(worn_in(g, e).into_iter().flat_map(|at| g.lines_of(at)));
    out
}

fn swap_in(g: &SoundCase, run: &ElasticRun, from: &str, to: &str) -> Option<Vec<Edit>> {
    g.texts.replace_in(run.place, from, to)
}

fn too_early(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for e in blocks(g).filter(|e| along(e)) {
        let Some((from, _, place)) = &e.from else { continue };
        for arch in g.arches() {
            let first = arch
                .steps
                .first()
                .filter(|s| s.kind == StepKind::Align && s.wire.wire.section.is_round());
            let Some(first) = first.filter(|s| s.name != *from) else { continue };
            // Only where that step is still to come.
            if g.coming.contains(&At { arch: arch.arch, index: 0 }) {
                let mut also = places(g, e);
                also.extend(g.open.iter().flat_map(|at| g.lines_of(*at)));
                out.extend(g.replace(place.span, &first.name, &also));
            }
        }
    }
    out
}

fn on_round(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for e in blocks(g).filter(|e| along(e)) {
        let Some((from, ..)) = &e.from else { continue };
        for at in g.coming.iter().copied().filter(|at| g.step(*at).name == *from) {
            for wire in ["niti-16", "niti-18", "niti-14"] {
                out.extend(g.clause(at, &format!("wire {wire}"), &places(g, e)));
            }
        }
    }
    out
}

fn wrong_class(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for e in blocks(g) {
        let (from, to) = match e.kind {
            ElasticsKind::Class2 => ("class-2", "class-3"),
            ElasticsKind::Class3 => ("class-3", "class-2"),
            _ => continue,
        };
        out.extend(g.mutant(
            format!("{from} becomes {to}"),
            g.texts.replace_in(e.place, from, to),
            &places(g, e),
        ));
    }
    out
}

fn other_way(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for e in blocks(g).filter(|e| along(e)) {
        for run in e.runs.iter().filter(|r| r.teeth.len() == 2) {
            let (a, b) = (run.teeth[0], run.teeth[1]);
            let partner = |t: springline_lang::units::tooth::Tooth, position: u32| {
                t.code() / 10 * 10 + position
            };
            let to = format!(
                "{} to {}",
                partner(a, u32::from(b.position())),
                partner(b, u32::from(a.position()))
            );
            let from = format!("{} to {}", a.code(), b.code());
            out.extend(g.mutant(
                format!("{from} becomes {to}"),
                swap_in(g, run, &from, &to),
                &places(g, e),
            ));
        }
    }
    out
}

fn too_strong(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for e in blocks(g) {
        let on_niti = worn_in(g, e).iter().any(|at| g.step(*at).wire.wire.alloy.is_niti());
        if on_niti && along(e) {
            let edits: Option<Vec<Vec<Edit>>> = e
                .runs
                .iter()
                .map(|r| {
                    let hours = plain(r.hours_a_day);
                    let from = format!("with {}, wear {hours} h", r.elastic.name);
                    swap_in(g, r, &from, "with heavy, wear 22 h")
                })
                .collect();
            out.extend(g.mutant("heavy on superelastic", edits.map(|e| e.concat()), &places(g, e)));
        }
        for run in &e.runs {
            // Two more of the same side, and all three heavy: 18 oz.
            let text = g.checked.parse.text(run.place.span);
            let heavy = text.replace(&format!("with {}", run.elastic.name), "with heavy");
            let extra = format!("{heavy}\n  {heavy}\n  {heavy}");
            out.extend(g.replace(run.place.span, &extra, &places(g, e)));
        }
    }
    out
}

fn pairs(e: &Elastics) -> bool {
    let paired = matches!(
        e.kind,
        ElasticsKind::Class2 | ElasticsKind::Class3 | ElasticsKind::Triangle | ElasticsKind::Box
    );
    paired && e.runs.len() == 2
}

/// Hours of difference that the case accepts, with its reason.
fn accepted_h(g: &SoundCase) -> Option<f64> {
    use springline_lang::units::quantity::Unit;
    let accepts = g.case().map_or(&[][..], |c| &c.accepts);
    let own = accepts.iter().find(|a| a.code == "order/elastics-uneven")?;
    own.up_to.map_or(Some(24.0), |q| q.in_unit(Unit::H))
}

fn uneven(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for e in blocks(g).filter(|e| pairs(e)) {
        for run in &e.runs {
            let other = e.runs.iter().find(|r| r.side != run.side).map_or(0.0, |r| r.hours_a_day);
            for _ in 0..3 {
                let hours = f64::from(rng.u32(6..=24));
                let apart = (hours - other).abs();
                if apart < 5.0 || accepted_h(g).is_some_and(|up_to| apart <= up_to + 1e-9) {
                    continue;
                }
                let from = format!("wear {} h", plain(run.hours_a_day));
                let to = format!("wear {} h", plain(hours));
                let what = format!("{} {to}", run.side);
                out.extend(g.mutant(what, swap_in(g, run, &from, &to), &places(g, e)));
            }
        }
    }
    out
}

fn one_side(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    blocks(g)
        .filter(|e| pairs(e))
        .flat_map(|e| {
            e.runs.iter().filter_map(|r| g.remove(r.place, &places(g, e))).collect::<Vec<_>>()
        })
        .collect()
}

fn no_hook(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for e in blocks(g) {
        for run in &e.runs {
            for tooth in run.teeth.iter().filter(|t| t.position() == 3) {
                for position in [4, 5] {
                    let to = tooth.code() / 10 * 10 + position;
                    let there = g.arches().iter().any(|a| {
                        a.bonded.keys().any(|t| t.code() == to)
                            && !a.hooks.iter().any(|t| t.code() == to)
                    });
                    let posts = run.teeth.iter().any(|t| t.code() == to);
                    if !there || posts {
                        continue;
                    }
                    let edits = swap_in(g, run, &tooth.code().to_string(), &to.to_string());
                    out.extend(g.mutant(
                        format!("{} becomes {to}", tooth.code()),
                        edits,
                        &places(g, e),
                    ));
                }
            }
        }
    }
    out
}

fn across(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for e in blocks(g) {
        for run in &e.runs {
            let tooth = one(rng, &run.teeth);
            let to = tooth.mirror().code();
            let edits = swap_in(g, run, &tooth.code().to_string(), &to.to_string());
            out.extend(g.mutant(
                format!("{} {} becomes {to}", run.side, tooth.code()),
                edits,
                &places(g, e),
            ));
        }
    }
    out
}

fn overdone(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    for e in case.elastics.iter().filter(|e| e.kind == ElasticsKind::Class2) {
        let mut also = places(g, e);
        also.extend(g.visits());
        let small = one(rng, &["0.5 mm", "1 mm"]);
        if let Some((_, place)) = &e.until {
            out.extend(g.replace(place.span, &format!("until overjet {small}"), &also));
        }
        let written = case
            .visits
            .iter()
            .rev()
            .find_map(|v| v.bite.overjet.as_ref())
            .or(case.bite.overjet.as_ref());
        if let Some((_, place)) = written {
            out.extend(g.replace(place.span, &format!("overjet {small}"), &also));
        }
    }
    out
}

fn not_worn(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    let [.., a, b] = case.visits.as_slice() else { return out };
    let Some(e) = case.elastics.last() else { return out };
    for words in ["wear none", "wear right none, left none", "wear left none"] {
        let mut edits = Vec::new();
        for visit in [a, b] {
            let said = g.lines().find(|l| {
                l.keyword() == Some("wear")
                    && l.parent().is_some_and(|p| p.span().start == visit.place.span.start)
            });
            edits.extend(match said {
                Some(line) => g.texts.replace(line.place(), words).unwrap_or_default(),
                None => g.texts.add_inside(visit.place, &[words.to_owned()]).unwrap_or_default(),
            });
        }
        let mut also = places(g, e);
        also.extend(g.visits());
        out.extend(g.mutant(format!("{words}, twice"), Some(edits), &also));
    }
    out
}

fn endless(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for e in blocks(g) {
        let mut edits = Vec::new();
        let step = e.until_step.as_ref().map(|u| u.1);
        let measure = e.until.as_ref().map(|u| u.1);
        let longest = e.longest.as_ref().map(|l| l.1);
        for place in [step, measure, longest].into_iter().flatten() {
            edits.extend(g.texts.remove(place).unwrap_or_default());
        }
        out.extend(g.mutant("neither until nor longest", Some(edits), &places(g, e)));
        if let Some((_, place)) = &e.longest {
            let weeks = rng.u32(27..=56);
            out.extend(g.replace(place.span, &format!("longest {weeks} wk"), &places(g, e)));
        }
    }
    out
}
