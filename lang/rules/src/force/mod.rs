//! What the wire does to a tooth.

pub mod past_limits;
pub mod verdict;

mod asked_at_once;
mod caution_tooth;
mod couple;
mod delivered;
mod far_tooth;
mod for_this_movement;
mod in_the_mouth;
mod left_over;
mod neighbour_intruded;
mod not_engageable;
mod peak;
mod reaches_nothing;
mod strain;
mod sustained;

use super::register::Rule;

pub(super) use sustained::lightest_in_drawer;

/// The figure of a tooth that a rule of this family judges. The outcome of a fix quotes the same figure
/// ("then 43 g on 12"), so a rule cannot be listed without one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Judges {
    /// Force when the wire goes in.
    Peak,
    /// Force after 0.2 mm of tooth movement.
    Delivered,
    /// The part of it that intrudes.
    Intrusion,
    /// Force after 0.5 mm of tooth movement.
    Sustained,
    /// The largest couple after 0.2 mm of tooth movement.
    Couple,
    /// What a stiff wire has left to remove, in the unit of the finding; of any other, the force after 0.2 mm.
    LeftOver,
    /// The degrees of torque that arrive.
    Torque,
    /// No single force on a tooth: the rule's own text about its fix is used.
    NoForce,
}

/// The rules in their order of weight, each with the figure it judges.
const JUDGED: &[(&Rule, Judges)] = &[
    (&not_engageable::RULE, Judges::NoForce),
    (&sustained::RULE, Judges::Sustained),
    (&left_over::RULE, Judges::LeftOver),
    (&delivered::RULE, Judges::Delivered),
    (&peak::RULE, Judges::Peak),
    (&strain::RULE, Judges::NoForce),
    (&far_tooth::RULE, Judges::Delivered),
    (&caution_tooth::RULE, Judges::Delivered),
    (&couple::RULE, Judges::Couple),
    (&asked_at_once::RULE, Judges::NoForce),
    (&for_this_movement::RULE, Judges::NoForce),
    (&neighbour_intruded::RULE, Judges::Intrusion),
    (&in_the_mouth::RULE, Judges::NoForce),
    (&reaches_nothing::RULE, Judges::NoForce),
];

pub const RULES: &[&Rule] = &{
    let mut rules = [JUDGED[0].0; JUDGED.len()];
    let mut at = 0;
    while at < rules.len() {
        rules[at] = JUDGED[at].0;
        at += 1;
    }
    rules
};

/// What a rule of this family judges, and what that of lost torque does; `None` for all others.
pub fn judges(code: &str) -> Option<Judges> {
    let lost = [(super::order::TORQUE_LOST, Judges::Torque)];
    let mut all = JUDGED.iter().chain(&lost);
    all.find(|(rule, _)| rule.code == code).map(|(_, judges)| *judges)
}
