//! The bridge from the case to the mechanics.

use std::collections::BTreeMap;

use super::pose::ToothPose;
use super::state::ArchState;
use crate::mechanics::{self, Setup, Stock};
use crate::model::Case;
use crate::model::case::ArchCase;
use crate::model::quantity::{megapascals, mm};
use crate::model::stock::{Alloy, FormCurve, Section, Wire};
use crate::model::tooth::Tooth;

/// What is solved for one arch: slots carry the tooth's ISO number as their id.
#[derive(Debug, Clone, PartialEq)]
pub struct ArchSetup {
    pub base: Setup,
    /// A light wire laid over the base wire.
    pub overlay: Option<Setup>,
}

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

/// Section and material of a wire in the drawer: the house's own figures where it has measured
/// them, the alloy's named set elsewhere.
pub fn stock(wire: &Wire) -> Stock {
    let edge = wire.edge.map_or(EDGE_MM, mm);
    let mut section = match wire.section {
        Section::Round { diameter } => mechanics::Section::round(mm(diameter)),
        Section::Square { side } => mechanics::Section::square(mm(side), edge),
        Section::Rect { height, depth } => {
            mechanics::Section::rectangular(mm(height), mm(depth), edge)
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
    Stock { section, law: measured(wire, law) }
}

/// The house's own modulus, yield stress and plateaus.
fn measured(wire: &Wire, law: mechanics::Law) -> mechanics::Law {
    match law {
        mechanics::Law::Linear(mut linear) => {
            if let Some(modulus) = wire.modulus {
                let ratio = megapascals(modulus) / linear.modulus_mpa;
                linear.modulus_mpa *= ratio;
                linear.shear_modulus_mpa *= ratio;
            }
            if let Some(stress) = wire.yield_stress {
                linear.strain_limit = megapascals(stress) / linear.modulus_mpa;
            }
            mechanics::Law::Linear(linear)
        }
        mechanics::Law::Flag(mut flag) => {
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

/// The arch line of a form.
pub fn arch_line(curve: FormCurve) -> mechanics::ArchLine {
    match curve {
        FormCurve::Catenary { a } => mechanics::ArchLine::Catenary { a_mm: mm(a) },
        FormCurve::Circle { radius } => mechanics::ArchLine::Circle { radius_mm: mm(radius) },
    }
}

/// The set-up of an arch in a state, with the teeth standing as said (teeth not in `poses` are in
/// place).
pub fn arch_setup(
    _case: &Case,
    _arch: &ArchCase,
    state: &ArchState,
    _poses: &BTreeMap<Tooth, ToothPose>,
) -> ArchSetup {
    let stock = stock(&state.wire.wire);
    let wire = mechanics::Wire::new(stock.section, stock.law);
    let base = Setup {
        arch: arch_line(state.form.curve),
        slots: Vec::new(),
        wire,
        loads: Vec::new(),
        settings: mechanics::Settings::default(),
    };
    ArchSetup { base, overlay: None }
}
