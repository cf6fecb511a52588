//! Completion of names from the stock and the plan, each with a description.

use springline_lang::model::House;
use springline_lang::model::step::Step;
use springline_lang::model::stock::{CoilKind, printed};
use springline_lang::syntax::Expected;
use springline_lang::units::quantity::{grams, mm, plain};
use springline_lang::units::tooth::Arch;

use super::{CompletionSite, Offer, OfferKind, OfferSubject};
use crate::analysed_file::AnalysedFile;

pub fn offers(
    scene: &CompletionSite<'_>,
    place: &Expected,
    label: &'static str,
    offset: usize,
    out: &mut Vec<Offer>,
) {
    let analysed = scene.analysed;
    let found = match label {
        "step" => steps(scene, place, offset),
        "person" => persons(analysed),
        "house" => houses(analysed),
        _ => analysed.house().map(|house| stock(house, label)).unwrap_or_default(),
    };
    out.extend(found.into_iter().map(|(name, detail)| Offer {
        label: name.clone(),
        kind: OfferKind::Name,
        detail,
        insert: name.clone(),
        is_snippet: false,
        replace: place.replace,
        about: OfferSubject::Name(label, name),
    }));
}

fn stock(house: &House, label: &str) -> Vec<(String, String)> {
    let pair = |name: &str, detail: String| (name.to_owned(), detail);
    match label {
        "wire" => {
            let mut wires: Vec<_> = house.wires.values().collect();
            // In file order, which is lightest first where the practice wrote them so.
            wires.sort_by_key(|w| (w.place.file, w.place.span.start));
            wires
                .into_iter()
                .map(|w| pair(&w.name, format!("{} {}", w.alloy.word(), printed(&w.section_text))))
                .collect()
        }
        "bracket" => house
            .brackets
            .values()
            .map(|b| {
                let kind = if b.is_tube { "tube" } else { "bracket" };
                pair(&b.name, format!("{kind}, slot {}", printed(&b.slot_text)))
            })
            .collect(),
        "coil" => house
            .coils
            .values()
            .map(|c| {
                let kind = match c.kind {
                    CoilKind::Open => "open coil",
                    CoilKind::Closed => "passive coil",
                    CoilKind::Closing => "closing spring",
                };
                let force = c.force.map(|f| format!(", {} g", plain(grams(f).round())));
                pair(&c.name, format!("{kind}{}", force.unwrap_or_default()))
            })
            .collect(),
        "elastic" => house
            .elastics
            .values()
            .map(|e| {
                let size = e.size_text.as_deref().unwrap_or_default();
                pair(&e.name, format!("{size} {}", e.force_text).trim().to_owned())
            })
            .collect(),
        "chain" => house.chains.keys().map(|n| pair(n, "chain".to_owned())).collect(),
        "stop" => house
            .stops
            .values()
            .map(|s| pair(&s.name, format!("stop, {} mm", plain(mm(s.length)))))
            .collect(),
        "form" => house.forms.keys().map(|n| pair(n, "arch form".to_owned())).collect(),
        "sequence" => house
            .sequences
            .values()
            .map(|s| {
                let steps: Vec<&str> = s.steps.iter().map(|s| s.name.as_ref()).collect();
                pair(&s.name, steps.join(", "))
            })
            .collect(),
        "variant" => house
            .brackets
            .values()
            .flat_map(|b| b.variants.keys().map(|n| pair(n, format!("variant of {}", b.name))))
            .collect(),
        _ => Vec::new(),
    }
}

/// Steps of the arch around the cursor; of both arches outside them. What can be changed or skipped
/// is what the house has.
fn steps(scene: &CompletionSite<'_>, place: &Expected, offset: usize) -> Vec<(String, String)> {
    let analysed = scene.analysed;
    let Some(case) = analysed.case() else { return Vec::new() };
    // In a visit the line itself names the arch.
    let within = match place.keyword {
        Some("upper") => Some(Arch::Upper),
        Some("lower") => Some(Arch::Lower),
        _ => analysed.arch_at(offset),
    };
    // `follow usual from`: the sequence is being chosen on this very line.
    if let ("follow", [_, sequence, ..]) = (place.keyword.unwrap_or_default(), &*scene.before) {
        let found = case.house.sequences.get(sequence.text);
        let pair = |s: &Step| {
            (s.name.to_string(), format!("{}, wire {}", s.kind.word(), s.wire.value.names()))
        };
        return found.map(|s| s.steps.iter().map(pair).collect()).unwrap_or_default();
    }
    let arches = Arch::BOTH.into_iter().filter(|a| within.is_none_or(|w| w == *a));
    let mut out: Vec<(String, String)> = Vec::new();
    for arch in arches.filter_map(|a| case.arch(a)) {
        let of_house = arch.follows.as_ref().and_then(|(name, _)| case.house.sequences.get(name));
        let steps = match place.keyword {
            Some("change" | "skip" | "follow") => of_house.map_or(&[][..], |s| &s.steps),
            _ => &arch.steps,
        };
        for step in steps {
            let name = step.name.to_string();
            if !out.iter().any(|(known, _)| *known == name) {
                out.push((name, format!("{}, wire {}", step.kind.word(), step.wire.value.names())));
            }
        }
    }
    out
}

/// Initials that the case has already.
fn persons(analysed: AnalysedFile<'_>) -> Vec<(String, String)> {
    let Some(case) = analysed.case() else { return Vec::new() };
    let doctor = case.doctor.iter().map(|d| (d.to_string(), "doctor of this case".to_owned()));
    let seen = case.visits.iter().filter_map(|v| v.by.as_ref());
    let mut out: Vec<(String, String)> =
        doctor.chain(seen.map(|by| (by.to_string(), "saw the patient".to_owned()))).collect();
    let others = analysed.habits.map(|h| h.persons()).unwrap_or_default();
    out.extend(others.into_iter().map(|name| (name, "in other plans here".to_owned())));
    let mut known = Vec::new();
    out.retain(|(name, _)| {
        let new = !known.contains(name);
        known.push(name.clone());
        new
    });
    out
}

/// The available practice files.
fn houses(analysed: AnalysedFile<'_>) -> Vec<(String, String)> {
    let there = analysed.habits.map(|h| h.houses.clone()).unwrap_or_default();
    there.into_iter().map(|name| (name, "practice file".to_owned())).collect()
}
