//! Torque tooth by tooth. The figure is the couple that the solver finds between wire and slot; the
//! degrees that arrive are those by which the course lets the tooth rotate until that couple has decayed.
//! The play of the tooth's own slot, and the play and movement of its neighbours, are included.

use crate::setup::arch_setup::{other_torque_rad, stock};
use crate::timeline::phase::Phase;
use springline_mechanics::closed::third_order_play;
use springline_model::case::Bonding;
use springline_model::step::WireUse;
use springline_model::stock::Wire;
use springline_units::tooth::Tooth;

/// Torque at a tooth; the crown towards the lip is positive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Torque {
    /// Angle of the slot to the flat wire at insertion, degrees: the bracket's torque, the torque bent
    /// into the wire there, and the inclination of the tooth.
    pub asked_deg: f64,
    /// What the wire does about it when it goes in, N mm.
    pub couple_nmm: f64,
    /// How far the tooth has turned when that is spent, degrees. By a wire that turns freely none arrives: what a
    /// crown tips under it is no torque.
    pub arrives_deg: f64,
    /// The play in its own slot, degrees; `None`: the wire turns freely.
    pub play_deg: Option<f64>,
}

/// Torque at a tooth while this wire is in; `None` where the tooth is not engaged, where no torque is
/// requested, and where the wire has no figures.
pub fn torque(phase: &Phase, tooth: Tooth) -> Option<Torque> {
    let slot = phase.setup.base.slots.iter().find(|s| u32::from(s.id) == tooth.code())?;
    let (load, course) = (phase.insertion.tooth(tooth)?, phase.tooth(tooth)?);
    let asked_deg = slot.roll_rad().to_degrees();
    let section = &phase.setup.base.wire.stock.section;
    let play = third_order_play(section, slot.height_mm);
    let turned_rad = course.entry.torque_rad - course.left_by_play.torque_rad;
    (asked_deg.abs() > 0.05).then(|| Torque {
        asked_deg,
        couple_nmm: -load.at_insertion.torque_nmm,
        arrives_deg: play.map_or(0.0, |_| turned_rad.to_degrees()),
        play_deg: play.map(f64::to_degrees),
    })
}

/// How far the wire turns in the slot before it touches; `None` where it turns freely.
pub fn play_deg(wire: &WireUse, bonding: &Bonding) -> Option<f64> {
    play_in_deg(&wire.wire, bonding.bracket.true_height_mm().taken_mm)
}

/// The same of one wire in a slot of that height.
pub fn play_in_deg(wire: &Wire, slot_mm: f64) -> Option<f64> {
    third_order_play(&stock(wire).section, slot_mm).map(f64::to_degrees)
}

/// Torque of a chosen variant, or of an inverted bracket, less that of the usual bracket, degrees;
/// crown-labial positive.
pub fn beyond_usual_deg(tooth: Tooth, bonding: &Bonding) -> f64 {
    other_torque_rad(tooth, bonding).to_degrees()
}
