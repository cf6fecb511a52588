//! What the wire does to a tooth.

pub mod past_limits;
pub mod verdict;

mod asked_at_once;
mod bracket_moved_on_stiff_wire;
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

use super::rule::Rule;

/// The rules in their order of weight.
pub const RULES: &[&Rule] = &[
    &not_engageable::RULE,
    &sustained::RULE,
    &left_over::RULE,
    &bracket_moved_on_stiff_wire::RULE,
    &delivered::RULE,
    &peak::RULE,
    &strain::RULE,
    &far_tooth::RULE,
    &caution_tooth::RULE,
    &couple::RULE,
    &asked_at_once::RULE,
    &for_this_movement::RULE,
    &neighbour_intruded::RULE,
    &in_the_mouth::RULE,
    &reaches_nothing::RULE,
];

/// A rule of the forces cannot be listed without the figure that it judges.
const _: () = {
    let mut at = 0;
    while at < RULES.len() {
        assert!(RULES[at].figure.is_some());
        at += 1;
    }
};
