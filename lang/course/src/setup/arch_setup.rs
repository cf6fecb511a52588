//! Builds the mechanics' set-up of an arch from the case: slots, wires, and the pair of base wire and
//! overlay.

use std::collections::BTreeMap;

use crate::geometry::{ArchLayout, BracketPosition, Sliding, arch_line};
use crate::mouth::pose::ToothPose;
use crate::mouth::positions::Mouth;
use crate::plan::state::{ArchState, ToothInState, ToothStatus};
use crate::setup::axial::{HeldLength, bounds};
use crate::setup::loads::loads;
use crate::setup::measured::fitted;
use crate::setup::roots::root_support;
use crate::setup::ties::tooth_ties;
use springline_mechanics as mechanics;
use springline_mechanics::{
    Clip, Engagement, Housing, Load, Refusal, Setup, Slot, Solution, Start, Stock, Support,
    ToothForces, solve,
};
use springline_model::Case;
use springline_model::case::{ArchCase, Bonding};
use springline_model::step::{ActKind, Wing, WireUse};
use springline_model::stock::{Alloy, Closure, CrownTurn, Section, TrueHeight, Wire};
use springline_units::quantity::{from_mm, megapascals, mm, radians};
use springline_units::tooth::Tooth;

/// What is solved for one arch: slots carry the tooth's ISO number as their id.
#[derive(Debug, Clone, PartialEq)]
pub struct ArchSetup {
    pub base: Setup,
    /// An overlay: a light wire over the base wire.
    pub overlay: Option<Setup>,
    /// Lengths of the base wire that stops and bent ends hold.
    pub held: Vec<HeldLength>,
}

/// Base wire and overlay in equilibrium.
#[derive(Debug, Clone, PartialEq)]
pub struct ArchSolution {
    pub base: Solution,
    pub overlay: Option<Solution>,
}

impl ArchSolution {
    /// Every tooth once: from the base wire where it engages the tooth, else from the overlay.
    pub fn tooth_forces(&self) -> impl Iterator<Item = &ToothForces> {
        let alone = |t: &&ToothForces| self.base.tooth(t.id).is_none();
        let over = self.overlay.iter().flat_map(|o| &o.teeth).filter(alone);
        self.base.teeth.iter().chain(over)
    }
}

impl ArchSetup {
    /// Whether the base wire engages this tooth.
    pub fn is_in_base(&self, tooth: Tooth) -> bool {
        self.base.slots.iter().any(|s| u32::from(s.id) == tooth.code())
    }

    /// Base wire and overlay in equilibrium: fresh wires, or the same ones after the teeth have moved.
    ///
    /// # Errors
    /// As the mechanics' `solve`, of either wire.
    pub fn solve(&self, before: Option<&ArchSolution>) -> Result<ArchSolution, Refusal> {
        let overlay = match &self.overlay {
            Some(setup) => Some(solve(
                setup,
                before.and_then(|b| b.overlay.as_ref()).map_or(Start::Cold, Start::Carry),
            )?),
            None => None,
        };
        let base = base_under(self, overlay.as_ref());
        let base = solve(&base, before.map_or(Start::Cold, |b| Start::Carry(&b.base)))?;
        Ok(ArchSolution { base, overlay })
    }

    /// The same with the held lengths as bounds, as long as they are in `inserted`: the same slots as this wire went in.
    pub(crate) fn bounded(&self, inserted: &ArchSetup) -> ArchSetup {
        let mut out = self.clone();
        out.base.wire.bounds = bounds(&inserted.base, &self.held);
        out.held.clear();
        out
    }

    /// The same arch with another base wire: one wire, not a pair.
    pub fn with_wire(&self, wire: &Wire) -> ArchSetup {
        let mut other = self.clone();
        other.base.wire.stock = stock(wire);
        other.base.wire.tandem = None;
        other
    }
}

/// The base wire, loaded by the overlay's forces on the teeth that both engage.
pub(crate) fn base_under(setup: &ArchSetup, overlay: Option<&Solution>) -> Setup {
    let mut base = setup.base.clone();
    base.loads.extend(overlay.into_iter().flat_map(|over| passed_on(&setup.base, over)));
    base
}

/// Loads of an overlay on the teeth that the base wire engages too.
pub(crate) fn passed_on(base: &Setup, over: &Solution) -> Vec<Load> {
    over.teeth
        .iter()
        .filter(|t| base.slots.iter().any(|s| s.id == t.id))
        .map(|t| Load {
            id: t.id,
            lingual_n: t.lingual_n,
            gingival_n: t.gingival_n,
            along_n: t.along_n,
            at_mm: [0.0; 3],
        })
        .collect()
}

/// Depth at which an active clip presses, mm, where the house gives none: 0.018 in (common practice,
/// no source).
const ACTIVE_SEATS_MM: f64 = 0.018 * 25.4;

/// Depth that a ligature leaves of a slot: less than any wire.
const TIED_DOWN_MM: f64 = 0.01;

/// Corner radius of square and rectangular wires where the house gives none, mm. Drawn wires have
/// rounded edges of 0.04 to 0.08 mm (common practice, no source).
const EDGE_MM: f64 = 0.04;

/// Bending stiffness of a twisted wire against a solid one of its outline: about a fifth for three
/// strands, less for more (common practice, no source).
fn strand_ratio(strands: Option<u32>) -> f64 {
    match strands {
        Some(n) if n > 3 => 0.12,
        _ => 0.2,
    }
}

/// Section and material of a wire of the drawer in the mouth: as on the bench, at the mouth's temperature.
pub fn stock(wire: &Wire) -> Stock {
    let tested = bench_stock(wire);
    Stock { law: tested.law.at_temperature(wire.mouth_c), ..tested }
}

/// The same on the bench: the law fitted to the house's own bending curve where it has measured one, else its
/// own figures, else the alloy's named set.
pub fn bench_stock(wire: &Wire) -> Stock {
    let own = unfitted(wire);
    match fitted(wire, &own) {
        Some(Ok(fit)) => Stock { law: fit.law, ..own },
        // Where the curve cannot be fitted the alloy's parameters are used; the chart says so.
        Some(Err(_)) | None => own,
    }
}

/// Section and law before any measured curve is fitted: the alloy's set with the house's figures.
pub fn unfitted(wire: &Wire) -> Stock {
    let edge = wire.edge.map_or(EDGE_MM, mm);
    let mut section = match wire.section {
        Section::Round { diameter } => mechanics::WireSection::round(mm(diameter)),
        Section::Square { side } => mechanics::WireSection::square(mm(side), edge),
        Section::Rect { height, depth } => {
            mechanics::WireSection::rectangular(mm(height), mm(depth), edge)
        }
    };
    if wire.alloy == Alloy::MultistrandSteel {
        section.stiffness_ratio = strand_ratio(wire.strands);
    }
    let law = match wire.alloy {
        Alloy::Steel | Alloy::MultistrandSteel => mechanics::Law::steel(),
        Alloy::CobaltChromium => mechanics::Law::cobalt_chromium(),
        Alloy::BetaTitanium => mechanics::Law::beta_titanium(),
        Alloy::SuperelasticNiti => mechanics::Law::superelastic(),
        Alloy::ThermalNiti => mechanics::Law::thermal(),
    };
    Stock { section, law: figures(wire, law) }
}

/// The house's own modulus, yield stress and plateaus. An Af moves what the house has not measured.
fn figures(wire: &Wire, law: mechanics::Law) -> mechanics::Law {
    match law {
        mechanics::Law::Linear(mut linear) => {
            if let Some(modulus) = wire.modulus {
                let ratio = megapascals(modulus) / linear.modulus_mpa;
                linear.modulus_mpa *= ratio;
                linear.shear_modulus_mpa *= ratio;
            }
            if let Some(stress) = wire.yield_stress {
                linear.strain_limit = megapascals(stress) / linear.modulus_mpa;
                linear.yield_mpa = Some(megapascals(stress));
            }
            mechanics::Law::Linear(linear)
        }
        mechanics::Law::Flag(flag) => {
            let by_af = wire.af_c.map_or(law, |af| law.with_austenite_finish(af));
            let mechanics::Law::Flag(mut flag) = by_af else { return mechanics::Law::Flag(flag) };
            if let Some(modulus) = wire.modulus {
                flag.austenite_mpa = megapascals(modulus);
            }
            if let Some((start, end)) = wire.loading_plateau {
                flag.loading_start_mpa = megapascals(start);
                flag.loading_end_mpa = megapascals(end);
            }
            if let Some((start, end)) = wire.unloading_plateau {
                flag.unloading_start_mpa = megapascals(start);
                flag.unloading_end_mpa = megapascals(end);
            }
            mechanics::Law::Flag(flag)
        }
    }
}

/// Bending stiffness up and down, N mm2, both wires of a tandem together.
pub fn rigidity(wire: &WireUse) -> f64 {
    let of = |wire: &Wire| {
        let stock = stock(wire);
        let stiffness = mechanics::closed::flexural_rigidity(&stock.section, &stock.law);
        stiffness.map_or(0.0, |(up_down, _)| up_down)
    };
    of(&wire.wire) + wire.tandem.as_ref().map_or(0.0, |w| of(w))
}

/// The slot of a tooth; that of a 0.022 in bracket where the case gives none.
fn slot(tooth: &ToothInState, at: &BracketPosition, pose: ToothPose, bent: ToothPose) -> Slot {
    let mut slot = Slot::bracket(tooth.tooth.code() as u16, at.centre_mm, at.width_mm);
    // A bend beside a slot is equivalent to an opposite displacement of the tooth.
    let (p, b) = (pose.parts(), bent.parts());
    slot.stand = ToothPose::from_parts(std::array::from_fn(|i| p[i] - b[i])).stand();
    if let ToothStatus::HalfEngaged(wing) = tooth.status {
        slot.engagement = match wing {
            Wing::Both => Engagement::Full,
            Wing::Mesial => Engagement::MesialWing,
            Wing::Distal => Engagement::DistalWing,
        };
    }
    slot.support = if tooth.fixed { Support::RIGID } else { root_support(tooth.tooth) };
    let height = match &tooth.bonding {
        Some(bonding) => bonding.bracket.true_height_mm(),
        None => TrueHeight::by_name(from_mm(slot.height_mm)),
    };
    slot.height_mm = height.taken_mm;
    slot.height_range = [height.least_mm, height.most_mm].map(|mm| mm / height.taken_mm);
    let Some(bonding) = &tooth.bonding else { return slot };
    let bracket = &bonding.bracket;
    slot.depth_mm = mm(bracket.slot_depth);
    slot.housing = if bracket.is_tube { Housing::Tube } else { Housing::Bracket };
    slot.prescription_rad = own_torque_rad(tooth.tooth, bonding);
    if let Closure::Active { seats } = bracket.closure {
        let depth_left_mm = seats.map_or(ACTIVE_SEATS_MM, mm);
        slot.clip = Clip::Active { depth_left_mm };
    }
    if slot.engagement != Engagement::Full {
        // Its slide stays open; a steel ligature round the wing holds the wire on the base.
        slot.clip = Clip::Active { depth_left_mm: TIED_DOWN_MM };
    }
    slot
}

/// Torque of a bracket that is not the usual one, less the usual one's, crown-labial positive.
pub(crate) fn other_torque_rad(tooth: Tooth, bonding: &Bonding) -> f64 {
    own_torque_rad(tooth, bonding) - signed_rad(bonding.bracket.torque.of(tooth))
}

/// Torque of the bracket as it sits there, its variant and whether it is turned over counted; crown-labial
/// positive.
fn own_torque_rad(tooth: Tooth, bonding: &Bonding) -> f64 {
    let usual = bonding.bracket.torque.of(tooth);
    let variant = bonding.variant.as_ref().and_then(|name| bonding.bracket.variants.get(name));
    let own = signed_rad(variant.map_or(usual, |v| v.of(tooth)));
    if bonding.inverted { -own } else { own }
}

fn signed_rad(torque: Option<(springline_units::quantity::Angle, CrownTurn)>) -> f64 {
    match torque {
        Some((angle, CrownTurn::CrownLabial)) => radians(angle),
        Some((angle, CrownTurn::CrownLingual)) => -radians(angle),
        None => 0.0,
    }
}

/// Bends at each tooth, as the displacement that they aim at.
pub(crate) fn bends(state: &ArchState) -> BTreeMap<Tooth, ToothPose> {
    let mut out: BTreeMap<Tooth, ToothPose> = BTreeMap::new();
    for act in &state.acts {
        match &act.kind {
            ActKind::Bend { teeth, by } => {
                for tooth in teeth {
                    let (bend, sum) = (ToothPose::from_stand(*tooth, by), out.entry(*tooth));
                    let sum = sum.or_default();
                    let (a, b) = (sum.parts(), bend.parts());
                    *sum = ToothPose::from_parts(std::array::from_fn(|i| a[i] + b[i]));
                }
            }
            ActKind::Torque { teeth, angle, turn } => {
                let by = match turn {
                    CrownTurn::CrownLingual => radians(*angle),
                    CrownTurn::CrownLabial => -radians(*angle),
                };
                for tooth in teeth {
                    out.entry(*tooth).or_default().torque_rad += by;
                }
            }
            _ => {}
        }
    }
    out
}

fn archwire(state: &ArchState) -> mechanics::ArchWire {
    let first = stock(&state.wire.wire);
    let mut wire = mechanics::ArchWire::new(first.section, first.law);
    wire.tandem = state.wire.tandem.as_ref().map(|w| stock(w));
    let curve = state.acts.iter().rev().find_map(|a| match &a.kind {
        ActKind::ReverseCurve { depth } => Some(mm(*depth)),
        _ => None,
    });
    wire.reverse_curve = curve.map(|depth_mm| mechanics::ReverseCurve { depth_mm });
    wire
}

/// The set-up of an arch in a state, with everything standing as `mouth` says and the elastics of
/// those indices worn.
pub fn arch_setup(
    case: &Case,
    arch: &ArchCase,
    state: &ArchState,
    mouth: &Mouth,
    elastics: &[usize],
) -> ArchSetup {
    let layout = ArchLayout::of(arch, state, mouth);
    let bent = bends(state);
    let slot_of = |t: &ToothInState| {
        let at = layout.tooth(t.tooth)?;
        let bend = bent.get(&t.tooth).copied().unwrap_or_default();
        let mut slot = slot(t, at, mouth.pose(t.tooth), bend);
        slot.stand_error = mouth.entry_error(t.tooth);
        slot.stand_error_most = mouth.error_most(t.tooth);
        Some(slot)
    };
    let settings = mechanics::SolverSettings::quick();
    let line = arch_line(state.form.curve);
    let slots: Vec<Slot> = state.in_wire().filter_map(slot_of).collect();
    let base = Setup {
        arch: line,
        ties: tooth_ties(state, &slots),
        slots,
        wire: archwire(state),
        loads: loads(case, state, mouth, &layout, elastics),
        settings,
    };
    let overlay = state.acts.iter().rev().find_map(|a| match &a.kind {
        ActKind::Piggyback { wire, within, over } => Some((wire, within, over)),
        _ => None,
    });
    let overlay = overlay.map(|(wire, within, over)| {
        let held = |t: &&ToothInState| {
            let tied = over.contains(&t.tooth) || within.contains(&t.tooth);
            tied && t.bonding.is_some()
        };
        let stock = stock(wire);
        Setup {
            arch: line,
            slots: state.teeth.iter().filter(held).filter_map(slot_of).collect(),
            wire: mechanics::ArchWire::new(stock.section, stock.law),
            loads: Vec::new(),
            settings,
            ties: Vec::new(),
        }
    });
    let blocked = Sliding::of(&case.house, &layout, state, mouth, None).blocked();
    let held = blocked.iter().map(HeldLength::of).collect();
    ArchSetup { base, overlay, held }
}

/// The reference of the force rules: 0.014 in superelastic round wire in the same slots.
pub fn with_reference_wire(setup: &Setup) -> Setup {
    let law = mechanics::Law::superelastic();
    let mut wire = mechanics::ArchWire::new(mechanics::WireSection::round(0.014 * 25.4), law);
    wire.bounds = setup.wire.bounds.clone();
    Setup { wire, ..setup.clone() }
}

/// Whether the wire is that reference itself.
pub fn is_reference_wire(setup: &Setup) -> bool {
    let stock = &setup.wire.stock;
    let round = matches!(stock.section.shape, mechanics::SectionShape::Round { diameter_mm }
        if (diameter_mm - 0.014 * 25.4).abs() < 1e-6);
    round
        && stock.law == mechanics::Law::superelastic()
        && setup.wire.tandem.is_none()
        && setup.wire.reverse_curve.is_none()
}
