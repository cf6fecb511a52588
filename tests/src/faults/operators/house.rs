//! Values of the house file mistyped: every case of the practice would be judged by them.

use fastrand::Rng;
use springline_lang::syntax::PlaceholderKind;
use springline_lang::text::Span;
use springline_lang::units::quantity::{Unit, plain};

use super::unit::quantities;
use crate::faults::sound_case::SoundCase;
use crate::faults::{Mutant, Operator};

const PLACE: &str = "the changed line";

pub const OPERATORS: &[Operator] = &[
    Operator {
        name: "drawer: inches written as millimetres",
        families: &["unit"],
        criterion: "a wire's section or a slot keeps its number and gets `mm` for `in`: a 25th of its size",
        place: PLACE,
        make: sections_in_mm,
        known: "",
    },
    Operator {
        name: "drawer: point of a section moved",
        families: &["unit"],
        criterion: "a side of a wire's section or of a slot is ten times too large or too small",
        place: PLACE,
        make: sections_ten_times,
        known: "",
    },
    Operator {
        name: "drawer: ounces written as grams",
        families: &["unit"],
        criterion: "an elastic keeps its number and gets `g` for `oz`: a 28th of its force",
        place: PLACE,
        make: ounces_as_grams,
        known: "",
    },
    Operator {
        name: "drawer: grams written as ounces or newtons",
        families: &["unit"],
        criterion: "a coil or chain keeps its number and gets `oz` or `N` for `g`: 28 or 102 times its force",
        place: PLACE,
        make: grams_as_ounces,
        known: "",
    },
    Operator {
        name: "house: limit in another unit",
        families: &["unit"],
        criterion: "the chart limit of the house is written in ounces or newtons with its number in grams",
        place: PLACE,
        make: limits,
        known: "",
    },
    Operator {
        name: "house: friction mistyped",
        families: &["unit", "syntax"],
        criterion: "a coefficient of friction is over 1, or has no unit or another one: no wire slides so in a slot",
        place: PLACE,
        make: friction,
        known: "",
    },
    Operator {
        name: "house: interval mistyped",
        families: &["unit", "name", "syntax", "time"],
        criterion: "the house's interval is written the wrong way round, in months, or with a nought too many",
        place: PLACE,
        make: interval,
        known: "",
    },
    Operator {
        name: "house: time at the chair mistyped",
        families: &["unit"],
        criterion: "the minutes of a task are written as hours or days",
        place: PLACE,
        make: tasks,
        known: "",
    },
    Operator {
        name: "drawer: two things of one name",
        families: &["name"],
        criterion: "a second wire, coil or elastic has the name of the first",
        place: "both lines",
        make: doubled,
        known: "",
    },
    Operator {
        name: "sequence: wire not in the drawer",
        families: &["name"],
        criterion: "a step of a house sequence names a wire that the drawer does not have",
        place: PLACE,
        make: sequence_wire,
        known: "",
    },
    Operator {
        name: "drawer: sides of a section exchanged",
        families: &["unit", "name", "syntax"],
        criterion: "a rectangular section is written with its larger side first, so that it would lie the wrong way in the \
                    slot",
        place: PLACE,
        make: sides,
        known: "",
    },
];

fn only_house(g: &SoundCase, make: impl FnOnce() -> Vec<Mutant>) -> Vec<Mutant> {
    if g.base.is_house { make() } else { Vec::new() }
}

fn sections_in_mm(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    only_house(g, || {
        ["wire", "slot"]
            .into_iter()
            .flat_map(|k| quantities(g, k))
            .filter(|q| q.3 == Unit::In)
            .filter_map(|q| g.replace(q.1, "mm", &[]))
            .collect()
    })
}

fn sections_ten_times(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    only_house(g, || {
        let mut out = Vec::new();
        for (span, _, value, _) in ["wire", "slot"].into_iter().flat_map(|k| quantities(g, k)) {
            for factor in [10.0, 0.1] {
                let by = format!("{:.4}", value * factor);
                out.extend(g.replace(span, by.trim_end_matches('0'), &[]));
            }
        }
        out
    })
}

fn ounces_as_grams(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    only_house(g, || {
        quantities(g, "elastic")
            .into_iter()
            .filter(|q| q.3 == Unit::Oz)
            .filter_map(|q| g.replace(q.1, "g", &[]))
            .collect()
    })
}

fn grams_as_ounces(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    only_house(g, || {
        let mut out = Vec::new();
        for (_, unit, _, _) in
            ["coil", "chain"].into_iter().flat_map(|k| quantities(g, k)).filter(|q| q.3 == Unit::G)
        {
            for by in ["oz", "N"] {
                out.extend(g.replace(unit, by, &[]));
            }
        }
        out
    })
}

fn limits(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    only_house(g, || {
        let mut out = Vec::new();
        for (_, unit, _, _) in quantities(g, "limit").into_iter().filter(|q| q.3 == Unit::G) {
            for by in ["N", "oz"] {
                out.extend(g.replace(unit, by, &[]));
            }
        }
        out
    })
}

fn interval(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    only_house(g, || {
        let mut out = Vec::new();
        for line in g.lines().filter(|l| l.keyword() == Some("interval")) {
            for by in [
                "interval 12..4 wk",
                "interval 4..12 mo",
                "interval 4..120 wk",
                "interval 40..12 wk",
                "interval 4..12 h",
            ] {
                out.extend(g.replace(line.span(), by, &[]));
            }
        }
        out
    })
}

fn friction(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    only_house(g, || {
        let mut out = Vec::new();
        for line in g.lines().filter(|l| l.keyword() == Some("interval")) {
            for by in [
                "friction steel 1.5 times",
                "friction steel 15 %",
                "friction niti 0.16",
                "friction beta-titanium 3.5 times, between 0.2 times and 0.45 times",
                "friction cobalt-chromium 0.16 mm",
            ] {
                out.extend(g.replace(line.span(), &format!("{}\n{by}", line.text()), &[]));
            }
        }
        out
    })
}

fn tasks(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    only_house(g, || {
        let mut out = Vec::new();
        for (_, unit, _, _) in quantities(g, "task") {
            for by in ["h", "d"] {
                out.extend(g.replace(unit, by, &[]));
            }
        }
        out
    })
}

fn doubled(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    only_house(g, || {
        let mut out = Vec::new();
        for kind in ["wire", "coil", "elastic", "chain"] {
            let lines: Vec<_> =
                g.lines().filter(|l| l.keyword() == Some(kind) && l.parent().is_none()).collect();
            for pair in lines.windows(2) {
                let name = |i: usize| pair[i].holes(PlaceholderKind::Name).next();
                if let (Some(first), Some(second)) = (name(0), name(1)) {
                    out.extend(g.replace(second.span(), first.text(), &[first.span()]));
                }
            }
        }
        out
    })
}

fn sequence_wire(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    only_house(g, || {
        let mut out = Vec::new();
        for line in g.lines().filter(|l| l.keyword() == Some("step")) {
            for name in line.holes(PlaceholderKind::Name).filter(|c| c.slot.label == "wire") {
                for by in ["niti-20", "steel-21x25", "niti-1425"] {
                    out.extend(g.replace(name.span(), by, &[]));
                }
            }
        }
        out
    })
}

fn sides(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    only_house(g, || {
        let mut out = Vec::new();
        for line in g.lines().filter(|l| matches!(l.keyword(), Some("wire"))) {
            for item in line.items() {
                let Some(m) = item.measure() else { continue };
                let Some(second) = m.second else { continue };
                let (a, b) = (plain(m.first.value), plain(second.value));
                let span = Span { start: m.first.span.start, end: second.span.end };
                out.extend(g.replace(span, &format!("{b} x {a}"), &[]));
            }
        }
        out
    })
}
