//! What the wire does to a tooth.

pub mod verdict;

mod asked_at_once;
mod caution_tooth;
mod couple;
mod delivered;
mod far_tooth;
mod in_the_mouth;
mod left_over;
mod movement;
mod neighbour_intruded;
mod not_engageable;
mod peak;
mod reaches_nothing;
mod strain;
mod sustained;

use super::register::Rule;

pub(super) use sustained::lightest_in_drawer;

pub const RULES: &[&Rule] = &[
    &not_engageable::RULE,
    &sustained::RULE,
    &left_over::RULE,
    &delivered::RULE,
    &peak::RULE,
    &strain::RULE,
    &far_tooth::RULE,
    &caution_tooth::RULE,
    &couple::RULE,
    &asked_at_once::RULE,
    &movement::RULE,
    &neighbour_intruded::RULE,
    &in_the_mouth::RULE,
    &reaches_nothing::RULE,
];
