//! Rules about where the wire can slide.

mod gap_can_open;
mod hard_cinch;
mod locked;
mod midline_wrong_way;
mod nothing_holds;
mod stop_beside_bypass;
mod stop_blocks;
mod stop_slips;
mod stop_without_gap;
mod stop_without_need;
mod stops_same_way;

use super::rule::Rule;

pub const RULES: &[&Rule] = &[
    &nothing_holds::RULE,
    &stop_blocks::RULE,
    &locked::RULE,
    &stop_beside_bypass::RULE,
    &stop_without_gap::RULE,
    &stop_slips::RULE,
    &stops_same_way::RULE,
    &hard_cinch::RULE,
    &stop_without_need::RULE,
    &gap_can_open::RULE,
    &midline_wrong_way::RULE,
];
