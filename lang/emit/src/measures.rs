//! Lengths that the assistant cuts: coils, sleeves.

use super::plan::InMouth;
use springline_course::CoilSpring;
use springline_model::case::ArchCase;
use springline_model::step::Activation;
use springline_model::stock::Coil;
use springline_units::anatomy::crown_width_mm;
use springline_units::quantity::mm;
use springline_units::tooth::Tooth;

/// Half millimetres are what can be cut.
fn to_half(value: f64) -> f64 {
    (value * 2.0).round() / 2.0
}

/// From bracket to bracket between two teeth, mm, when the step begins.
pub fn bracket_gap_mm(arch: &ArchCase, here: &InMouth<'_>, a: Tooth, b: Tooth) -> Option<f64> {
    let stretch = a.stretch(b)?;
    let inner = stretch.get(1..stretch.len().checked_sub(1)?)?;
    let width = |t: Tooth| {
        let stand = arch.stands.get(&t).and_then(|s| s.width);
        stand.map_or_else(|| crown_width_mm(t), mm)
    };
    let bracket = |t: Tooth| {
        let bonding = here.state.tooth(t).and_then(|s| s.bonding.as_ref());
        bonding.and_then(|b| b.bracket.width.of(t)).map_or(3.0, mm)
    };
    let written = arch
        .gaps
        .iter()
        .find(|g| (g.first == a && g.second == b) || (g.first == b && g.second == a));
    let between: f64 = match written {
        Some(gap) => mm(gap.length),
        None => inner
            .iter()
            .map(|t| {
                let account = here.phase.room.site(*t).map(|s| s.space_in_mm);
                let stand = arch.stands.get(t).and_then(|s| s.space).map(mm);
                account.or(stand).unwrap_or_else(|| width(*t))
            })
            .sum(),
    };
    let gap = (width(a) + width(b)) / 2.0 + between - (bracket(a) + bracket(b)) / 2.0;
    (gap > 0.0).then_some(gap)
}

/// One bracket width, mm.
const BRACKET_MM: f64 = 3.0;

/// How long to cut an open coil, mm: the gap between the brackets and what it is pressed by. Where
/// the plan says neither amount nor force, one bracket width more than the gap.
///
/// Source of the last: house rule of gap plus one to one and a half bracket widths (common
/// practice, no source).
pub fn open_coil_cut_mm(
    arch: &ArchCase,
    here: &InMouth<'_>,
    (a, b): (Tooth, Tooth),
    coil: Option<&Coil>,
    activation: Activation,
) -> Option<f64> {
    let gap = bracket_gap_mm(arch, here, a, b)?;
    let pressed = match activation {
        Activation::Unsaid => BRACKET_MM,
        _ => CoilSpring::of(coil, &activation).map_or(0.0, |spring| spring.pressed_mm),
    };
    Some(to_half(gap + pressed))
}

pub fn sleeve_cut_mm(arch: &ArchCase, here: &InMouth<'_>, a: Tooth, b: Tooth) -> Option<f64> {
    // A little shorter than the span, so that it does not push the brackets apart.
    bracket_gap_mm(arch, here, a, b).map(|gap| to_half((gap - 0.5).max(0.5)))
}

/// From the middle of one tooth to the middle of another, along their crowns and the gaps between
/// them, mm.
pub fn span_mm(arch: &ArchCase, a: Tooth, b: Tooth) -> Option<f64> {
    let stretch = a.stretch(b)?;
    let width = |t: &Tooth| {
        let stand = arch.stands.get(t).and_then(|s| s.width);
        stand.map_or_else(|| crown_width_mm(*t), mm)
    };
    let here = |t: &&Tooth| arch.states.get(*t).is_none_or(|(s, _)| !s.is_absent());
    let whole: f64 = stretch.iter().filter(here).map(width).sum();
    let (first, last) = (stretch.first()?, stretch.last()?);
    let inside = |g: &&springline_model::case::Gap| {
        stretch.contains(&g.first) && stretch.contains(&g.second)
    };
    let gaps: f64 = arch.gaps.iter().filter(inside).map(|g| mm(g.length)).sum();
    Some(whole - (width(first) + width(last)) / 2.0 + gaps)
}
