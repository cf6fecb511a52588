//! A wire going in: the forces at once, after a little give, and after half a millimetre.

use super::give::{Given, give};
use super::phase::{Action, Insertion, NoFigures, ToothLoad};
use super::run::passed_on;
use super::setup::{ArchSetup, is_reference_wire, with_reference_wire};
use crate::mechanics::{Law, Setup, Solution, Start, ToothForces};
use crate::model::tooth::Tooth;

/// Figures of a wire going in, and the solutions to go on from.
pub(crate) struct Inserted {
    pub insertion: Insertion,
    pub base: Option<Solution>,
    pub overlay: Option<Solution>,
    /// The base wire after the teeth have given a little, and their travel per N.
    pub given: Option<(Solution, f64)>,
    pub solves: usize,
}

pub(crate) fn insert(setup: &ArchSetup) -> Inserted {
    let mut solves = 0;
    let mut teeth = Vec::new();
    let mut over = None;
    let mut refused = None;
    let mut base_setup = setup.base.clone();
    if let Some(overlay) = &setup.overlay {
        match give(overlay, Start::Cold) {
            Ok(given) => {
                solves += given.solves;
                let tied = |id| setup.base.slots.iter().any(|s| s.id == id);
                let light = reference(overlay, &given, &mut solves);
                let loads = loads_of(&given, light.as_ref());
                teeth.extend(loads.into_iter().filter(|t| !tied(t.tooth.code() as u16)));
                base_setup.loads.extend(passed_on(&setup.base, &given.first));
                over = Some(given.first);
            }
            Err(refusal) => refused = Some(NoFigures::new(refusal)),
        }
    }
    match give(&base_setup, Start::Cold) {
        Ok(given) => {
            solves += given.solves;
            let reference = reference(&base_setup, &given, &mut solves);
            teeth.extend(loads_of(&given, reference.as_ref()));
            teeth.sort_by_key(|t: &ToothLoad| t.tooth);
            let travel = given.travel();
            let (first, delivered) = (given.first, given.delivered);
            let (taken_in_mm, blocked) = (first.taken_in_mm, first.blocked);
            let insertion = Insertion { teeth, refused, taken_in_mm, blocked };
            let given = travel.map(|travel| (delivered, travel));
            Inserted { insertion, base: Some(first), overlay: over, given, solves }
        }
        Err(refusal) => {
            let refused = Some(NoFigures::new(refusal));
            let insertion = Insertion { teeth, refused, ..Insertion::default() };
            let solves = solves + 1;
            Inserted { insertion, base: None, overlay: over, given: None, solves }
        }
    }
}

/// Sustained forces of the reference wire, tooth by tooth: this wire's own where it is that wire.
fn reference(setup: &Setup, own: &Given, solves: &mut usize) -> Option<Vec<(u16, f64)>> {
    let sustained =
        |given: &Given| given.sustained.teeth.iter().map(|t| (t.id, t.resultant_n)).collect();
    if is_reference_wire(setup) {
        return Some(sustained(own));
    }
    // No rule compares steel and beta-titanium with it, nor what is quiet anyway.
    let quiet = own.worst_sustained_n() < QUIET_N;
    let superelastic = matches!(setup.wire.stock.law, Law::Flag(_));
    if quiet || !superelastic {
        return None;
    }
    // A fresh wire, but it lies much as this one does.
    let other = give(&with_reference_wire(setup), Start::Warm(&own.first)).ok()?;
    *solves += other.solves;
    Some(sustained(&other))
}

/// Sustained force under which the reference is not asked: a third of what the softest rule warns of.
const QUIET_N: f64 = 0.2;

fn action(forces: &ToothForces) -> Action {
    Action {
        lingual_n: forces.lingual_n,
        gingival_n: forces.gingival_n,
        along_n: forces.along_n,
        rotation_nmm: forces.rotation_nmm,
        tip_nmm: forces.tip_nmm,
        torque_nmm: forces.torque_nmm,
    }
}

fn loads_of(given: &Given, reference: Option<&Vec<(u16, f64)>>) -> Vec<ToothLoad> {
    given
        .first
        .teeth
        .iter()
        .filter_map(|forces| {
            let id = forces.id;
            let tooth = Tooth::iso(u32::from(id))?;
            let (later, last) = (given.delivered.tooth(id)?, given.sustained.tooth(id)?);
            let s14 = reference.and_then(|r| r.iter().find(|(i, _)| *i == id)).map(|r| r.1);
            Some(ToothLoad {
                tooth,
                peak_n: forces.resultant_n,
                delivered_n: later.resultant_n,
                sustained_n: last.resultant_n,
                sustained_14_n: s14,
                at_insertion: action(forces),
                delivered: action(later),
                strain: forces.strain,
                strain_fraction: forces.strain_fraction,
                gap_mm: forces.gap_mm,
                passive: forces.passive,
            })
        })
        .collect()
}
