//! Torque tooth by tooth: what the bracket and the plan ask of the wire, and what of it is left once the
//! wire's play in the slot is used up.

use super::phase::Phase;
use super::setup::{other_torque_rad, own_torque_rad, stock};
use crate::mechanics::closed::third_order_play;
use crate::model::case::Bonding;
use crate::model::quantity::{mm, radians};
use crate::model::step::{ActKind, WireUse};
use crate::model::stock::CrownTurn;
use crate::model::tooth::Tooth;

/// What is asked at a tooth, degrees; the crown towards the lip is positive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Torque {
    pub asked_deg: f64,
    /// `None`: the wire turns freely.
    pub play_deg: Option<f64>,
}

impl Torque {
    /// What is left of it after the play, the same way.
    pub fn left_deg(&self) -> f64 {
        let left = self.play_deg.map_or(0.0, |play| (self.asked_deg.abs() - play).max(0.0));
        left * self.asked_deg.signum()
    }
}

/// Torque at a tooth while this wire is in; `None` where the tooth is not in it, or nothing is asked.
pub fn torque(phase: &Phase, tooth: Tooth) -> Option<Torque> {
    let state = phase.state.tooth(tooth).filter(|t| t.status.is_in_wire())?;
    let bonding = state.bonding.as_ref()?;
    let bent: f64 = phase
        .state
        .acts
        .iter()
        .map(|act| match &act.kind {
            ActKind::Torque { teeth, angle, turn } if teeth.contains(&tooth) => match turn {
                CrownTurn::CrownLabial => radians(*angle),
                CrownTurn::CrownLingual => -radians(*angle),
            },
            _ => 0.0,
        })
        .sum();
    let asked_deg = (own_torque_rad(tooth, bonding) + bent).to_degrees();
    (asked_deg.abs() > 0.05).then(|| Torque { asked_deg, play_deg: play_deg(&phase.wire, bonding) })
}

/// How far the wire turns in the slot before it touches; `None` where it turns freely.
pub fn play_deg(wire: &WireUse, bonding: &Bonding) -> Option<f64> {
    let slot = mm(bonding.bracket.slot_height);
    third_order_play(&stock(&wire.wire).section, slot).map(f64::to_degrees)
}

/// Torque that a chosen variant, or a bracket turned over, asks beyond the usual bracket, degrees.
pub fn beyond_usual_deg(tooth: Tooth, bonding: &Bonding) -> f64 {
    other_torque_rad(tooth, bonding).to_degrees()
}
