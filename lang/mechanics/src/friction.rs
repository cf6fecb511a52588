//! Resistance of the slots to a wire that is shifted along them, read off a solved arch.
//!
//! The contacts are those of the frictionless equilibrium. Their sum times the coefficient is the first
//! order: a ranking of the slots and, over many teeth, a lower figure. A hand that pushes loads the wire in
//! front of it, one that pulls the wire behind it, and that axial force presses the wire onto the slots' edges
//! or lifts it off them wherever it turns; [`SlidingWire::shifted_n`] adds this, edge by edge from the free end
//! to the hand. The shape of the wire stays that of the equilibrium, and play that the axial force would
//! have to take up first is not counted.

use super::{
    ArchWire, Clip, Edge, Kinematics, SectionShape, Setup, Slot, Solution, ToothForces, closed,
};

/// A coefficient of kinetic friction, with the range that published figures leave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficient {
    /// What is taken.
    pub value: f64,
    /// Lowest believable.
    pub low: f64,
    /// Highest believable.
    pub high: f64,
}

/// What slides: the alloy of the wire, in slots of stainless steel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Surface {
    /// Stainless steel, solid or stranded.
    Steel,
    /// Cobalt-chromium.
    CobaltChromium,
    /// Nickel-titanium of any kind.
    NickelTitanium,
    /// Beta-titanium.
    BetaTitanium,
}

impl Surface {
    /// On a slot of stainless steel, in the mouth. Steel 0.14 dry and up to 0.05 more in saliva, beta-titanium
    /// 0.46 dry (Kusy RP, Whitley JQ, Prewitt MJ. Angle Orthod 1991;61(4):293-302); steel 0.21 on another
    /// rig (Arici N et al. Korean J Orthod 2015;45(1):29-37); cobalt-chromium 0.13 to 0.18, nickel-titanium
    /// 0.20 to 0.34, dry (Kusy RP, Whitley JQ. Am J Orthod Dentofacial Orthop 1990;98(4):300-312, values from
    /// memory). For beta-titanium the dry figure is taken as the upper end: judgement.
    pub const fn on_steel(self) -> Coefficient {
        match self {
            Surface::Steel => Coefficient { value: 0.15, low: 0.10, high: 0.25 },
            Surface::CobaltChromium => Coefficient { value: 0.16, low: 0.10, high: 0.25 },
            Surface::NickelTitanium => Coefficient { value: 0.25, low: 0.15, high: 0.40 },
            Surface::BetaTitanium => Coefficient { value: 0.35, low: 0.20, high: 0.50 },
        }
    }
}

/// Friction of an active clip on the wire, N: none to 50 g a bracket under the critical angle (Thorstenson GA,
/// Kusy RP. Am J Orthod Dentofacial Orthop 2002;121(5):472-482, read second-hand); the middle is taken.
pub const CLIP_N: Coefficient = Coefficient { value: 0.245, low: 0.0, high: 0.49 };

/// One set of figures to compute with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Friction {
    /// Coefficient of wire on slot.
    pub coefficient: f64,
    /// Friction of an active clip where it touches, N.
    pub clip_n: f64,
}

/// Towards which side the wire is shifted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Towards {
    /// Smaller stations.
    Right,
    /// Larger stations.
    Left,
}

/// How the hand shifts it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hand {
    /// At the end that goes in: the wire in front of it is pressed.
    Pushes,
    /// At the end that comes out: the wire behind it is drawn.
    Pulls,
}

/// Resistance of one slot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlotResistance {
    /// The tooth's [`Slot::id`].
    pub id: u16,
    /// Force square to the wire, summed over its edges, corners of a twisted wire counted, N.
    pub pressed_n: f64,
    /// Along the wire, N.
    pub resistance_n: f64,
}

/// A held edge as the wire slides over it.
#[derive(Debug, Clone, Copy)]
struct SlidEdge {
    /// Index of its slot.
    slot: usize,
    /// In space, mm.
    at: [f64; 3],
    /// Unit vector along the wire.
    heading: [f64; 3],
    /// Force of the wire on the edge, square to the wire, N.
    square_n: [f64; 3],
    /// Force of the corners of a twisted wire, N.
    corners_n: f64,
    /// Clips on it: the slot's own over its edges.
    clip: f64,
}

/// What a solved wire meets where it slides: every edge in order of station, and the way the wire turns there.
#[derive(Debug, Clone)]
pub struct SlidingWire {
    ids: Vec<u16>,
    edges: Vec<SlidEdge>,
    /// From each edge to the next.
    pieces: Vec<WirePiece>,
}

/// The wire between two edges.
#[derive(Debug, Clone, Copy)]
struct WirePiece {
    /// Unit vector from edge to edge.
    heading: [f64; 3],
    in_slot: bool,
}

impl SlidingWire {
    /// Reads the contacts of a solution of this set-up.
    pub fn of(setup: &Setup, solution: &Solution) -> SlidingWire {
        let mut edges = Vec::new();
        for (n, tooth) in solution.teeth.iter().enumerate() {
            let slot = setup.slots.iter().find(|s| s.id == tooth.id);
            let clip = slot.map_or(0.0, |s| if clips(s, &setup.wire, tooth) { 1.0 } else { 0.0 });
            let share = clip / tooth.edges.len().max(1) as f64;
            edges.extend(tooth.edges.iter().map(|edge| slid(setup, n, edge, share)));
        }
        let piece = |w: &[SlidEdge]| WirePiece {
            heading: unit(minus(w[1].at, w[0].at), w[0].heading),
            in_slot: w[0].slot == w[1].slot,
        };
        let pieces = edges.windows(2).map(piece).collect();
        SlidingWire { ids: solution.teeth.iter().map(|t| t.id).collect(), edges, pieces }
    }

    /// Resistance of every edge by the contacts alone, in order of station, N.
    pub(crate) fn edges_n(&self, friction: &Friction) -> Vec<f64> {
        let pressed = |e: &SlidEdge| size(e.square_n) + e.corners_n;
        let held = |e| friction.coefficient * pressed(e) + friction.clip_n * e.clip;
        self.edges.iter().map(held).collect()
    }

    /// Resistance of every slot by the contacts alone: the first order.
    pub fn slots(&self, friction: &Friction) -> Vec<SlotResistance> {
        let zero = |id: &u16| SlotResistance { id: *id, pressed_n: 0.0, resistance_n: 0.0 };
        let mut out: Vec<SlotResistance> = self.ids.iter().map(zero).collect();
        for edge in &self.edges {
            let pressed = size(edge.square_n) + edge.corners_n;
            out[edge.slot].pressed_n += pressed;
            out[edge.slot].resistance_n +=
                friction.coefficient * pressed + friction.clip_n * edge.clip;
        }
        out
    }

    /// Their sum, N: what it takes to shift the wire, by the contacts alone.
    pub fn first_order_n(&self, friction: &Friction) -> f64 {
        self.slots(friction).iter().map(|s| s.resistance_n).sum()
    }

    /// The slot that holds the wire most, and its share of the first order.
    pub fn tightest(&self, friction: &Friction) -> Option<(u16, f64)> {
        let slots = self.slots(friction);
        let all: f64 = slots.iter().map(|s| s.resistance_n).sum();
        let most = slots.into_iter().max_by(|a, b| a.resistance_n.total_cmp(&b.resistance_n))?;
        (all > 0.0).then(|| (most.id, most.resistance_n / all))
    }

    /// Force to shift the wire that way, N.
    pub fn shifted_n(&self, friction: &Friction, hand: Hand, towards: Towards) -> f64 {
        // From the free end to the hand the axial force grows by what each edge holds.
        let to_larger = matches!(
            (hand, towards),
            (Hand::Pulls, Towards::Left) | (Hand::Pushes, Towards::Right)
        );
        let sign = if hand == Hand::Pushes { 1.0 } else { -1.0 };
        let mut level = 0.0;
        let count = self.edges.len();
        for step in 0..count {
            let i = if to_larger { step } else { count - 1 - step };
            let edge = &self.edges[i];
            let low = i.checked_sub(1).map(|k| self.pieces[k]);
            let high = self.pieces.get(i).copied();
            let (free, held) = if to_larger { (low, high) } else { (high, low) };
            let spans = [free, held].map(|p| p.is_some_and(|p| !p.in_slot));
            // Outside the outermost edges the wire goes on as it lies in its slot.
            let (Some(free), Some(held)) = (free.or(held), held.or(free)) else { break };
            let turn = across(minus(free.heading, held.heading), edge.heading);
            let way = if to_larger { sign } else { -sign };
            // What the edge holds loads the piece behind it, which presses on the edge in turn.
            let mut holds = 0.0;
            for _ in 0..ROUNDS {
                // The axial force of the free span turns where it enters the slot.
                let axial = match spans {
                    [true, false] => level,
                    [false, true] => level + holds,
                    _ => level + 0.5 * holds,
                };
                let pressed = size(plus(edge.square_n, times(way * axial, turn)));
                let before = std::mem::replace(
                    &mut holds,
                    friction.coefficient * (pressed + edge.corners_n) + friction.clip_n * edge.clip,
                );
                if (holds - before).abs() <= SETTLED * holds {
                    break;
                }
            }
            level += holds;
        }
        level
    }

    /// What the chair test feels, N: the gentler of both ways, as the hand does it with this wire.
    pub fn chair_n(&self, friction: &Friction, wire: &ArchWire) -> f64 {
        let hand = if is_pulled(wire) { Hand::Pulls } else { Hand::Pushes };
        let one = |towards| self.shifted_n(friction, hand, towards);
        one(Towards::Right).min(one(Towards::Left))
    }
}

/// Rounds of the force that an edge holds against the turn it makes: it converges as the coefficient times
/// the turn in radians, so to a millionth at 0.3.
const ROUNDS: usize = 12;
/// Share by which the last round may have changed it.
const SETTLED: f64 = 1e-9;
/// Wire outside the last tube that a hand pushes by, mm (common practice, no source).
const TAIL_MM: f64 = 10.0;
/// A tail that buckles under less cannot be pushed against a wire that binds, N (twice the 100 g that count
/// as binding; common practice, no source).
const TAIL_HOLDS_N: f64 = 2.0;

/// Whether the hand pulls this wire rather than pushing it: a round wire whose tail would buckle.
pub fn is_pulled(wire: &ArchWire) -> bool {
    let stock = &wire.stock;
    let round = matches!(stock.section.shape, SectionShape::Round { .. });
    let stiffness = closed::flexural_rigidity(&stock.section, &stock.law).map_or(0.0, |ei| ei.0);
    let wires = if wire.tandem.is_some() { 2.0 } else { 1.0 };
    let buckles = closed::tail_buckles_n(wires * stiffness, TAIL_MM);
    round && buckles.is_some_and(|n| n < TAIL_HOLDS_N)
}

/// Whether an active clip lies on the wire: always where it presses it to the base, else where the wire
/// presses outwards.
fn clips(slot: &Slot, wire: &ArchWire, tooth: &ToothForces) -> bool {
    let depth = super::slot_edges::wire_size(wire).1;
    match slot.clip {
        Clip::Passive => false,
        Clip::Active { depth_left_mm } => {
            depth_left_mm <= depth || tooth.edges.iter().any(|e| e.lingual_n < 0.0)
        }
    }
}

fn slid(setup: &Setup, slot: usize, edge: &Edge, clip: f64) -> SlidEdge {
    let here = setup.arch.station(edge.station_mm);
    let space = |along: f64, lingual: f64, gingival: f64| {
        let [x, y] = here.compose(along, lingual);
        [x, y, gingival]
    };
    let [x, y, z] = space(0.0, edge.wire_lingual_mm, edge.wire_gingival_mm);
    let (turn, tip) = (edge.wire_rotated_rad.sin_cos(), edge.wire_tipped_rad.sin_cos());
    let heading = space(tip.1 * turn.1, tip.1 * turn.0, tip.0);
    let force = space(edge.along_n, edge.lingual_n, edge.gingival_n);
    // Small slopes know no force along the line: the force across it is the one square to the wire.
    let square_n = match setup.settings.kinematics {
        Kinematics::Exact => across(force, heading),
        Kinematics::SmallSlope => force,
    };
    let corners_n = match setup.wire.stock.section.shape {
        SectionShape::Rectangular { height_mm, depth_mm, .. } => {
            2.0 * edge.torque_nmm.abs() / height_mm.max(depth_mm)
        }
        SectionShape::Round { .. } => 0.0,
    };
    SlidEdge { slot, at: [here.at[0] + x, here.at[1] + y, z], heading, square_n, corners_n, clip }
}

#[inline]
fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

#[inline]
fn plus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

#[inline]
fn times(s: f64, a: [f64; 3]) -> [f64; 3] {
    [s * a[0], s * a[1], s * a[2]]
}

#[inline]
fn size(a: [f64; 3]) -> f64 {
    (a[0] * a[0] + a[1] * a[1] + a[2] * a[2]).sqrt()
}

/// The part of a vector square to a unit vector.
fn across(a: [f64; 3], unit: [f64; 3]) -> [f64; 3] {
    let along = a[0] * unit[0] + a[1] * unit[1] + a[2] * unit[2];
    minus(a, times(along, unit))
}

fn unit(a: [f64; 3], otherwise: [f64; 3]) -> [f64; 3] {
    let length = size(a);
    if length > 0.0 { a.map(|x| x / length) } else { otherwise }
}
