//! One-sided contacts between wire and slot edges, and teeth on elastic supports.

use nalgebra::{SMatrix, SVector};

use super::mesh::NodeValues;

/// A contact of the wire at a node against a wall of a slot.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Contact {
    pub node: usize,
    /// 0 labiolingual, 2 occlusogingival, 4 twist.
    pub dof: usize,
    /// Index of the tooth that carries the wall.
    pub tooth: usize,
    /// How the wall moves with the tooth's displacement (lingual, gingival, rotation, tip, torque).
    pub row: [f64; 5],
    /// Where the middle of the room is with the tooth unmoved.
    pub target: f64,
    pub room: Room,
}

/// Where the wire may be against the middle of the room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Room {
    /// Nowhere else.
    Held,
    Between {
        low: f64,
        high: f64,
    },
}

/// Compliance of a two-sided contact, mm/N: small enough to be rigid, large enough for the arithmetic.
pub(crate) const HELD_GIVE: f64 = 1.0e-9;

/// A contact's slacks and their forces (on the wire, upward from `low`, downward from `high`). A held
/// contact uses `force[0]` alone, of either sign.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct ContactState {
    pub slack: [f64; 2],
    pub force: [f64; 2],
}

impl ContactState {
    /// Force of the slot on the wire.
    pub fn on_wire(&self) -> f64 {
        self.force[0] - self.force[1]
    }

    /// Inside the clearance, with the forces that the barrier implies.
    pub fn inside(room: Room, gap: f64, barrier: f64) -> ContactState {
        match room {
            Room::Held => ContactState::default(),
            Room::Between { low, high } => {
                let floor = 0.05 * (high - low);
                let slack = [(gap - low).max(floor), (high - gap).max(floor)];
                ContactState { slack, force: slack.map(|s| barrier / s) }
            }
        }
    }
}

/// A tooth: its compliances, the external loads on it, and its contacts.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ElasticTooth {
    pub compliance: [f64; 5],
    pub load: [f64; 5],
    /// First contact and one past the last; at most six.
    pub contacts: (usize, usize),
}

pub(crate) type Six = SVector<f64, 6>;
pub(crate) type SixBySix = SMatrix<f64, 6, 6>;

/// Gap of a contact: the wire's place against the middle of the room, the tooth having given under
/// the forces `carried`.
#[inline]
pub(crate) fn gap(
    contact: &Contact,
    node: &NodeValues,
    tooth: &ElasticTooth,
    carried: &[f64; 5],
) -> f64 {
    let mut wall = contact.target;
    for i in 0..5 {
        wall += contact.row[i] * tooth.compliance[i] * carried[i];
    }
    node[contact.dof] - wall
}

/// The contribution of one tooth to a Newton step, with its slacks, forces and displacement eliminated.
#[derive(Debug, Clone)]
pub(crate) struct Grip {
    /// Stiffness that the wire feels at the contacts.
    pub stiffness: SixBySix,
    /// Force on the wire before that stiffness, `f*` of [`grip`].
    pub force: Six,
    /// `B C` times the unbalanced load of the tooth.
    pub offset: Six,
    /// Unbalanced load of the tooth against `f*`.
    pub unbalanced: [f64; 5],
    give: SixBySix,
}

/// Eliminates slacks, contact forces and the tooth's displacement.
///
/// With `D` the contacts' own stiffness and `M = B C B^T` the tooth's give at them, the wire feels
/// `(D^-1 + M)^-1`, written so that neither a rigid tooth nor an open contact divides by zero.
pub(crate) fn grip(
    contacts: &[Contact],
    touches: &[ContactState],
    gaps: &[f64],
    tooth: &ElasticTooth,
    carried: &[f64; 5],
    barrier: f64,
) -> Grip {
    let mut root = Six::zeros();
    let mut force = Six::zeros();
    let mut give = SixBySix::zeros();
    for (i, ((contact, touch), &gap)) in contacts.iter().zip(touches).zip(gaps).enumerate() {
        match contact.room {
            Room::Held => {
                root[i] = (1.0 / HELD_GIVE).sqrt();
                force[i] = touch.force[0] - gap / HELD_GIVE;
            }
            Room::Between { low, high } => {
                let miss = [gap - low - touch.slack[0], high - gap - touch.slack[1]];
                let stiff = [0, 1].map(|k| touch.force[k] / touch.slack[k]);
                let push = [0, 1].map(|k| barrier / touch.slack[k] - stiff[k] * miss[k]);
                root[i] = (stiff[0] + stiff[1]).sqrt();
                force[i] = push[0] - push[1];
            }
        }
        for (j, other) in contacts.iter().enumerate() {
            give[(i, j)] =
                (0..5).map(|k| contact.row[k] * tooth.compliance[k] * other.row[k]).sum();
        }
    }
    let mut unbalanced = [0.0; 5];
    for k in 0..5 {
        let pushed: f64 = contacts.iter().enumerate().map(|(i, c)| c.row[k] * force[i]).sum();
        unbalanced[k] = tooth.load[k] - carried[k] - pushed;
    }
    let mut offset = Six::zeros();
    for (i, contact) in contacts.iter().enumerate() {
        offset[i] = (0..5).map(|k| contact.row[k] * tooth.compliance[k] * unbalanced[k]).sum();
    }
    // A tooth gives in each direction of contact on its own (see `Contact::row`), so contacts couple
    // two by two at most: the same direction at both edges.
    let mut stiffness = SixBySix::zeros();
    for (i, contact) in contacts.iter().enumerate() {
        let other = (i + 1..contacts.len()).find(|&j| contacts[j].dof == contact.dof);
        let own = |k: usize| 1.0 + root[k] * give[(k, k)] * root[k];
        if let Some(j) = other {
            let (a, c) = (own(i), own(j));
            let b = root[i] * give[(i, j)] * root[j];
            let over = 1.0 / (a * c - b * b);
            stiffness[(i, i)] = root[i] * c * over * root[i];
            stiffness[(j, j)] = root[j] * a * over * root[j];
            stiffness[(i, j)] = -(root[i] * b * over * root[j]);
            stiffness[(j, i)] = stiffness[(i, j)];
        } else if !contacts[..i].iter().any(|c| c.dof == contact.dof) {
            stiffness[(i, i)] = root[i] / own(i) * root[i];
        }
    }
    Grip { stiffness, force, offset, unbalanced, give }
}

impl Grip {
    /// Force on the wire that the grip adds to the right side of the wire's step.
    pub fn right_side(&self) -> Six {
        self.force + self.stiffness * self.offset
    }

    /// From the wire's step at the contacts: change of the gaps, and of the forces the tooth carries.
    pub fn recover(&self, contacts: &[Contact], wire: &Six) -> (Six, [f64; 5]) {
        let pulled = wire - self.offset;
        let force = self.stiffness * pulled;
        let gaps = pulled - self.give * force;
        let mut carried = self.unbalanced;
        for (i, contact) in contacts.iter().enumerate() {
            for k in 0..5 {
                carried[k] += contact.row[k] * force[i];
            }
        }
        (gaps, carried)
    }
}
