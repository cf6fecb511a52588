//! Hover on a figure: its value in every unit.

use springline_lang::syntax::{ItemAt, ItemShape, Measure};
use springline_lang::units::quantity::{Quantity, Unit, plain};

use crate::analysed_file::AnalysedFile;

pub fn hover(_facts: AnalysedFile<'_>, at: &ItemAt<'_>, measure: &Measure) -> Option<String> {
    let first = measure.first_quantity()?;
    let mut lines = vec![written(measure)?];
    lines.extend(
        others(first.unit)
            .filter_map(|unit| converted(measure, unit))
            .map(|text| format!("= {text}")),
    );
    if let Some(slot) = at.slot
        && let Some(dimension) = slot.hole.dimension()
    {
        let what = slot.label.replace('-', " ");
        let described = dimension.describe();
        let plain = slot.label == slot.hole.label();
        if !plain && !described.ends_with(&what) {
            lines.push(format!("{what}: {described}"));
        }
    }
    Some(lines.join("  \n"))
}

/// Units worth reading it in, without its own.
fn others(own: Unit) -> impl Iterator<Item = Unit> {
    Unit::ALL.into_iter().filter(move |unit| {
        *unit != own && unit.dimension() == own.dimension() && is_readable(*unit)
    })
}

/// Minutes are useless for a treatment of months.
fn is_readable(unit: Unit) -> bool {
    !matches!(unit, Unit::Min | Unit::H)
}

fn written(measure: &Measure) -> Option<String> {
    let unit = measure.first_quantity()?.unit;
    converted(measure, unit).map(|text| format!("**{text}**"))
}

fn converted(measure: &Measure, unit: Unit) -> Option<String> {
    let first = figure(measure.first_quantity()?, unit)?;
    let second = match measure.second_quantity() {
        Some(second) => Some(figure(second, unit)?),
        None => None,
    };
    Some(match (measure.shape, second) {
        (ItemShape::Range, Some(second)) => format!("{first}..{second} {unit}"),
        (ItemShape::Dims, Some(second)) => format!("{first} \u{d7} {second} {unit}"),
        _ => format!("{first} {unit}"),
    })
}

fn figure(quantity: Quantity, unit: Unit) -> Option<String> {
    quantity.in_unit(unit).map(round)
}

/// Four significant figures: as many as any of these quantities is known to.
fn round(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return plain(value);
    }
    let digits = 3 - value.abs().log10().floor() as i32;
    let scale = 10f64.powi(digits);
    plain((value * scale).round() / scale)
}
