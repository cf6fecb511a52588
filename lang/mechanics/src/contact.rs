//! One-sided contacts between wire and slot edges, and teeth on elastic supports.

use nalgebra::{SMatrix, SVector};

use super::mesh::NodeValues;
use super::support::{Give, GiveState, SixForces, dot};

/// A contact of the wire at a node against a wall of a slot.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Contact {
    pub node: usize,
    /// 0 labiolingual, 2 occlusogingival, 4 twist.
    pub dof: usize,
    /// Index of the tooth that carries the wall.
    pub tooth: usize,
    /// How the wall moves with the tooth's displacement.
    pub row: SixForces,
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

/// A tooth: its support, the external loads on it, and its contacts.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ElasticTooth {
    pub give: Give,
    /// Loads at the bracket's centre, and the thrust of the wire along the arch as of the last solve.
    pub load: SixForces,
    /// What the tooth is held back from its give: the way that a load would have in a march.
    pub back: SixForces,
    /// First contact and one past the last; at most six.
    pub contacts: (usize, usize),
}

impl ElasticTooth {
    /// How far the tooth is from its place where its support carries `w` (see [`Give`]).
    pub fn displaced(&self, w: &SixForces) -> SixForces {
        let gave = self.give.times(w);
        std::array::from_fn(|k| gave[k] - self.back[k])
    }
}

pub(crate) type Six = SVector<f64, 6>;
pub(crate) type SixBySix = SMatrix<f64, 6, 6>;

/// Gap of a contact: the wire's place against the middle of the room, the tooth being displaced.
#[inline]
pub(crate) fn gap(contact: &Contact, node: &NodeValues, displaced: &SixForces) -> f64 {
    node[contact.dof] - (contact.target + dot(&contact.row, displaced))
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
    unbalanced: SixForces,
    give: SixBySix,
    /// The support where the step begins, and what it carries there.
    state: GiveState,
    carried: SixForces,
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
    carried: &SixForces,
    barrier: f64,
) -> Grip {
    let state = tooth.give.at(carried);
    let mut root = Six::zeros();
    let mut force = Six::zeros();
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
    }
    let mut unbalanced = [0.0; 6];
    for k in 0..6 {
        let pushed: f64 = contacts.iter().enumerate().map(|(i, c)| c.row[k] * force[i]).sum();
        unbalanced[k] = tooth.load[k] - state.ratio * carried[k] - pushed;
    }
    let (give, offset) = given(contacts, tooth, &state, &unbalanced);
    let stiffness = match tooth.give.diagonal && !coupled(contacts, &give) {
        true => in_pairs(contacts, &root, &give),
        false => together(contacts.len(), &root, &give),
    };
    Grip { stiffness, force, offset, unbalanced, give, state, carried: *carried }
}

/// The tooth's give at its contacts, `B C B^T`, and what its unbalanced load does there.
fn given(
    contacts: &[Contact],
    tooth: &ElasticTooth,
    state: &GiveState,
    unbalanced: &SixForces,
) -> (SixBySix, Six) {
    let mut give = SixBySix::zeros();
    let mut offset = Six::zeros();
    let tangent = match tooth.give.diagonal {
        true => tooth.give.matrix,
        false => state.tangent(&tooth.give),
    };
    for (i, contact) in contacts.iter().enumerate() {
        let reached: SixForces = match tooth.give.diagonal {
            true => std::array::from_fn(|k| contact.row[k] * tangent[k][k]),
            false => std::array::from_fn(|k| dot(&contact.row, &tangent[k])),
        };
        for (j, other) in contacts.iter().enumerate() {
            give[(i, j)] = dot(&reached, &other.row);
        }
        offset[i] = dot(&reached, unbalanced);
    }
    (give, offset)
}

/// Where a tooth gives in each direction of contact on its own (see `Contact::row`), contacts couple two by two
/// at most: the same direction at both edges.
fn in_pairs(contacts: &[Contact], root: &Six, give: &SixBySix) -> SixBySix {
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
    stiffness
}

/// `R (1 + R M R)^-1 R` of all contacts, by Cholesky's factors.
fn together(count: usize, root: &Six, give: &SixBySix) -> SixBySix {
    let mut l = [[0.0; 6]; 6];
    for i in 0..count {
        for j in 0..=i {
            let unit = if i == j { 1.0 } else { 0.0 };
            let mut sum = unit + root[i] * give[(i, j)] * root[j];
            for k in 0..j {
                sum -= l[i][k] * l[j][k];
            }
            // Not under one in exact arithmetic.
            l[i][j] = if i == j { sum.max(1e-12).sqrt() } else { sum / l[j][j] };
        }
    }
    // The rows of the inverse factor, times the roots.
    let mut inverse = [[0.0; 6]; 6];
    for c in 0..count {
        inverse[c][c] = root[c] / l[c][c];
        for i in c + 1..count {
            let sum: f64 = (c..i).map(|k| l[i][k] * inverse[k][c]).sum();
            inverse[i][c] = -sum / l[i][i];
        }
    }
    let mut stiffness = SixBySix::zeros();
    for i in 0..count {
        for j in 0..=i {
            let sum = (i..count).map(|k| inverse[k][i] * inverse[k][j]).sum();
            stiffness[(i, j)] = sum;
            stiffness[(j, i)] = sum;
        }
    }
    stiffness
}

/// Whether a push in one direction moves the tooth's walls in another: a slot turned against the arch line.
fn coupled(contacts: &[Contact], give: &SixBySix) -> bool {
    contacts.iter().enumerate().any(|(i, a)| {
        contacts[..i].iter().enumerate().any(|(j, b)| a.dof != b.dof && give[(i, j)] != 0.0)
    })
}

impl Grip {
    /// Force on the wire that the grip adds to the right side of the wire's step.
    pub fn right_side(&self) -> Six {
        self.force + self.stiffness * self.offset
    }

    /// From the wire's step at the contacts: change of the gaps, and of what the tooth carries.
    pub fn recover(&self, contacts: &[Contact], wire: &Six) -> (Six, SixForces) {
        let pulled = wire - self.offset;
        let force = self.stiffness * pulled;
        let gaps = pulled - self.give * force;
        let mut carried = self.unbalanced;
        for (i, contact) in contacts.iter().enumerate() {
            for k in 0..6 {
                carried[k] += contact.row[k] * force[i];
            }
        }
        (gaps, self.state.back(&self.carried, &carried))
    }
}
