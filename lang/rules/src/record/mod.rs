//! Rules about recorded visits.

mod accept_too_wide;
mod bite_grows_worse;
mod contradicts_plan;
mod earlier_than_expected;
mod future_visit;
mod gone_the_wrong_way;
mod left_open;
mod loose_not_mended;
mod moved_too_fast;
mod never_accepted;
mod out_of_order;
mod overdue;
mod repeated;
mod stale_accept;
mod steps_jumped;
mod traction_stands_still;
mod work_not_said;
mod worn_after_end;

use super::rule::Rule;

pub const RULES: &[&Rule] = &[
    &worn_after_end::RULE,
    &traction_stands_still::RULE,
    &out_of_order::RULE,
    &future_visit::RULE,
    &contradicts_plan::RULE,
    &bite_grows_worse::RULE,
    &moved_too_fast::RULE,
    &steps_jumped::RULE,
    &work_not_said::RULE,
    &left_open::RULE,
    &loose_not_mended::RULE,
    &gone_the_wrong_way::RULE,
    &repeated::RULE,
    &overdue::RULE,
    &earlier_than_expected::RULE,
    &never_accepted::RULE,
    &accept_too_wide::RULE,
    &stale_accept::RULE,
];
