//! Rules about where the wire can slide.

pub mod travel;

mod gap_can_open;
mod hard_cinch;
mod locked;
pub mod midline;
mod midline_wrong_way;
mod nothing_holds;
mod stop_beside_bypass;
mod stop_blocks;
mod stop_slips;
mod stop_without_gap;

use super::register::Rule;
use super::{RuleContext, Trees};
use springline_course::Forecast;
use springline_model::Case;
use springline_units::tooth::{Arch, Side};
use travel::{SlideLimit, Sliding, StopUse, SurplusExit};

/// The effect of a step's stops, in words, for card and hover.
pub fn stops_say(case: &Case, forecast: &Forecast, arch: Arch, step: usize) -> Vec<String> {
    with_sliding(case, forecast, arch, step, |wire, words| {
        wire.uses().into_iter().map(|u: StopUse| u.say(words)).collect()
    })
    .unwrap_or_default()
}

/// How far the wire of a step can shift to each side and what ends that; and which way it comes out as
/// teeth align.
pub fn slide_says(case: &Case, forecast: &Forecast, arch: Arch, step: usize) -> Vec<String> {
    with_sliding(case, forecast, arch, step, |wire, words| {
        let mut out: Vec<String> =
            [Side::Right, Side::Left].into_iter().map(|way| shifts(wire, way, words)).collect();
        out.extend(comes_out(wire, words));
        out
    })
    .unwrap_or_default()
}

fn with_sliding<T>(
    case: &Case,
    forecast: &Forecast,
    arch: Arch,
    step: usize,
    tell: impl Fn(&Sliding, super::words::Words) -> T,
) -> Option<T> {
    let trees = Trees::default();
    let judged = RuleContext { case, forecast, today: None, trees: &trees };
    let view = judged.step_view(arch, step)?;
    let wire = Sliding::of(&view);
    (wire.brackets.len() > 1).then(|| tell(&wire, judged.words()))
}

fn shifts(wire: &Sliding, way: Side, words: super::words::Words) -> String {
    use super::words::say_mm;
    let shift = wire.shift(way);
    let far = say_mm(shift.travel_mm);
    match shift.met {
        SlideLimit::Stop { stop, against } => format!(
            "to the patient's {way} it can shift {far}, until the stop {} meets {}",
            words.spot(stop.spot.along, stop.spot.tooth),
            words.tooth(against)
        ),
        SlideLimit::End { .. } => format!(
            "to the patient's {way} it can shift {far}, until its {} end lies against the tube",
            travel::other(way)
        ),
        SlideLimit::Nothing => {
            format!(
                "to the patient's {way} nothing stops it before its {} end leaves the tube",
                travel::other(way)
            )
        }
    }
}

fn comes_out(wire: &Sliding, words: super::words::Words) -> Option<String> {
    use super::words::say_mm;
    let all: f64 = wire.sources.iter().map(|s| s.gives_mm).sum();
    if all < travel::LITTLE_MM {
        return None;
    }
    let teeth: Vec<_> = wire.sources.iter().map(|s| s.tooth).collect();
    let from = format!("aligning {} releases {} of wire", words.teeth(&teeth), say_mm(all));
    Some(match wire.expression() {
        SurplusExit::Nothing => return None,
        SurplusExit::Both => format!("{from}, at both ends"),
        SurplusExit::Only(side) => format!("{from}, all of it on the patient's {side}"),
        SurplusExit::Locked(tooth) => {
            format!("{from}, and what {} releases cannot exit", words.tooth(tooth))
        }
    })
}

pub const RULES: &[&Rule] = &[
    &nothing_holds::RULE,
    &stop_blocks::RULE,
    &locked::RULE,
    &stop_beside_bypass::RULE,
    &stop_without_gap::RULE,
    &stop_slips::RULE,
    &hard_cinch::RULE,
    &gap_can_open::RULE,
    &midline_wrong_way::RULE,
];
