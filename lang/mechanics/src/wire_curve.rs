//! The solved wire as points in space: for drawings.

use super::mesh::Mesh;
use super::prepared::PreparedSetup;
use super::slot_line::{BaseLine, WireFrame, plus};
use super::support::SupportWay;
use super::{Refusal, Setup, Solution};

/// A place on the wire, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WirePoint {
    /// Along the base line of the solve, from the midline, the patient's left positive.
    pub along_mm: f64,
    /// In the plane of the arch: towards the patient's left, and inward at the midline.
    pub at_mm: [f64; 2],
    /// Out of that plane, towards the gum positive.
    pub gingival_mm: f64,
}

/// The wire between its outermost held edges, from the patient's right to left, a point at least every `apart_mm` and
/// one at every node.
///
/// # Errors
/// As [`solve`](super::solve) for a set-up that is none.
pub fn wire_curve(
    setup: &Setup,
    solved: &Solution,
    apart_mm: f64,
) -> Result<Vec<WirePoint>, Refusal> {
    let shape = &solved.shape;
    let settings = setup.settings;
    let settings = if shape.over_slots { settings.over_the_slots() } else { settings };
    let setup = Setup { settings, ..setup.clone() };
    let prepared = PreparedSetup::new(&setup, SupportWay::NONE)?;
    let mesh = prepared.mesh(&shape.mesh_density);
    let mut out = Vec::new();
    if mesh.nodes() != shape.dofs.len() {
        return Ok(out);
    }
    for element in 0..mesh.nodes().saturating_sub(1) {
        let long = mesh.x[element + 1] - mesh.x[element];
        let parts = (long / apart_mm.max(0.01)).ceil().max(1.0) as usize;
        let from = usize::from(element > 0);
        out.extend((from..=parts).map(|i| {
            let share = i as f64 / parts as f64;
            point(&mesh, &prepared.line, &shape.dofs, element, share)
        }));
    }
    Ok(out)
}

/// A share of the way through an element, by its cubics.
fn point(
    mesh: &Mesh,
    line: &BaseLine,
    nodes: &[[f64; 5]],
    element: usize,
    share: f64,
) -> WirePoint {
    let (from, to) = (mesh.x[element], mesh.x[element + 1]);
    let (a, b) = mesh.ends(element, nodes);
    let (t, long) = (share, to - from);
    let (value_a, value_b) = ((1.0 + 2.0 * t) * (1.0 - t).powi(2), t * t * (3.0 - 2.0 * t));
    let (slope_a, slope_b) = (long * t * (1.0 - t).powi(2), long * t * t * (t - 1.0));
    let across =
        |k: usize| value_a * a[k] + slope_a * a[k + 1] + value_b * b[k] + slope_b * b[k + 1];
    let along_mm = from + share * long;
    let frame = match line {
        BaseLine::Arch(arch) => WireFrame::of_arch(arch, along_mm),
        // At a mouth the axes of the element, not those of the slot behind it.
        BaseLine::Slots(line) => line.frame(along_mm.min(to - 1e-9 * long)),
    };
    let at = plus(&plus(&frame.at, across(0), &frame.axes[1]), across(2), &frame.axes[2]);
    WirePoint { along_mm, at_mm: [at[0], at[1]], gingival_mm: at[2] }
}
