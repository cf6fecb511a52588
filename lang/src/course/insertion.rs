//! A wire going in: the forces at once, after a little give, and after half a millimetre.

use super::phase::{Action, Insertion, NoFigures, ToothLoad};
use super::run::passed_on;
use super::setup::{ArchSetup, is_reference_wire, with_reference_wire};
use crate::mechanics::{Law, March, Marched, Setup, Solution, ToothForces, march};
use crate::model::tooth::Tooth;

/// Figures of a wire going in, and the solutions to go on from.
pub(crate) struct Inserted {
    pub insertion: Insertion,
    pub base: Option<Solution>,
    pub overlay: Option<Solution>,
    pub solves: usize,
}

pub(crate) fn insert(setup: &ArchSetup) -> Inserted {
    let how = March::default();
    let mut solves = 0;
    let mut teeth = Vec::new();
    let mut over = None;
    let mut refused = None;
    let mut base_setup = setup.base.clone();
    if let Some(overlay) = &setup.overlay {
        match march(overlay, &how) {
            Ok(marched) => {
                solves += marched.solutions.len();
                let tied = |id| setup.base.slots.iter().any(|s| s.id == id);
                let light = reference(overlay, &marched, &how, &mut solves);
                let loads = loads_of(&marched, light.as_ref(), &how);
                teeth.extend(loads.into_iter().filter(|t| !tied(t.tooth.code() as u16)));
                over = marched.solutions.into_iter().next();
                if let Some(over) = &over {
                    base_setup.loads.extend(passed_on(&setup.base, over));
                }
            }
            Err(refusal) => refused = Some(NoFigures::new(refusal)),
        }
    }
    match march(&base_setup, &how) {
        Ok(marched) => {
            solves += marched.solutions.len();
            let reference = reference(&base_setup, &marched, &how, &mut solves);
            teeth.extend(loads_of(&marched, reference.as_ref(), &how));
            teeth.sort_by_key(|t: &ToothLoad| t.tooth);
            let first = marched.solutions.into_iter().next();
            let insertion = Insertion {
                teeth,
                refused,
                taken_in_mm: first.as_ref().map_or(0.0, |s| s.taken_in_mm),
                blocked: first.as_ref().is_some_and(|s| s.blocked),
            };
            Inserted { insertion, base: first, overlay: over, solves }
        }
        Err(refusal) => {
            let refused = Some(NoFigures::new(refusal));
            let insertion = Insertion { teeth, refused, ..Insertion::default() };
            Inserted { insertion, base: None, overlay: over, solves: solves + 1 }
        }
    }
}

/// Sustained forces of the reference wire, tooth by tooth: this wire's own where it is that wire.
fn reference(
    setup: &Setup,
    own: &Marched,
    how: &March,
    solves: &mut usize,
) -> Option<Vec<(u16, f64)>> {
    if is_reference_wire(setup) {
        return Some(own.teeth.iter().map(|t| (t.id, t.sustained_n)).collect());
    }
    // No rule compares steel and beta-titanium with it, nor what is quiet anyway.
    let quiet = own.sustained.1 < QUIET_N;
    let superelastic = matches!(setup.wire.stock.law, Law::Flag(_));
    if quiet || !superelastic {
        return None;
    }
    let other = march(&with_reference_wire(setup), how).ok()?;
    *solves += other.solutions.len();
    Some(other.teeth.iter().map(|t| (t.id, t.sustained_n)).collect())
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

fn loads_of(marched: &Marched, reference: Option<&Vec<(u16, f64)>>, how: &March) -> Vec<ToothLoad> {
    let given = marched.solutions.get(how.delivered_after).or(marched.solutions.last());
    let Some(first) = marched.solutions.first() else { return Vec::new() };
    marched
        .teeth
        .iter()
        .filter_map(|t| {
            let tooth = Tooth::iso(u32::from(t.id))?;
            let forces = first.tooth(t.id)?;
            let later = given.and_then(|s| s.tooth(t.id)).unwrap_or(forces);
            let s14 = reference.and_then(|r| r.iter().find(|(id, _)| *id == t.id)).map(|r| r.1);
            Some(ToothLoad {
                tooth,
                peak_n: t.peak_n,
                delivered_n: t.delivered_n,
                sustained_n: t.sustained_n,
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
