//! The result of a solve.

use super::components::Components;
use super::contact::ContactState;
use super::mesh::MeshDensity;
use super::support::SixForces;
use super::{History, SlotPose};

/// One held edge of a slot. Forces are on the tooth.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Edge {
    /// Station on the arch line, mm, of the place where the true edge projects; over the slot line, where the wire
    /// crosses the mouth. The forces here are in the axes of that station.
    pub station_mm: f64,
    /// The wire's place there, mm from the arch line: lingual, gingival.
    pub wire_lingual_mm: f64,
    /// The same, gingival, mm.
    pub wire_gingival_mm: f64,
    /// Direction of the wire against the arch line there, rad, in the plane of the arch and out of it.
    pub wire_rotated_rad: f64,
    /// The same, out of the plane, rad.
    pub wire_tipped_rad: f64,
    /// Force on the tooth, N.
    pub lingual_n: f64,
    /// The same, gingival positive, N.
    pub gingival_n: f64,
    /// The same, towards the patient's left positive, N.
    pub along_n: f64,
    /// Moment of twist on the tooth, N mm.
    pub torque_nmm: f64,
}

/// Action of the wire on one tooth.
#[derive(Debug, Clone, PartialEq)]
pub struct ToothForces {
    /// The tooth's [`Slot::id`](super::Slot).
    pub id: u16,
    /// Station of the bracket on the arch line, mm.
    pub station_mm: f64,
    /// Labiolingual force, N, lingual positive.
    pub lingual_n: f64,
    /// Occlusogingival force, N, gingival positive.
    pub gingival_n: f64,
    /// Force along the arch, N, towards the patient's left positive.
    pub along_n: f64,
    /// Labiolingual and occlusogingival force together, N: what limits are judged by. The thrust along
    /// the arch stays out of it, as it passes to the neighbours through the contacts.
    pub resultant_n: f64,
    /// Couple about the long axis at the bracket's centre, N mm; sense of `rotated`.
    pub rotation_nmm: f64,
    /// Couple of tip, N mm; sense of `tipped`.
    pub tip_nmm: f64,
    /// Moment of torque left after the play, N mm; sense of `torque` (crown-lingual positive).
    pub torque_nmm: f64,
    /// What the forces at the edges add to that where a turned slot's edges stand apart across the arch line,
    /// N mm; the twist of the wire has no part in it.
    pub lever_torque_nmm: f64,
    /// Largest fibre strain in the slot and half-way to the neighbours, absolute.
    pub strain: f64,
    /// That strain over the law's limit of use.
    pub strain_fraction: f64,
    /// Distance of the nearest open contact from closing, mm; zero when every contact is closed.
    pub gap_mm: f64,
    /// True when no contact of the slot carries anything.
    pub passive: bool,
    /// The external loads on the tooth, about its bracket's centre.
    pub loads: Components,
    /// What its root carries, about the bracket's centre: wire and loads together, as the support gives under it.
    /// A rigid tooth gives nothing and has nothing here.
    pub carried: Components,
    /// How far the tooth gave under wire and loads (see [`Support`](super::Support)).
    pub gave: SlotPose,
    /// The held edges, right then left.
    pub edges: Vec<Edge>,
}

/// Equilibrium of one arch.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// In order of station.
    pub teeth: Vec<ToothForces>,
    /// Length of wire between the outermost edges beyond that of the arch line, mm: what the wire has
    /// taken in at its ends; negative when the wire gives length out.
    pub taken_in_mm: f64,
    /// Force along the arch on the wire, N, towards the patient's left positive, that keeps the wire's mark at the
    /// midline (or, where all slots lie on one side, at the slot nearest it): what friction or a stop
    /// must give so that a form of changing curvature does not shift sideways. Nothing on a circle.
    /// With it, everything that acts on the wire is in balance. What keeps bends or a reverse curve at their stations
    /// while the wire slides is counted to it.
    pub held_n: f64,
    /// Where that force acts: station, and the wire's place there, lingual and gingival, mm.
    pub held_at_mm: [f64; 3],
    /// What the mesh had left out of balance, which was put back on the edges.
    pub unbalanced: Unbalanced,
    /// Axial force of the wire, compression positive, N, in each piece between two held edges, along the arch.
    /// Zero in a wire that slides freely.
    pub levels_n: Vec<f64>,
    /// What the bounds of [`ArchWire::bounds`](super::ArchWire) carry, in their order.
    pub bounds: Vec<BoundForce>,
    /// Tension of each of [`Setup::ties`](super::Setup), in their order, N; zero where it hangs slack. What it does to its
    /// teeth is among their loads.
    pub ties_n: Vec<f64>,
    /// Elastic energy in the wire on its current branch, N mm.
    pub energy_nmm: f64,
    /// Newton steps used.
    pub iterations: usize,
    /// Largest unbalanced force left, N.
    pub residual_n: f64,
    /// Largest fibre strain anywhere, absolute.
    pub strain: f64,
    /// Accepted steps of the search, in order; where the displacements were applied in load steps, of all
    /// of them.
    pub trace: Vec<SolveStep>,
    /// The material after this solve.
    pub history: History,
    pub(crate) shape: WireShape,
}

/// How far forces read off a mesh were from balance along the arch. They are put in balance before they are told, so
/// this is a measure of the mesh and not of the figures.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Unbalanced {
    /// Sum of all forces on the wire, N.
    pub force_n: f64,
    /// Sum of their moments about the middle of the edges that carry, N mm.
    pub couple_nmm: f64,
}

/// What a bound on a length of wire carries.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BoundForce {
    /// With how much it presses or draws the two teeth, N; zero where it is not reached.
    pub force_n: f64,
    /// Length left until it is reached, mm; zero where it carries.
    pub room_mm: f64,
    /// How far the two teeth have given along the arch together, mm.
    pub gave_mm: f64,
}

/// One accepted step of the search. The potential that a step lowers is the energy of wire and teeth
/// less the work of loads, plus the contacts' barrier and the price of slacks not yet true; barrier
/// and price change from step to step, so only the two of one step compare.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolveStep {
    /// Strength of the contact barrier in this step, N mm.
    pub barrier_nmm: f64,
    /// The potential before the step, N mm.
    pub potential_before_nmm: f64,
    /// Not above the one before, but for rounding.
    pub potential_after_nmm: f64,
    /// Elastic energy of the wire after the step, N mm.
    pub energy_nmm: f64,
    /// Share of the Newton step that was gone.
    pub length: f64,
    /// Largest unbalanced force before the step, N.
    pub residual_n: f64,
}

/// Node values of the solved wire, to start the next solve from.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct WireShape {
    pub stations_mm: Vec<f64>,
    pub dofs: Vec<[f64; 5]>,
    pub keys: Vec<ContactKey>,
    pub contact_states: Vec<ContactState>,
    pub carried: Vec<SixForces>,
    /// Where each tooth stands, its give counted: lingual, gingival, rotation, tip, torque, along.
    pub stands: Vec<SixForces>,
    /// Thrust of the wire that the teeth carry.
    pub thrust: Vec<SixForces>,
    pub mesh_density: MeshDensity,
    /// Whether the values are measured from the slot line.
    pub over_slots: bool,
}

/// Identifies a contact from one solve to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct ContactKey {
    pub id: u16,
    pub node: usize,
    pub dof: usize,
    pub held: bool,
}

impl ToothForces {
    /// The wire alone, with every couple about the bracket's centre.
    pub fn wire(&self) -> Components {
        let torque_nmm = self.torque_nmm + self.lever_torque_nmm;
        Components { torque_nmm, ..Components::from(self) }
    }

    /// What of the wire the support feels in the solve: all of it, but for the directions in which the tooth is rigid.
    pub(crate) fn felt(&self) -> Components {
        self.carried.less(&self.loads)
    }

    /// Wire and loads together: what moves the tooth.
    pub fn total(&self) -> Components {
        self.wire().and(&self.loads)
    }
}

impl From<&ToothForces> for Components {
    fn from(t: &ToothForces) -> Components {
        Components {
            lingual_n: t.lingual_n,
            gingival_n: t.gingival_n,
            along_n: t.along_n,
            rotation_nmm: t.rotation_nmm,
            tip_nmm: t.tip_nmm,
            torque_nmm: t.torque_nmm,
        }
    }
}

impl Solution {
    /// The forces on one tooth.
    pub fn tooth(&self, id: u16) -> Option<&ToothForces> {
        self.teeth.iter().find(|t| t.id == id)
    }

    /// The tooth that carries most.
    pub fn worst(&self) -> Option<&ToothForces> {
        self.teeth.iter().max_by(|a, b| a.resultant_n.total_cmp(&b.resultant_n))
    }
}
