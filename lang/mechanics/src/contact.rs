//! One-sided contacts between wire and slot edges, and teeth on elastic supports.

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

/// Change of a contact's slacks and forces in a step from the change of its gap and the force on the wire after it. An
/// open side follows the gap. A closed one, more force than slack, follows the force: its slack may be a hundred-millionth of a
/// micrometre, of which the gap, a difference of places, knows nothing.
pub(crate) fn change(
    touch: &ContactState,
    miss: [f64; 2],
    gap: f64,
    on_wire: f64,
    barrier: f64,
) -> ContactState {
    let (s, f) = (touch.slack, touch.force);
    let mut d = ContactState::default();
    for k in 0..2 {
        let sign = if k == 0 { 1.0 } else { -1.0 };
        d.slack[k] = sign * gap + miss[k];
        d.force[k] = (barrier - f[k] * d.slack[k]) / s[k] - f[k];
    }
    let k = usize::from(f[1] * s[0] > f[0] * s[1]);
    if f[k] > s[k] {
        let sign = if k == 0 { 1.0 } else { -1.0 };
        let other = f[1 - k] + d.force[1 - k];
        d.force[k] = sign * on_wire + other - f[k];
        d.slack[k] = (barrier - s[k] * (f[k] + d.force[k])) / f[k];
    }
    d
}

/// A tooth: its support, the external loads on it, and its contacts.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ElasticTooth {
    pub give: Give,
    /// Loads at the bracket's centre.
    pub load: SixForces,
    /// What the tooth is held back from its give: the way that a load would have in a march, and what the base line
    /// counts as given already.
    pub back: SixForces,
    /// The latter alone.
    pub counted: SixForces,
    /// First contact and one past the last; at most six.
    pub contacts: (usize, usize),
}

impl ElasticTooth {
    /// How far the tooth is from its place where its support has given so much (see [`Give`]).
    #[inline]
    pub fn displaced(&self, state: &GiveState) -> SixForces {
        let mut from_place = state.displaced;
        for k in 0..6 {
            from_place[k] -= self.back[k];
        }
        from_place
    }
}

type Six = [f64; 6];
type SixBySix = [[f64; 6]; 6];

/// What a tooth gives at its contacts in the first stage of its support: the same for every step of a search.
#[derive(Debug, Clone)]
pub(crate) struct WallGive {
    /// `B C0`: displacement of the tooth by a force at each contact.
    reach: SixBySix,
    /// `B C0 B^T`.
    give: SixBySix,
    /// What a travel adds to both (see [`Give`]).
    travel: Option<TravelAtWalls>,
    /// Contacts couple two by two at most, the same direction at both edges.
    in_pairs: bool,
}

/// `B D` and `B D B^T` of a travel.
#[derive(Debug, Clone)]
struct TravelAtWalls {
    reach: SixBySix,
    give: SixBySix,
}

impl TravelAtWalls {
    fn of(contacts: &[Contact], travel: &SixBySix) -> TravelAtWalls {
        let mut at = TravelAtWalls { reach: [[0.0; 6]; 6], give: [[0.0; 6]; 6] };
        for (i, contact) in contacts.iter().enumerate() {
            at.reach[i] = std::array::from_fn(|k| dot(&travel[k], &contact.row));
            for (j, other) in contacts.iter().enumerate() {
                at.give[i][j] = dot(&at.reach[i], &other.row);
            }
        }
        at
    }
}

impl WallGive {
    pub fn of(contacts: &[Contact], give: &Give) -> WallGive {
        let mut walls = WallGive {
            reach: [[0.0; 6]; 6],
            give: [[0.0; 6]; 6],
            travel: give.travel.as_ref().map(|travel| TravelAtWalls::of(contacts, travel)),
            in_pairs: give.diagonal,
        };
        for (i, contact) in contacts.iter().enumerate() {
            walls.reach[i] = give.times(&contact.row);
            for (j, other) in contacts.iter().enumerate().take(i + 1) {
                let both = dot(&walls.reach[i], &other.row);
                walls.give[i][j] = both;
                walls.give[j][i] = both;
                // A push in one direction moves the walls in another where the slot is turned against the arch line.
                walls.in_pairs &= contact.dof == other.dof || both == 0.0;
            }
        }
        walls
    }
}

/// Gap of a contact: the wire's place against the middle of the room, the tooth being displaced.
#[inline]
pub(crate) fn gap(contact: &Contact, node: &NodeValues, displaced: &SixForces) -> f64 {
    node[contact.dof] - (contact.target + dot(&contact.row, displaced))
}

/// A tooth in a Newton step: what does not change, and where the step begins.
#[derive(Debug, Clone, Copy)]
pub(crate) struct HeldTooth<'a> {
    pub contacts: &'a [Contact],
    pub walls: &'a WallGive,
    pub state: &'a GiveState,
    /// What the support carries.
    pub carried: &'a SixForces,
}

/// The contribution of one tooth to a Newton step, with its slacks, forces and displacement eliminated.
#[derive(Debug, Clone)]
pub(crate) struct Grip {
    /// Stiffness that the wire feels at the contacts.
    pub stiffness: SixBySix,
    /// Force on the wire that the grip adds to the right side of the wire's step.
    pub right_side: Six,
    /// Force on the wire before the stiffness.
    force: Six,
    /// What the unbalanced load of the tooth does at the contacts.
    offset: Six,
    /// Unbalanced load of the tooth against the force on the wire before the stiffness.
    unbalanced: SixForces,
    /// How far the first stage has displaced the walls.
    moved: Six,
}

/// Eliminates slacks, contact forces and the tooth's displacement.
///
/// With `D` the contacts' own stiffness and `M = B C B^T` the tooth's give at them, the wire feels
/// `(D^-1 + M)^-1`, written so that neither a rigid tooth nor an open contact divides by zero.
pub(crate) fn grip(
    held: &HeldTooth<'_>,
    touches: &[ContactState],
    gaps: &[f64],
    load: &SixForces,
    barrier: f64,
) -> Grip {
    let HeldTooth { contacts, walls, state, carried } = *held;
    let count = contacts.len().min(6);
    let (mut root, mut force) = ([0.0; 6], [0.0; 6]);
    let mut unbalanced = [0.0; 6];
    for k in 0..6 {
        unbalanced[k] = load[k] - state.ratio * carried[k];
    }
    let (mut offset, mut moved) = ([0.0; 6], [0.0; 6]);
    for i in 0..count {
        let (contact, touch, gap) = (&contacts[i], &touches[i], gaps[i]);
        match contact.room {
            Room::Held => {
                root[i] = (1.0 / HELD_GIVE).sqrt();
                force[i] = touch.force[0] - gap / HELD_GIVE;
            }
            Room::Between { low, high } => {
                let over = [1.0 / touch.slack[0], 1.0 / touch.slack[1]];
                let stiff = [touch.force[0] * over[0], touch.force[1] * over[1]];
                let miss = [gap - low - touch.slack[0], high - gap - touch.slack[1]];
                root[i] = (stiff[0] + stiff[1]).sqrt();
                force[i] = barrier * over[0]
                    - stiff[0] * miss[0]
                    - (barrier * over[1] - stiff[1] * miss[1]);
            }
        }
        for k in 0..6 {
            unbalanced[k] -= contact.row[k] * force[i];
        }
        moved[i] = dot(&contact.row, &state.first_stage);
    }
    let (ease, less) = state.tangent();
    let lost = less * dot(&state.first_stage, &unbalanced);
    for i in 0..count {
        offset[i] = ease * (dot(&walls.reach[i], &unbalanced) - lost * moved[i]);
        if let Some(travel) = &walls.travel {
            offset[i] += dot(&travel.reach[i], &unbalanced);
        }
    }
    let stiffness = if walls.in_pairs {
        in_pairs(contacts, &root, &walls.give)
    } else {
        let mut give = walls.give;
        for i in 0..count {
            for j in 0..=i {
                give[i][j] = ease * (give[i][j] - less * moved[i] * moved[j]);
                if let Some(travel) = &walls.travel {
                    give[i][j] += travel.give[i][j];
                }
            }
        }
        together(count, &root, &give)
    };
    let mut right_side = force;
    for i in 0..count {
        for j in 0..count {
            right_side[i] += stiffness[i][j] * offset[j];
        }
    }
    Grip { stiffness, right_side, force, offset, unbalanced, moved }
}

/// Where a tooth gives in each direction of contact on its own (see `Contact::row`).
fn in_pairs(contacts: &[Contact], root: &Six, give: &SixBySix) -> SixBySix {
    let mut stiffness = [[0.0; 6]; 6];
    for (i, contact) in contacts.iter().enumerate() {
        let other = (i + 1..contacts.len()).find(|&j| contacts[j].dof == contact.dof);
        let own = |k: usize| 1.0 + root[k] * give[k][k] * root[k];
        if let Some(j) = other {
            let (a, c) = (own(i), own(j));
            let b = root[i] * give[i][j] * root[j];
            let over = 1.0 / (a * c - b * b);
            stiffness[i][i] = root[i] * c * over * root[i];
            stiffness[j][j] = root[j] * a * over * root[j];
            stiffness[i][j] = -(root[i] * b * over * root[j]);
            stiffness[j][i] = stiffness[i][j];
        } else if !contacts[..i].iter().any(|c| c.dof == contact.dof) {
            stiffness[i][i] = root[i] / own(i) * root[i];
        }
    }
    stiffness
}

/// `R (1 + R M R)^-1 R` of all contacts, by Cholesky's factors; of `M` the lower triangle is read. Most slots hold their
/// wire at two edges, in two directions or three: for these the compiler counts the loops out.
fn together(count: usize, root: &Six, give: &SixBySix) -> SixBySix {
    match count {
        4 => factored(4, root, give),
        6 => factored(6, root, give),
        _ => factored(count, root, give),
    }
}

#[inline(always)]
fn factored(count: usize, root: &Six, give: &SixBySix) -> SixBySix {
    let mut l = [[0.0; 6]; 6];
    let mut over = [0.0; 6];
    for i in 0..count {
        for j in 0..i {
            let mut sum = root[i] * give[i][j] * root[j];
            for k in 0..j {
                sum -= l[i][k] * l[j][k];
            }
            l[i][j] = sum * over[j];
        }
        let mut sum = 1.0 + root[i] * give[i][i] * root[i];
        for k in 0..i {
            sum -= l[i][k] * l[i][k];
        }
        // Not under one in exact arithmetic.
        over[i] = 1.0 / sum.max(1e-12).sqrt();
    }
    // The rows of the inverse factor, times the roots.
    let mut inverse = [[0.0; 6]; 6];
    for c in 0..count {
        inverse[c][c] = root[c] * over[c];
        for i in c + 1..count {
            let mut sum = 0.0;
            for k in c..i {
                sum += l[i][k] * inverse[k][c];
            }
            inverse[i][c] = -sum * over[i];
        }
    }
    let mut stiffness = [[0.0; 6]; 6];
    for i in 0..count {
        for j in 0..=i {
            let mut sum = 0.0;
            for k in i..count {
                sum += inverse[k][i] * inverse[k][j];
            }
            stiffness[i][j] = sum;
            stiffness[j][i] = sum;
        }
    }
    stiffness
}

/// What a tooth's part in a step comes to.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Recovered {
    /// Change of the gaps.
    pub gaps: Six,
    /// Force on the wire at each contact after the step.
    pub on_wire: Six,
    /// Change of what the support carries.
    pub carried: SixForces,
}

impl Grip {
    /// From the wire's step at the contacts.
    pub fn recover(&self, held: &HeldTooth<'_>, wire: &Six) -> Recovered {
        let count = held.contacts.len().min(6);
        let mut pulled = [0.0; 6];
        let mut force = [0.0; 6];
        for i in 0..count {
            pulled[i] = wire[i] - self.offset[i];
        }
        let mut carried = self.unbalanced;
        let mut lost = 0.0;
        for i in 0..count {
            force[i] = dot(&self.stiffness[i], &pulled);
            lost += self.moved[i] * force[i];
            for k in 0..6 {
                carried[k] += held.contacts[i].row[k] * force[i];
            }
        }
        let (ease, less) = held.state.tangent();
        let mut gaps = pulled;
        for i in 0..count {
            let gave = dot(&held.walls.give[i], &force) - less * lost * self.moved[i];
            gaps[i] -= ease * gave;
            if let Some(travel) = &held.walls.travel {
                gaps[i] -= dot(&travel.give[i], &force);
            }
        }
        let mut on_wire = self.force;
        for i in 0..count {
            on_wire[i] -= force[i];
        }
        Recovered { gaps, on_wire, carried: held.state.back(held.carried, &carried) }
    }
}
