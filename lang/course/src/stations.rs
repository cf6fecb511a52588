//! Where the brackets lie along the arch line.
//!
//! Neighbours' centres lie the mean of their crown widths apart. Where crowns overlap, crowded
//! centres move together by 0.35 of the contact displacement, at most 1.2 mm, and brackets stay
//! 0.9 mm apart (a model of crowding that the labelled arches of `lang/docs/limits.md` were made
//! with; the 0.35 is a guess). A written space or gap goes before that.

use std::collections::BTreeMap;

use crate::law::irregularity::{Crown, contact_displacement_mm};
use crate::mouth::pair::pair;
use crate::mouth::positions::Mouth;
use crate::plan::state::{ArchState, ToothInState, ToothStatus};
use springline_model::case::{ArchCase, ToothState};
use springline_units::quantity::mm;
use springline_units::tooth::{Arch, Side, Tooth};

const CROWDING_SHARE: f64 = 0.35;
const CROWDING_MOST_MM: f64 = 1.2;
const BRACKETS_APART_MM: f64 = 0.9;

/// Width of a tooth's bracket or tube, mm: as the house has it, else 4 mm for a tube, 2.5 mm on
/// lower incisors, 3 mm elsewhere (common practice, no source).
pub fn bracket_width_mm(tooth: &ToothInState) -> f64 {
    let stock = tooth.bonding.as_ref().map(|b| &b.bracket);
    let written = stock.and_then(|b| b.width.of(tooth.tooth)).map(mm);
    written.filter(|w| w.is_finite() && *w >= 0.0).unwrap_or_else(|| {
        let lower_incisor = tooth.tooth.arch() == Arch::Lower && tooth.tooth.is_incisor();
        match stock {
            Some(b) if b.is_tube => 4.0,
            _ if lower_incisor => 2.5,
            _ => 3.0,
        }
    })
}

/// The crown of a tooth as it stands.
pub fn crown(tooth: Tooth, mouth: &Mouth) -> Crown {
    let pose = mouth.pose(tooth);
    Crown {
        tooth,
        width_mm: mouth.width_mm(tooth),
        lingual_mm: pose.lingual_mm,
        rotated_rad: pose.rotated_rad,
    }
}

/// Space that the absent teeth between two neighbours leave open, where no gap is written: the
/// width of each that was taken out, nothing for one that never came.
fn space_of_absent(case: &ArchCase, mouth: &Mouth, absent: &[Tooth]) -> f64 {
    absent
        .iter()
        .map(|t| match case.states.get(t).map(|(s, _)| *s) {
            Some(ToothState::Extracted { .. } | ToothState::Extract { .. }) => mouth.width_mm(*t),
            _ => mouth.spaces.get(t).copied().unwrap_or(0.0),
        })
        .sum()
}

/// Stations of all teeth that have a crown in the arch, mm from the midline, patient's left positive.
pub fn stations(case: &ArchCase, state: &ArchState, mouth: &Mouth) -> BTreeMap<Tooth, f64> {
    let crowns: Vec<(&ToothInState, Vec<Tooth>)> = with_absent_before(state);
    let distances: Vec<f64> = crowns
        .windows(2)
        .map(|w| centre_distance_mm(case, mouth, w[0].0, w[1].0, &w[1].1))
        .collect();
    // The midline is the contact between the last tooth of the right side and the first of the left.
    let right = crowns.iter().filter(|(t, _)| t.tooth.side() == Side::Right).count();
    let mut places = vec![0.0; crowns.len()];
    for i in 1..crowns.len() {
        places[i] = places[i - 1] + distances[i - 1];
    }
    let midline = match (right.checked_sub(1).and_then(|i| crowns.get(i)), crowns.get(right)) {
        (Some((a, _)), Some((b, _))) => {
            let (wa, wb) = (mouth.width_mm(a.tooth), mouth.width_mm(b.tooth));
            places[right - 1] + distances[right - 1] * wa / (wa + wb)
        }
        (Some((a, _)), None) => places[right - 1] + 0.5 * mouth.width_mm(a.tooth),
        (None, Some((b, _))) => -0.5 * mouth.width_mm(b.tooth),
        (None, None) => 0.0,
    };
    crowns.iter().zip(places).map(|((t, _), place)| (t.tooth, place - midline)).collect()
}

/// Teeth with a crown, each with the absent ones just before it.
fn with_absent_before(state: &ArchState) -> Vec<(&ToothInState, Vec<Tooth>)> {
    let mut out = Vec::with_capacity(16);
    let mut absent = Vec::new();
    for tooth in &state.teeth {
        if tooth.status == ToothStatus::Absent {
            absent.push(tooth.tooth);
        } else {
            out.push((tooth, std::mem::take(&mut absent)));
        }
    }
    out
}

fn centre_distance_mm(
    case: &ArchCase,
    mouth: &Mouth,
    a: &ToothInState,
    b: &ToothInState,
    absent: &[Tooth],
) -> f64 {
    let (wa, wb) = (mouth.width_mm(a.tooth), mouth.width_mm(b.tooth));
    // Half the crown, or half the space there is for it where that is known.
    let half = |t: Tooth, w: f64| 0.5 * mouth.spaces.get(&t).copied().unwrap_or(w);
    let written = mouth.spaces.contains_key(&a.tooth) || mouth.spaces.contains_key(&b.tooth);
    let open = mouth.gap_mm(a.tooth, b.tooth);
    let mut distance = match (open, absent.is_empty()) {
        (Some(gap), _) => 0.5 * (wa + wb) + gap,
        (None, false) => 0.5 * (wa + wb) + space_of_absent(case, mouth, absent),
        (None, true) if written => half(a.tooth, wa) + half(b.tooth, wb),
        (None, true) => {
            let shift = contact_displacement_mm(&crown(a.tooth, mouth), &crown(b.tooth, mouth));
            0.5 * (wa + wb) - (CROWDING_SHARE * shift).min(CROWDING_MOST_MM)
        }
    };
    distance -= mouth.reduced.get(&pair(a.tooth, b.tooth)).copied().unwrap_or(0.0);
    if a.bonding.is_some() && b.bonding.is_some() {
        let brackets = 0.5 * (bracket_width_mm(a) + bracket_width_mm(b));
        distance = distance.max(brackets + BRACKETS_APART_MM);
    }
    distance.max(0.1)
}
