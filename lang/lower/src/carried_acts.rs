//! Carries acts forward: what is still in force from earlier steps.
//!
//! Things on the wire last as long as that wire, things on teeth as long as the step, and a bypass until
//! its condition holds or the tooth is engaged.

use springline_model::step::{Act, ActKind, Lasts, Step};
use springline_units::tooth::Tooth;

/// Fills `carried` of every step from the steps before it.
pub fn carry(steps: &mut [Step]) {
    for i in 1..steps.len() {
        let (before, rest) = steps.split_at_mut(i);
        let (Some(last), Some(step)) = (before.last(), rest.first_mut()) else { continue };
        let same_wire = step.wire.kept || step.wire.same_wires(&last.wire);
        let carried: Vec<Act> = last
            .in_force()
            .filter(|act| match act.kind.lasts() {
                Lasts::Wire => same_wire,
                Lasts::Condition => true,
                Lasts::Once | Lasts::Step => false,
            })
            .filter_map(|act| still(act, step))
            .collect();
        step.carried = carried;
    }
}

/// The part of an act that continues under the step's own acts; `None` where nothing of it is left.
fn still(act: &Act, step: &Step) -> Option<Act> {
    let mut act = act.clone();
    match &mut act.kind {
        ActKind::Bypass { teeth, .. } => {
            teeth.retain(|t| !step.acts.iter().any(|a| takes_in(&a.kind, *t) || says(&a.kind, *t)));
            if teeth.is_empty() {
                return None;
            }
        }
        // What is bonded now is in the wire, and what is pulled another way from now on is said again.
        ActKind::Traction { teeth, .. } => {
            let pulled = |a: &Act, t: &Tooth| matches!(&a.kind, ActKind::Traction { teeth, .. } if teeth.contains(t));
            let ends = |a: &Act, t: &Tooth| takes_in(&a.kind, *t) || pulled(a, t);
            teeth.retain(|t| !step.acts.iter().any(|a| ends(a, t)));
            if teeth.is_empty() {
                return None;
            }
        }
        // One coil to a span: a later one takes the place of the earlier.
        ActKind::OpenCoil { first, second, .. } | ActKind::ClosedCoil { first, second, .. } => {
            let (f, s) = (*first, *second);
            let replaced = step.acts.iter().any(|a| match &a.kind {
                ActKind::OpenCoil { first, second, .. }
                | ActKind::ClosedCoil { first, second, .. } => *first == f && *second == s,
                _ => false,
            });
            if replaced {
                return None;
            }
        }
        _ => {}
    }
    Some(act)
}

/// Whether the step engages this tooth.
fn takes_in(kind: &ActKind, tooth: Tooth) -> bool {
    match kind {
        ActKind::Engage { teeth, .. } | ActKind::PickUp { teeth, .. } => teeth.contains(&tooth),
        ActKind::Piggyback { within, .. } => within.contains(&tooth),
        _ => false,
    }
}

/// Whether the step itself bypasses this tooth again.
fn says(kind: &ActKind, tooth: Tooth) -> bool {
    matches!(kind, ActKind::Bypass { teeth, .. } if teeth.contains(&tooth))
}
