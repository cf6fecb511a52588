//! What the wire does to a tooth.

pub mod verdict;

mod caution_tooth;
mod couple;
mod delivered;
mod far_tooth;
mod left_over;
mod not_engageable;
mod peak;
mod reaches_nothing;
mod strain;
mod sustained;

use super::register::Rule;

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
    &reaches_nothing::RULE,
];
