//! What orthodontists read from an arch as a whole.

use std::collections::BTreeMap;

use crate::contacts::{CrownOnLine, are_neighbours};
use crate::figure_key::FigureKey;
use crate::heights::outer_cusp;
use crate::picks::{ArchPicks, distance};
use crate::slots::CrownInPlane;
use springline_units::tooth::{Side, Tooth};

pub(crate) fn arch_indices(
    picks: &ArchPicks,
    in_plane: &[CrownInPlane],
    crowns: &[CrownOnLine],
    out: &mut BTreeMap<FigureKey, f64>,
) {
    irregularity(crowns, out);
    arch_length(crowns, out);
    let cusps: BTreeMap<Tooth, [f64; 3]> = picks
        .crowns
        .iter()
        .zip(in_plane)
        .filter_map(|(c, p)| Some((c.tooth, outer_cusp(c, p)?)))
        .collect();
    widths(&cusps, out);
    depth(crowns, out);
    if let Some(spee) = curve_of_spee(&cusps) {
        out.insert(FigureKey::CurveOfSpee, spee);
    }
}

/// Little RM. Am J Orthod 1975;68(5):554-563: the five distances of adjacent contact points of the front teeth, heights
/// left out; of open contacts only what one lies before the other (from memory).
fn irregularity(crowns: &[CrownOnLine], out: &mut BTreeMap<FigureKey, f64>) {
    let front: Vec<_> = crowns.iter().filter(|c| c.tooth.is_anterior()).collect();
    if front.len() != 6 || !front.windows(2).all(|w| are_neighbours(w[0].tooth, w[1].tooth)) {
        return;
    }
    let (mut all, mut in_out) = (0.0, 0.0);
    for pair in front.windows(2) {
        let (a, b) = (pair[0].left, pair[1].right);
        let across = (a.inward_mm - b.inward_mm).abs();
        let is_open = b.along_mm > a.along_mm;
        all += if is_open { across } else { (a.at[0] - b.at[0]).hypot(a.at[1] - b.at[1]) };
        in_out += across;
    }
    out.insert(FigureKey::Irregularity, all);
    out.insert(FigureKey::IrregularityInOut, in_out);
}

/// Available between the mesial contacts of the first molars, needed by the ten crowns between (Kirschen RH et al. Am J
/// Orthod Dentofacial Orthop 2000;118:448-455, and teaching texts).
fn arch_length(crowns: &[CrownOnLine], out: &mut BTreeMap<FigureKey, f64>) {
    let molar = |side: Side| {
        crowns
            .iter()
            .find(|c| c.tooth.side() == side && c.tooth.position() == 6 && !c.tooth.is_deciduous())
    };
    let (Some(right), Some(left)) = (molar(Side::Right), molar(Side::Left)) else { return };
    let available = left.right.along_mm - right.left.along_mm;
    out.insert(FigureKey::Available, available);
    // What deciduous crowns leave to their successors is another question.
    let own = |c: &&CrownOnLine| c.tooth.position() < 6 && !c.tooth.is_deciduous();
    let between: Vec<_> = crowns.iter().filter(own).collect();
    if between.len() == 10 {
        out.insert(FigureKey::Required, between.iter().map(|c| c.width_mm).sum());
        // A straight crown takes less of a curved line than its width.
        let taken: f64 = between.iter().map(|c| c.arc_mm()).sum();
        out.insert(FigureKey::Discrepancy, available - taken);
    }
}

fn sides<T: Copy>(of: &BTreeMap<Tooth, T>, position: u8) -> Option<(T, T)> {
    let on = |side: Side| {
        of.iter().find(|(t, _)| t.side() == side && t.position() == position && !t.is_deciduous())
    };
    Some((*on(Side::Right)?.1, *on(Side::Left)?.1))
}

fn widths(cusps: &BTreeMap<Tooth, [f64; 3]>, out: &mut BTreeMap<FigureKey, f64>) {
    for (position, key) in [(3, FigureKey::CanineWidth), (6, FigureKey::MolarWidth)] {
        if let Some((right, left)) = sides(cusps, position) {
            let flat = |p: [f64; 3]| [p[0], p[1], 0.0];
            out.insert(key, distance(flat(right), flat(left)));
        }
    }
}

/// From the contact of the central incisors to the line between the mesial contacts of the first molars.
fn depth(crowns: &[CrownOnLine], out: &mut BTreeMap<FigureKey, f64>) {
    let right: BTreeMap<Tooth, [f64; 2]> = crowns.iter().map(|c| (c.tooth, c.right.at)).collect();
    let left: BTreeMap<Tooth, [f64; 2]> = crowns.iter().map(|c| (c.tooth, c.left.at)).collect();
    let mesials = |position| Some((sides(&left, position)?.0, sides(&right, position)?.1));
    let (Some((a, b)), Some((c, d))) = (mesials(1), mesials(6)) else { return };
    let front = [0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])];
    let (along, to) = ([d[0] - c[0], d[1] - c[1]], [front[0] - c[0], front[1] - c[1]]);
    let length = along[0].hypot(along[1]).max(1e-9);
    out.insert(FigureKey::Depth, (along[1] * to[0] - along[0] * to[1]).abs() / length);
}

/// Under the line from the incisal edges to the last molar's cusp on either side, the mean of both (Marshall SD et al. Am
/// J Orthod Dentofacial Orthop 2008;134:344-352); towards the gum, of the teeth from the canine on.
fn curve_of_spee(cusps: &BTreeMap<Tooth, [f64; 3]>) -> Option<f64> {
    let incisors: Vec<_> = cusps.iter().filter(|(t, _)| t.is_incisor()).map(|(_, p)| p).collect();
    if incisors.is_empty() {
        return None;
    }
    let front: [f64; 3] =
        std::array::from_fn(|i| incisors.iter().map(|p| p[i]).sum::<f64>() / incisors.len() as f64);
    let side = |side: Side| {
        let own = || cusps.iter().filter(move |(t, _)| t.side() == side && !t.is_deciduous());
        let (last, to) = own().max_by_key(|(t, _)| t.position()).filter(|(t, _)| t.is_molar())?;
        let under = |p: &[f64; 3]| {
            let part = (p[1] - front[1]) / (to[1] - front[1]).max(1.0);
            p[2] - (front[2] + part * (to[2] - front[2]))
        };
        let between = own().filter(|(t, _)| t.position() > 2 && *t != last);
        Some(between.map(|(_, p)| under(p)).fold(0.0, f64::max))
    };
    Some(0.5 * (side(Side::Right)? + side(Side::Left)?))
}
