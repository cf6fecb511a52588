//! Lengths that staff cut: coils and sleeves.

use super::plan::InMouth;
use springline_course::CoilSpring;
use springline_model::step::Activation;
use springline_model::stock::Coil;
use springline_units::tooth::Tooth;

/// Half millimetres are what can be cut.
fn to_half(value: f64) -> f64 {
    (value * 2.0).round() / 2.0
}

/// From bracket to bracket between two teeth, mm, when the step begins.
fn bracket_gap_mm(here: &InMouth<'_>, a: Tooth, b: Tooth) -> Option<f64> {
    here.phase.layout.free_wire_mm(a, b).filter(|gap| *gap > 0.0)
}

/// One bracket width, mm.
const BRACKET_MM: f64 = 3.0;

/// How long to cut an open coil, mm: the gap between the brackets and what it is pressed by. Where
/// the plan says neither amount nor force, one bracket width more than the gap.
///
/// Source of the last: house rule of gap plus one to one and a half bracket widths (common
/// practice, no source).
pub fn open_coil_cut_mm(
    here: &InMouth<'_>,
    (a, b): (Tooth, Tooth),
    coil: Option<&Coil>,
    activation: Activation,
) -> Option<f64> {
    let gap = bracket_gap_mm(here, a, b)?;
    let pressed = match activation {
        Activation::Unsaid => BRACKET_MM,
        _ => CoilSpring::of(coil, &activation).map_or(0.0, |spring| spring.pressed_mm),
    };
    Some(to_half(gap + pressed))
}

pub fn sleeve_cut_mm(here: &InMouth<'_>, a: Tooth, b: Tooth) -> Option<f64> {
    // A little shorter than the span, so that it does not push the brackets apart.
    bracket_gap_mm(here, a, b).map(|gap| to_half((gap - 0.5).max(0.5)))
}
