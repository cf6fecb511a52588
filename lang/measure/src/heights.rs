//! Heights and tips of crowns, from cusps and gum points.

use std::collections::BTreeMap;

use crate::anatomy::MeasureAnatomy;
use crate::figure_key::FigureKey;
use crate::picks::{ArchPicks, CrownPicks};
use crate::plane::{height, plane};
use crate::slots::CrownInPlane;
use springline_units::tooth::{Side, Tooth};

/// Cusps within this distance of the outermost are on the cheek's side, mm (common practice, no source).
const OUTER_MM: f64 = 1.5;

/// Middle of the edge, or of the cusps on the cheek's side.
pub(crate) fn outer_cusp(crown: &CrownPicks, flat: &CrownInPlane) -> Option<[f64; 3]> {
    let outward = |p: &[f64; 3]| p[0] * flat.along[1] - p[1] * flat.along[0];
    let most = crown.cusps.iter().map(outward).fold(f64::NEG_INFINITY, f64::max);
    let outer: Vec<_> = crown.cusps.iter().filter(|p| outward(p) > most - OUTER_MM).collect();
    let count = outer.len() as f64;
    (count > 0.0).then(|| std::array::from_fn(|i| outer.iter().map(|p| p[i]).sum::<f64>() / count))
}

/// Height of every slot against a plane through all, and tip; `picks` in the frame of the arch.
pub(crate) fn heights_and_tips(
    picks: &ArchPicks,
    in_plane: &[CrownInPlane],
    anatomy: &MeasureAnatomy,
    out: &mut BTreeMap<FigureKey, f64>,
) {
    if picks.is_flat {
        return;
    }
    for (crown, flat) in picks.crowns.iter().zip(in_plane) {
        let Some(cusp) = outer_cusp(crown, flat) else { continue };
        if let Some(gum) = crown.gum {
            let mesial = if crown.tooth.side() == Side::Right { 1.0 } else { -1.0 };
            let by = [cusp[0] - gum[0], cusp[1] - gum[1]];
            let ahead = mesial * (by[0] * flat.along[0] + by[1] * flat.along[1]);
            let tip = ahead.atan2(gum[2] - cusp[2]).to_degrees();
            out.insert(FigureKey::Tipped(crown.tooth), tip - anatomy.angulation(crown.tooth));
        }
    }
    let slots = slot_heights(picks, in_plane, anatomy);
    let Some(level) = level(&slots) else { return };
    for (tooth, at, z) in slots {
        out.insert(FigureKey::Gingival(tooth), z - height(&level, at));
    }
}

/// How far the plane through all slots rises over the frame's, to the left and to the back; `None` without heights.
pub(crate) fn rise(
    picks: &ArchPicks,
    in_plane: &[CrownInPlane],
    anatomy: &MeasureAnatomy,
) -> Option<[f64; 2]> {
    let [_, left, back] = level(&slot_heights(picks, in_plane, anatomy))?;
    Some([left, back])
}

fn slot_heights(
    picks: &ArchPicks,
    in_plane: &[CrownInPlane],
    anatomy: &MeasureAnatomy,
) -> Vec<(Tooth, [f64; 2], f64)> {
    let of = |(crown, flat): (&CrownPicks, &CrownInPlane)| {
        let cusp = outer_cusp(crown, flat)?;
        Some((crown.tooth, flat.slot, cusp[2] + anatomy.slot_height(crown.tooth)))
    };
    picks.crowns.iter().zip(in_plane).filter_map(of).collect()
}

/// Fewer than four heights make no plane.
fn level(slots: &[(Tooth, [f64; 2], f64)]) -> Option<[f64; 3]> {
    let points: Vec<([f64; 2], f64)> = slots.iter().map(|(_, at, z)| (*at, *z)).collect();
    (points.len() >= 4).then(|| plane(&points))
}
