//! The thrust of the wire along the arch: it tips and turns the teeth without shifting their slots. It follows from
//! the shape of the wire, and a search puts it on the teeth as it goes, until it stays.

use super::contact::ElasticTooth;
use super::converged::ConvergedState;
use super::report;
use super::setup::{Kinematics, SolverSettings};
use super::solution::ToothForces;
use super::support::SixForces;

/// It stays when it changes by no more than what the contacts' barrier leaves at this distance.
const STANDS_MM: f64 = 1.0e-3;
/// Couples count over about the distance of a centre of resistance.
const LEVERS_MM: SixForces = [1.0, 1.0, 10.0, 10.0, 10.0, 1.0];

/// Whether it moves a tooth.
pub(crate) fn moves(settings: &SolverSettings, teeth: &[ElasticTooth]) -> bool {
    settings.kinematics == Kinematics::Exact && teeth.iter().any(|t| !t.give.diagonal)
}

pub(crate) fn stands(a: &[SixForces], b: &[SixForces], settings: &SolverSettings) -> bool {
    let each =
        a.iter().zip(b).flat_map(|(x, y)| (0..6).map(|k| (x[k] - y[k]).abs() / LEVERS_MM[k]));
    each.fold(0.0, f64::max) <= settings.barrier_nmm / STANDS_MM
}

/// What the wire does to each tooth beyond its contacts' own directions: its force along the arch, with the couples
/// of the edges' arms. Nothing where a tooth gives in each direction by its own force alone.
pub(crate) fn of(solved: &ConvergedState<'_>) -> Vec<SixForces> {
    let of = |index: usize| {
        if solved.teeth[index].give.diagonal {
            return [0.0; 6];
        }
        let tooth = report::tooth(solved, index);
        if solved.slot_edges[index].axes.is_some() {
            return beyond_its_walls(solved, index, &tooth);
        }
        let arms = solved.slot_edges[index].edges.iter().map(|place| place.arm_mm[0]);
        let (mut lingual, mut rotation, mut tip) =
            (tooth.lingual_n, tooth.rotation_nmm, tooth.tip_nmm);
        for (along, edge) in arms.zip(&tooth.edges) {
            lingual -= edge.lingual_n;
            rotation -= along * edge.lingual_n;
            tip -= along * edge.gingival_n;
        }
        [lingual, 0.0, rotation, tip, tooth.lever_torque_nmm, tooth.along_n]
    };
    (0..solved.teeth.len()).map(of).collect()
}

/// The same where the walls face otherwise than along the arch line: all that the wire does, less what the walls hold.
fn beyond_its_walls(solved: &ConvergedState<'_>, index: usize, tooth: &ToothForces) -> SixForces {
    let mut rest = [
        tooth.lingual_n,
        tooth.gingival_n,
        tooth.rotation_nmm,
        tooth.tip_nmm,
        tooth.torque_nmm + tooth.lever_torque_nmm,
        tooth.along_n,
    ];
    if tooth.passive {
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
