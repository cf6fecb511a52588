//! The converged state of a solve, with the data it was computed on, as input of the report.

use super::Setup;
use super::axial::Axial;
use super::bending::Bending;
use super::contact::{Contact, ElasticTooth, Room};
use super::equilibrium::{Iterate, NewtonOutcome};
use super::mesh::{Mesh, MeshDensity};
use super::slot_edges::SlotEdges;
use super::solution::ContactKey;

/// A solved set-up with what was needed to solve it.
pub(crate) struct ConvergedState<'a> {
    pub setup: &'a Setup,
    pub slot_edges: &'a [SlotEdges],
    pub mesh: &'a Mesh,
    pub bending: &'a Bending,
    pub contacts: &'a [Contact],
    pub teeth: &'a [ElasticTooth],
    pub iterate: &'a Iterate,
    pub axial: &'a Axial,
    pub outcome: NewtonOutcome,
    pub grain: &'a MeshDensity,
}

/// Keys of the contacts, to recognise the same set-up.
pub(crate) fn keys(seats: &[SlotEdges], contacts: &[Contact]) -> Vec<ContactKey> {
    contacts
        .iter()
        .map(|c| ContactKey {
            id: seats[c.tooth].slot.id,
            node: c.node,
            dof: c.dof,
            held: c.room == Room::Held,
        })
        .collect()
}
