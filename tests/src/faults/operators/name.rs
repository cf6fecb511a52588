//! Names and teeth that are not there, or not on that side.

use fastrand::Rng;
use springline_lang::model::step::ActKind;
use springline_lang::syntax::PlaceholderKind;
use springline_lang::text::Span;
use springline_lang::units::tooth::Tooth;

use super::one;
use crate::faults::sound_case::SoundCase;
use crate::faults::{Mutant, Operator};

pub const OPERATORS: &[Operator] = &[
    Operator {
        name: "wire not in the drawer",
        families: &["name"],
        criterion: "a wire's name has two characters exchanged or one left out, and the drawer has none of that name",
        place: "the changed line",
        make: wire,
        known: "",
    },
    Operator {
        name: "name misspelt",
        families: &["name", "record"],
        criterion: "a bracket, coil, elastic, sequence, step or house is named as there is none; or a step is given \
                    another name than the one by which the plan or a record goes on to call it. (A step that nothing \
                    else names may be called anything.)",
        place: "the changed line, and where it is a step's own the lines that name it",
        make: other_names,
        known: "",
    },
    Operator {
        name: "tooth of the other jaw",
        families: &["name"],
        criterion: "a statement of one arch names a tooth of the other",
        place: "the changed line",
        make: other_jaw,
        known: "",
    },
    Operator {
        name: "no such tooth",
        families: &["name", "syntax", "unit"],
        criterion: "a tooth is written 19, 09 or 90, which no notation of this house has",
        place: "the changed line",
        make: no_such_tooth,
        known: "",
    },
    Operator {
        name: "one tooth of two on the other side",
        families: &["name", "order", "space", "slide"],
        criterion: "a coil, closing spring, laceback, sleeve or piggyback names one of its teeth on the other side, so that \
                    it runs across the mouth",
        place: "the changed line and the other lines of that step, which name the same teeth",
        make: half_mirrored,
        known: "",
    },
    Operator {
        name: "tooth told twice",
        families: &["name"],
        criterion: "a tooth is described twice with different figures",
        place: "both lines",
        make: told_twice,
        known: "",
    },
    Operator {
        name: "absent tooth in the appliance",
        families: &["name"],
        criterion: "a tooth that carries a bracket is said to be missing or taken out",
        place: "the added line and the lines that bond teeth",
        make: absent,
        known: "",
    },
];

/// Names of a kind in the text, with their place.
fn names<'g>(g: &'g SoundCase, label: &'g str) -> Vec<(Span, &'g str)> {
    g.lines()
        .filter(|l| l.is_read())
        .flat_map(|l| l.holes(PlaceholderKind::Name).collect::<Vec<_>>())
        .filter(|c| c.slot.label == label)
        .map(|c| (c.span(), c.text()))
        .collect()
}

/// Two neighbouring characters exchanged, or one left out; never twice the same.
fn misspelt(name: &str, rng: &mut Rng) -> Option<String> {
    let chars: Vec<char> = name.chars().collect();
    if chars.len() < 3 {
        return None;
    }
    let mut out = chars.clone();
    let at = rng.usize(1..chars.len() - 1);
    if rng.bool() && chars[at] != chars[at + 1] && chars[at] != '-' && chars[at + 1] != '-' {
        out.swap(at, at + 1);
    } else if chars[at] != '-' {
        out.remove(at);
    } else {
        return None;
    }
    let out: String = out.into_iter().collect();
    let plain = out.chars().all(|c| c.is_alphanumeric() || c == '-') && !out.ends_with('-');
    (out != name && plain && !out.contains("--")).then_some(out)
}

fn wire(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    for (span, name) in names(g, "wire") {
        for _ in 0..2 {
            let Some(by) = misspelt(name, rng) else { continue };
            if !case.house.wires.contains_key(by.as_str()) {
                out.extend(g.replace(span, &by, &[]));
            }
        }
    }
    out
}

fn other_names(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    let Some(case) = g.case() else { return out };
    for label in ["bracket", "coil", "elastic", "sequence", "step", "house"] {
        let all = names(g, label);
        for (span, name) in all.iter().copied() {
            // Where its own name is misspelt the fault shows where it is called by it.
            let others: Vec<Span> =
                all.iter().filter(|(s, n)| *n == name && *s != span).map(|(s, _)| *s).collect();
            if own_names(g).contains(&span) && others.is_empty() {
                continue;
            }
            let Some(by) = misspelt(name, rng) else { continue };
            let house = &case.house;
            let there = house.brackets.contains_key(by.as_str())
                || house.coils.contains_key(by.as_str())
                || house.elastics.contains_key(by.as_str())
                || house.sequences.contains_key(by.as_str())
                || case.arches.iter().flat_map(|a| &a.steps).any(|s| s.name.as_ref() == by);
            let record = g.visits().iter().any(|v| v.range().contains(&(span.start as usize)));
            // A record that names another step is the plan's business, and has its own operator.
            if !there && !record {
                out.extend(g.replace(span, &by, &others));
            }
        }
    }
    out
}

/// Where steps are given their names.
fn own_names(g: &SoundCase) -> Vec<Span> {
    g.lines()
        .filter(|l| l.is_read() && l.keyword() == Some("step"))
        .flat_map(|l| l.holes(PlaceholderKind::Name).collect::<Vec<_>>())
        .filter(|c| c.slot.label == "step" && c.slot.defines)
        .map(|c| c.span())
        .collect()
}

/// Single teeth in statements of the two arches.
fn single_teeth(g: &SoundCase) -> Vec<(Span, Tooth)> {
    let arches: Vec<Span> = g
        .lines()
        .filter(|l| matches!(l.keyword(), Some("upper" | "lower")) && l.parent().is_none())
        .map(|l| l.whole_span())
        .collect();
    let inside = |s: &Span| arches.iter().any(|a| a.range().contains(&(s.start as usize)));
    g.lines()
        .filter(|l| l.is_read() && inside(&l.span()))
        .filter(|l| {
            !matches!(
                l.keyword(),
                Some("accept" | "bite-raisers" | "extract" | "missing" | "unerupted")
            )
        })
        .flat_map(|l| {
            l.holes(PlaceholderKind::Tooth)
                .chain(l.holes(PlaceholderKind::Teeth))
                .collect::<Vec<_>>()
        })
        .flat_map(|c| c.teeth().collect::<Vec<_>>())
        .filter(|t| t.last.is_none())
        .filter_map(|t| Some((t.first, Tooth::parse(g.checked.parse.text(t.first))?)))
        .collect()
}

fn other_jaw(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    single_teeth(g)
        .into_iter()
        .filter_map(|(span, tooth)| {
            let (quadrant, position) = (tooth.code() / 10, tooth.code() % 10);
            (quadrant <= 4).then(|| g.replace(span, &format!("{}{position}", 5 - quadrant), &[]))?
        })
        .collect()
}

fn no_such_tooth(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    single_teeth(g)
        .into_iter()
        .filter_map(|(span, _)| g.replace(span, one(rng, &["19", "09", "90"]), &[]))
        .collect()
}

fn half_mirrored(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for at in g.open.iter().copied() {
        let acts = g.acts(at, |a| {
            matches!(
                a.kind,
                ActKind::OpenCoil { .. }
                    | ActKind::ClosedCoil { .. }
                    | ActKind::ClosingCoil { .. }
                    | ActKind::Laceback { .. }
                    | ActKind::Sleeve { .. }
                    | ActKind::Piggyback { .. }
            )
        });
        for act in acts {
            let text = g.checked.parse.text(act.place.span).to_owned();
            for tooth in act.kind.teeth() {
                // A light wire tied over one front tooth farther on still holds the tooth between: no slip
                // that harms. Nor does one that lands on the other side's neighbour.
                let overlay = matches!(act.kind, ActKind::Piggyback { .. });
                let others = act.kind.teeth();
                let next = others.iter().any(|t| *t == tooth.mirror());
                if overlay && tooth.position() == 1 || next {
                    continue;
                }
                let (from, to) = (tooth.code().to_string(), tooth.mirror().code().to_string());
                let Some(found) = text.find(&from) else { continue };
                let start = act.place.span.start as usize + found;
                out.extend(g.replace(Span::new(start, start + 2), &to, &g.lines_of(at)));
            }
        }
    }
    out
}

fn told_twice(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for arch in g.arches() {
        for (tooth, stand) in &arch.stands {
            let Some((_, place)) = stand.value.in_out.zip(stand.place) else { continue };
            let text = g.checked.parse.text(place.span);
            let word =
                ["palatal", "lingual", "labial", "buccal"].into_iter().find(|w| text.contains(w));
            let Some(word) = word else { continue };
            let line =
                format!("tooth {} {word} {} mm", tooth.code(), one(rng, &["0.5", "2.5", "3"]));
            out.extend(g.mutant(line.clone(), g.before_steps(arch, &line), &[place.span]));
        }
    }
    out
}

fn absent(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for arch in g.arches() {
        let bonds: Vec<Span> = arch.bonded.values().map(|b| b.place.span).collect();
        for tooth in arch.bonded.keys() {
            let word = one(rng, &["missing", "extracted", "unerupted"]);
            // A range leaves such a tooth out of itself; one that is named cannot.
            let named = g.lines().any(|l| {
                matches!(l.keyword(), Some("bonded" | "tubes" | "banded"))
                    && l.holes(PlaceholderKind::Teeth).any(|c| {
                        c.teeth().any(|t| {
                            t.last.is_none()
                                && g.checked.parse.text(t.first) == tooth.code().to_string()
                        })
                    })
            });
            if named {
                let line = format!("{word} {}", tooth.code());
                out.extend(g.mutant(line.clone(), g.before_steps(arch, &line), &bonds));
            }
        }
    }
    out
}
