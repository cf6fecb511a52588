//! The thrust of the wire along the arch: it tips and turns the teeth without shifting their slots. It follows from
//! the shape of the wire, and a search puts it on the teeth as it goes, until it stays.

use super::contact::ElasticTooth;
use super::converged::ConvergedState;
use super::edge_forces::{on_the_edges, on_the_root, passive};
use super::setup::{Kinematics, SolverSettings};
use super::support::SixForces;

/// It stays when it changes by no more than this multiple of the tolerance of forces.
const STANDS: f64 = 10.0;
/// Couples count over about the distance of a centre of resistance.
const LEVERS_MM: SixForces = [1.0, 1.0, 10.0, 10.0, 10.0, 1.0];

/// Whether it moves a tooth.
pub(crate) fn moves(settings: &SolverSettings, teeth: &[ElasticTooth]) -> bool {
    settings.kinematics == Kinematics::Exact && teeth.iter().any(|t| !t.give.diagonal)
}

pub(crate) fn stands(a: &[SixForces], b: &[SixForces], settings: &SolverSettings) -> bool {
    let each =
        a.iter().zip(b).flat_map(|(x, y)| (0..6).map(|k| (x[k] - y[k]).abs() / LEVERS_MM[k]));
    each.fold(0.0, f64::max) <= STANDS * settings.force_tolerance_n
}

/// What the wire does to each tooth beyond its contacts' own directions: its force along the arch, the arms and axes of
/// the edges in space, and what puts the arch in balance. Nothing where a tooth gives in each direction by its own
/// force alone.
pub(crate) fn of(solved: &ConvergedState<'_>) -> Vec<SixForces> {
    let edges = on_the_edges(solved);
    let each = solved.teeth.iter().enumerate();
    each.map(|(index, tooth)| match tooth.give.diagonal {
        true => [0.0; 6],
        false => beyond_its_walls(solved, index, on_the_root(solved, index, &edges)),
    })
    .collect()
}

/// All that the wire does, less what the walls hold.
fn beyond_its_walls(solved: &ConvergedState<'_>, index: usize, wire: SixForces) -> SixForces {
    let mut rest = wire;
    if passive(solved, index) {
        return rest;
    }
    let (from, to) = solved.teeth[index].contacts;
    for (contact, touch) in solved.contacts[from..to].iter().zip(&solved.iterate.touches[from..to])
    {
        for k in 0..6 {
            rest[k] += contact.row[k] * touch.on_wire();
        }
    }
    rest
}
