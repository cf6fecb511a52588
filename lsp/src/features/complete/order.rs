//! Ranking of completions: by the habits of this practice's plans, and by what this place of this plan
//! needs.

use springline_lang::model::stock::CoilKind;
use springline_lang::syntax::{Expected, PlaceholderKind};
use springline_lang::units::tooth::{Arch, Tooth};

use super::{CompletionSite, Offer, OfferKind};
use crate::features::habits::{self, HabitTokenKind};

/// Default order in a block without known habits.
const USUAL: [&str; 14] = [
    "springline",
    "case",
    "use",
    "doctor",
    "start",
    "patient",
    "bite",
    "goal",
    "upper",
    "lower",
    "bonded",
    "tubes",
    "tooth",
    "follow",
];

/// Likeliest first; what counts the same stays in the order it came in.
pub fn sort(scene: &CompletionSite<'_>, place: &Expected, out: &mut Vec<Offer>) {
    let mut scored: Vec<(f64, Offer)> =
        out.drain(..).map(|offer| (score(scene, place, &offer), offer)).collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0));
    out.extend(scored.into_iter().map(|(_, offer)| offer));
}

fn score(scene: &CompletionSite<'_>, place: &Expected, offer: &Offer) -> f64 {
    let written = offer.insert.trim_start();
    match offer.kind {
        OfferKind::Snippet if scene.is_empty() => 20.0,
        OfferKind::Snippet => -2.0,
        OfferKind::Finding => 0.0,
        // Dates have their own order; where a time is allowed too, times are more common.
        OfferKind::Date if place.slots.iter().any(|s| s.hole == PlaceholderKind::Times) => -1.0,
        OfferKind::Date => 0.05,
        OfferKind::Tooth => scene.expects(written) + tooth(scene, place, written),
        OfferKind::Name => scene.expects(written) + name(scene, place, offer),
        OfferKind::Keyword if place.starts_statement => {
            let usual =
                USUAL.iter().position(|w| *w == written).map_or(0.0, |i| 0.1 - 0.001 * i as f64);
            scene.expects(written) + usual - scene.said_already(written)
        }
        OfferKind::Keyword => scene.expects(written) + due(scene, place, written),
        OfferKind::Figure | OfferKind::Unit => scene.expects(written),
    }
}

/// What this visit's card asks for first.
fn due(scene: &CompletionSite<'_>, place: &Expected, word: &str) -> f64 {
    let arch = match place.keyword {
        Some("upper") => Arch::Upper,
        Some("lower") => Arch::Lower,
        _ => return 0.0,
    };
    let last = scene.before.last().map(|t| t.text);
    if word == "now" && last == Some(",") && next_step(scene, arch).is_some() { 1.0 } else { 0.0 }
}

/// A list continues on the other side; a place is given by teeth that are described or near.
fn tooth(scene: &CompletionSite<'_>, place: &Expected, written: &str) -> f64 {
    let Some(tooth) = Tooth::parse(written) else { return 0.0 };
    let nth = |back: usize| scene.before.len().checked_sub(back).map(|i| scene.before[i]);
    let last_tooth = scene.before.iter().rev().find(|t| t.kind == HabitTokenKind::Tooth);
    let last_tooth = last_tooth.and_then(|t| Tooth::parse(t.text));
    let mut out = 0.0;
    if let Some(last) = last_tooth {
        let joins = nth(1).is_some_and(|t| matches!(t.text, "," | ".."));
        // `mesial of 11, mesial of`: the other side of a statement that has two.
        let other_side = mirrored(scene).or(joins.then(|| last.mirror()));
        if other_side == Some(tooth) {
            out += 6.0;
        }
        if tooth == last && scene.place_is_new() {
            out -= 1.0;
        }
        let apart = tooth.place().abs_diff(last.place());
        if tooth.arch() == last.arch() && (1..=2).contains(&apart) {
            out += 0.4 / apart as f64;
        }
    }
    let at_tooth = matches!(nth(1).map(|t| t.text), Some("at" | "crossbite-corrected" | "in"));
    let begins = last_tooth.is_none() && scene.before.len() == 1;
    if (at_tooth || begins && asks_of(place)) && scene.is_of_concern(tooth) {
        out += 1.5;
    }
    let described = scene.analysed.case().and_then(|c| c.arch(tooth.arch()));
    let stands = described.is_some_and(|arch| arch.stands.contains_key(&tooth));
    if stands && asks_of(place) && last_tooth.is_none() {
        out += 2.0;
    }
    out
}

/// A statement about teeth that something is done for, or that were looked at.
fn asks_of(place: &Expected) -> bool {
    matches!(
        place.keyword,
        Some(
            "bypass"
                | "engage"
                | "pick-up"
                | "crossbite"
                | "crossbite-corrected"
                | "upper"
                | "lower"
                | "step"
                | "change"
                | "tooth"
                | "piggyback"
        )
    )
}

/// `laceback 16 to 13, 26 to`, `mesial of 11, mesial of`: after the comma the first half is said again
/// for the other side; its tooth at this place of the half, mirrored.
fn mirrored(scene: &CompletionSite<'_>) -> Option<Tooth> {
    let comma = scene.before.iter().rposition(|t| t.text == ",")?;
    let behind = scene.before.len() - comma - 1;
    let earlier = scene.before[..comma].iter().rposition(|t| t.text == ",").map_or(1, |i| i + 1);
    let half = &scene.before[earlier..comma];
    let same = half.get(behind).filter(|t| t.kind == HabitTokenKind::Tooth)?;
    // What is between two teeth is written from the patient's right to the left, so the halves are
    // reversed.
    let teeth: Vec<&str> =
        half.iter().filter(|t| t.kind == HabitTokenKind::Tooth).map(|t| t.text).collect();
    let turns = half.iter().any(|t| matches!(t.text, "and" | ".."));
    let said = teeth.iter().position(|t| *t == same.text).filter(|_| turns && teeth.len() == 2);
    let same = said.map_or(same.text, |i| teeth[1 - i]);
    Some(Tooth::parse(same)?.mirror())
}

fn name(scene: &CompletionSite<'_>, place: &Expected, offer: &Offer) -> f64 {
    let analysed = scene.analysed;
    let name = offer.label.as_str();
    let Some(house) = analysed.house() else { return 0.0 };
    let super::OfferSubject::Name(label, _) = &offer.about else { return 0.0 };
    let yes = |fits: bool| if fits { 0.0 } else { -20.0 };
    match *label {
        "bracket" => house
            .brackets
            .get(name)
            .map_or(0.0, |b| yes(b.is_tube == matches!(place.keyword, Some("tubes" | "banded")))),
        "coil" => house.coils.get(name).map_or(0.0, |coil| {
            yes(matches!(
                (place.keyword, coil.kind),
                (Some("open-coil"), CoilKind::Open)
                    | (Some("passive-coil"), CoilKind::Closed)
                    | (Some("closing-spring"), CoilKind::Closing)
            ))
        }),
        "step" => step(scene, place, name),
        "wire" => wire(scene, name),
        _ => 0.0,
    }
}

/// The arch of a visit's line, or the one around the place.
fn arch(scene: &CompletionSite<'_>, place: &Expected) -> Option<Arch> {
    match place.keyword {
        Some("upper") => Some(Arch::Upper),
        Some("lower") => Some(Arch::Lower),
        _ => scene.analysed.arch_at(scene.offset),
    }
}

/// The step after the one that is in.
fn next_step(scene: &CompletionSite<'_>, arch: Arch) -> Option<usize> {
    let case = scene.analysed.case()?;
    let steps = &case.arch(arch)?.steps;
    let text = scene.analysed.text().get(..scene.offset)?;
    let word = arch.word();
    let mut now = None;
    for line in text.lines().map(str::trim_start).filter(|l| l.starts_with(word)) {
        let words = habits::tokens(line);
        let named = words.iter().position(|t| t.text == "now").and_then(|i| words.get(i + 1));
        let found = named.and_then(|t| steps.iter().position(|s| *s.name == *t.text));
        now = found.or(now);
    }
    let next = now.unwrap_or(0) + 1;
    (next < steps.len()).then_some(next)
}

fn step(scene: &CompletionSite<'_>, place: &Expected, name: &str) -> f64 {
    let Some(arch) = arch(scene, place) else { return 0.0 };
    let Some(steps) = scene.analysed.case().and_then(|c| c.arch(arch)).map(|a| &a.steps) else {
        return 0.0;
    };
    let index = steps.iter().position(|s| *s.name == *name);
    match (place.keyword, scene.last_word()) {
        (Some("upper" | "lower"), "now") if index == next_step(scene, arch) => 10.0,
        // A step is put after the one that was written last.
        (Some("step"), "after" | "before") => match scene.steps_above().first() {
            Some(last) if last == name => 10.0,
            _ => 0.0,
        },
        // Steps are changed in the order in which they come.
        (Some("change" | "skip"), _) => {
            let above = scene.steps_above();
            let last =
                above.iter().filter_map(|n| steps.iter().position(|s| *s.name == **n)).next();
            if above.iter().any(|n| n == name) {
                return -5.0;
            }
            let wanted = last.map_or(0, |i| i + 1);
            index.map_or(0.0, |i| if i >= wanted { 1.0 / (1.0 + (i - wanted) as f64) } else { 0.0 })
        }
        _ => 0.0,
    }
}

/// `now level with`: the wire of that step.
fn wire(scene: &CompletionSite<'_>, name: &str) -> f64 {
    let [.., step, with] = scene.before.as_slice() else { return 0.0 };
    let Some(case) = scene.analysed.case().filter(|_| with.text == "with") else { return 0.0 };
    let mut steps = case.arches.iter().flat_map(|a| &a.steps);
    let wires = steps.find(|s| *s.name == *step.text).map(|s| s.wire.value.names());
    if wires.is_some_and(|w| w == name) { 20.0 } else { 0.0 }
}
