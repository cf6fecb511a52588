//! Figures with the wrong unit, none, or a moved point.

use fastrand::Rng;
use springline_lang::syntax::{Amount, StatementRef};
use springline_lang::text::Span;
use springline_lang::units::quantity::{Dimension, Unit, plain};

use super::one;
use crate::faults::sound_case::SoundCase;
use crate::faults::{Mutant, Operator};

const PLACE: &str = "the changed line; where the figure says where a tooth stands, the steps that take it into a wire";

pub const OPERATORS: &[Operator] = &[
    Operator {
        name: "millimetres written as inches",
        families: &["unit"],
        criterion: "a length keeps its number and gets `in` for `mm`: 25.4 times as long",
        place: PLACE,
        make: inches,
        known: "",
    },
    Operator {
        name: "decimal point moved",
        families: &["unit", "force", "space"],
        criterion: "a length of 1 mm or an angle of 10 deg or more is ten times as large",
        place: PLACE,
        make: ten_times,
        known: "",
    },
    Operator {
        name: "unit left out",
        families: &["unit", "syntax"],
        criterion: "a quantity has no unit",
        place: PLACE,
        make: no_unit,
        known: "",
    },
    Operator {
        name: "unit of another dimension",
        families: &["unit", "syntax"],
        criterion: "a length in degrees, an angle in millimetres, a time in grams or a force in weeks",
        place: PLACE,
        make: other_dimension,
        known: "",
    },
    Operator {
        name: "hours written as minutes",
        families: &["unit"],
        criterion: "elastics are worn for as many minutes a day as they should be hours",
        place: PLACE,
        make: minutes,
        known: "",
    },
    Operator {
        name: "decimal comma",
        families: &["unit", "syntax"],
        criterion: "a figure is written with a decimal comma, which separates statements' parts here",
        place: PLACE,
        make: comma,
        known: "",
    },
    Operator {
        name: "figure with a minus",
        families: &["unit", "syntax"],
        criterion: "a figure has a minus sign; a direction is a word here",
        place: PLACE,
        make: minus,
        known: "",
    },
];

/// A number with its unit as it stands in the text.
#[derive(Clone, Copy)]
struct Figure {
    value: f64,
    number: Span,
    unit: Unit,
    unit_span: Span,
}

/// Single figures with a unit, on lines that read.
fn figures(g: &SoundCase) -> Vec<Figure> {
    let mut out = Vec::new();
    for line in g.lines().filter(|l| l.is_read() && !is_accept(l)) {
        for item in line.items() {
            let Some(m) = item.measure() else { continue };
            let Amount { value, span, unit: Some(mark), is_fraction: false } = m.first else {
                continue;
            };
            if m.second.is_none() {
                out.push(Figure { value, number: span, unit: mark.unit, unit_span: mark.span });
            }
        }
    }
    out
}

/// What an accept covers is checked against the finding, not against the world.
fn is_accept(line: &StatementRef<'_>) -> bool {
    line.keyword() == Some("accept")
}

fn dimension(f: &Figure) -> Dimension {
    f.unit.dimension()
}

fn inches(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mm = |f: &Figure| f.unit == Unit::Mm && f.value > 0.1;
    figures(g).into_iter().filter(mm).filter_map(|f| g.replace(f.unit_span, "in", &[])).collect()
}

fn ten_times(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for f in figures(g) {
        let large = match f.unit {
            // A coil's length in the drawer is bounded only by its card.
            Unit::Mm => f.value >= 1.0 && !g.base.is_house,
            Unit::Deg => f.value >= 10.0,
            _ => false,
        };
        if large {
            let also: Vec<Span> = g.open.iter().flat_map(|at| g.lines_of(*at)).collect();
            out.extend(g.replace(f.number, &plain(f.value * 10.0), &also));
        }
    }
    out
}

fn no_unit(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    figures(g)
        .into_iter()
        .filter_map(|f| {
            let gap = Span { start: f.number.end, end: f.unit_span.end };
            g.replace(gap, "", &[])
        })
        .collect()
}

fn other_dimension(g: &SoundCase, rng: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for f in figures(g) {
        let by = match dimension(&f) {
            Dimension::Length => one(rng, &["deg", "g", "wk"]),
            Dimension::Angle => one(rng, &["mm", "g"]),
            Dimension::Time => one(rng, &["mm", "g", "deg"]),
            Dimension::Force => one(rng, &["mm", "wk", "deg"]),
            _ => continue,
        };
        out.extend(g.replace(f.unit_span, by, &[]));
    }
    out
}

fn minutes(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    let mut out = Vec::new();
    for f in figures(g).into_iter().filter(|f| f.unit == Unit::H && f.value >= 8.0) {
        out.extend(g.replace(f.unit_span, "min", &[]));
    }
    out
}

fn comma(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    figures(g)
        .into_iter()
        .filter_map(|f| {
            let text = g.checked.parse.text(f.number);
            text.contains('.').then(|| g.replace(f.number, &text.replace('.', ","), &[]))?
        })
        .collect()
}

fn minus(g: &SoundCase, _: &mut Rng) -> Vec<Mutant> {
    figures(g)
        .into_iter()
        .filter_map(|f| g.replace(f.number, &format!("-{}", g.checked.parse.text(f.number)), &[]))
        .collect()
}

/// Every number of the lines with that keyword: its place, its unit's place, value and unit.
pub(super) fn quantities(g: &SoundCase, keyword: &str) -> Vec<(Span, Span, f64, Unit)> {
    let mut out = Vec::new();
    for line in g.lines().filter(|l| l.is_read() && l.keyword() == Some(keyword)) {
        for item in line.items() {
            let Some(m) = item.measure() else { continue };
            for amount in [Some(m.first), m.second].into_iter().flatten() {
                let Some(mark) = amount.unit.or(m.unit()) else { continue };
                out.push((amount.span, mark.span, amount.value, mark.unit));
            }
        }
    }
    out
}
