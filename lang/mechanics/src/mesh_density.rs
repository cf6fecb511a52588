//! Choice of the mesh density along the wire.
//!
//! The standard mesh is graded for wire whose moment passes from the elastic range to the plateau, and
//! for steep wire. Most of an arch is neither: there a slot of one element and a span of two are accurate
//! to 5e-4 of the largest force (`tests/mesh.rs` holds both meshes to the figure that the docs state). A
//! fresh wire is first solved on the coarse mesh, and the result shows where the standard mesh is needed.

use super::equilibrium::Iterate;
use super::mesh::{Mesh, MeshDensity, NodeValues};
use super::prepared::PreparedSetup;

/// A segment may stay coarse while its strain on the coarse mesh is below this share of the elastic
/// strain.
const QUIET: f64 = 0.9;
/// Slope over the arch line up to which a stretch is level: as the coarse mesh has it, and in the end.
const LEVEL: f64 = 0.25;
const FOUND_LEVEL: f64 = 0.35;
/// Beyond this slope the coarse mesh is not trusted: it snaps through too early.
const TOO_STEEP: f64 = 0.8;
/// Turn of the slot line between a slot and the chord of the span beside it, rad, from which a standard element is too
/// long, and its parts then.
const SHARP: f64 = 0.5;
const SHARP_PARTS: usize = 4;

/// Parts of every stretch that a shape found on the coarse mesh asks for: the standard mesh where it is bent beyond
/// its elastic strain, or steep, and at least what the base line asks for. Nothing where that shape is not to be
/// trusted.
pub(crate) fn wanted(
    ground: &PreparedSetup<'_>,
    mesh: &Mesh,
    found: &Iterate,
) -> Option<Vec<usize>> {
    let beyond =
        |strain, slope| beyond(ground, mesh, &found.nodes, &found.curvatures, strain, slope);
    if ground.line.slots().is_none() && beyond(f64::INFINITY, TOO_STEEP).contains(&true) {
        return None;
    }
    let fine = beyond(QUIET * ground.bending.elastic_strain(), LEVEL);
    Some(fine.into_iter().zip(least(ground)).map(|(f, least)| least.max(usize::from(f))).collect())
}

/// Parts that every stretch needs whatever the wire does: none over the arch line, and many where the slot line turns
/// sharply, with the slots on both sides of it.
pub(crate) fn least(ground: &PreparedSetup<'_>) -> Vec<usize> {
    let mut parts = vec![0; 2 * ground.seats.len() - 1];
    if let Some(line) = ground.line.slots() {
        for span in 0..ground.seats.len() - 1 {
            let turn = line.turn_of_span(span);
            let wanted = if turn > SHARP { SHARP_PARTS } else { usize::from(turn > LEVEL) };
            for part in &mut parts[2 * span..=2 * span + 2] {
                *part = wanted.max(*part);
            }
        }
    }
    parts
}

/// The mesh that is trusted for any shape.
pub(crate) fn standard(ground: &PreparedSetup<'_>) -> MeshDensity {
    match ground.line.slots() {
        None => MeshDensity::Even(1),
        Some(_) => MeshDensity::Each(least(ground).into_iter().map(|p| p.max(1)).collect()),
    }
}

/// A mesh that is nowhere coarser than another of the same slots: what a line through slots once asked for it keeps as
/// the slots come into line, or forces would jump in the middle of a march.
pub(crate) fn no_coarser(mesh: MeshDensity, than: &MeshDensity) -> MeshDensity {
    match (mesh, than) {
        (MeshDensity::Each(own), MeshDensity::Each(other)) if own.len() == other.len() => {
            MeshDensity::Each(own.iter().zip(other).map(|(a, b)| *a.max(b)).collect())
        }
        (mesh, _) => mesh,
    }
}

/// A shape of one mesh on another of the same slots.
pub(crate) fn carried_over(from: &Mesh, nodes: &[NodeValues], to: &Mesh) -> Vec<NodeValues> {
    let mut out = Vec::with_capacity(to.nodes());
    let mut i = 0;
    for &x in &to.x {
        while i + 2 < from.x.len() && from.x[i + 1] < x {
            i += 1;
        }
        let (a, b) =
            if x == from.x[i + 1] { (nodes[i], nodes[i + 1]) } else { from.ends(i, nodes) };
        out.push(between(&a, &b, from.x[i], from.x[i + 1], x));
    }
    out
}

/// The same between slots that stand otherwise: every stretch as it was, longer or shorter.
pub(crate) fn drawn_over(from: &Mesh, nodes: &[NodeValues], to: &Mesh) -> Vec<NodeValues> {
    let mut out = Vec::with_capacity(to.nodes());
    for (&(a, b), &(c, d)) in from.stretches.iter().zip(&to.stretches) {
        let (old, new) = (from.x[b] - from.x[a], to.x[d] - to.x[c]);
        for n in c..=d {
            if n < out.len() {
                continue;
            }
            if n == c || n == d {
                out.push(nodes[if n == c { a } else { b }]);
                continue;
            }
            let x = from.x[a] + (to.x[n] - to.x[c]) / new * old;
            let i = from.x[a..=b].partition_point(|&at| at < x).clamp(1, b - a) + a - 1;
            let (left, right) = from.ends(i, nodes);
            out.push(between(&left, &right, from.x[i], from.x[i + 1], x));
        }
    }
    out
}

/// The cubic curves of an element at a place inside it.
fn between(a: &NodeValues, b: &NodeValues, from: f64, to: f64, x: f64) -> NodeValues {
    let h = to - from;
    let t = (x - from) / h;
    if t == 0.0 || t == 1.0 {
        return if t == 0.0 { *a } else { *b };
    }
    let (u, v) = (t * t * (3.0 - 2.0 * t), h * t * (1.0 - t));
    let du = 6.0 * t * (1.0 - t) / h;
    let curve = |k: usize| {
        let value = (1.0 - u) * a[k] + u * b[k] + v * ((1.0 - t) * a[k + 1] - t * b[k + 1]);
        let ends = (1.0 - t) * (1.0 - 3.0 * t) * a[k + 1] + t * (3.0 * t - 2.0) * b[k + 1];
        [value, du * (b[k] - a[k]) + ends]
    };
    let ([y, dy], [z, dz]) = (curve(0), curve(2));
    [y, dy, z, dz, a[4] + t * (b[4] - a[4])]
}

/// True when a segment on the coarse mesh turned out to need the standard one.
pub(crate) fn too_coarse(
    ground: &PreparedSetup<'_>,
    parts: &[usize],
    mesh: &Mesh,
    nodes: &[NodeValues],
    curvatures: &[[f64; 2]],
) -> bool {
    let beyond =
        beyond(ground, mesh, nodes, curvatures, ground.bending.elastic_strain(), FOUND_LEVEL);
    parts.iter().zip(&beyond).any(|(parts, beyond)| *parts == 0 && *beyond)
}

/// Stretches with a section point beyond a strain or steeper than a slope.
fn beyond(
    ground: &PreparedSetup<'_>,
    mesh: &Mesh,
    nodes: &[NodeValues],
    curvatures: &[[f64; 2]],
    strain: f64,
    slope: f64,
) -> Vec<bool> {
    let past = |element: usize| {
        (2 * element..2 * element + 2).any(|n| {
            let [_, dy, _, dz, ..] = mesh.point(n, nodes);
            dy * dy + dz * dz > slope * slope || ground.bending.strain(curvatures[n]) > strain
        })
    };
    mesh.stretches.iter().map(|&(first, last)| (first..last).any(past)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{ArchLine, slot_line::BaseLine};

    #[test]
    fn a_cubic_is_carried_over_as_it_is() {
        let seats = [(0.0, 3.0), (8.0, 11.0), (20.0, 20.0)];
        let line = BaseLine::Arch(ArchLine::Straight);
        let mesh = |grain| Mesh::new(&line, &seats, &[], [0.0; 2], &grain);
        let (coarse, fine) = (mesh(MeshDensity::Each(vec![0; 5])), mesh(MeshDensity::Even(2)));
        let f = |x: &f64| [0.1 * x.powi(3) - x, 0.3 * x * x - 1.0, x * x, 2.0 * x, 0.5 * x];
        let nodes: Vec<NodeValues> = coarse.x.iter().map(f).collect();
        let over = carried_over(&coarse, &nodes, &fine);
        for (have, want) in over.iter().zip(fine.x.iter().map(f)) {
            for k in 0..5 {
                assert!((have[k] - want[k]).abs() < 1e-9, "{have:?} {want:?}");
            }
        }
    }
}
