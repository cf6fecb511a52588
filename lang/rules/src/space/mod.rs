//! Rules about the space that teeth need.

pub mod coil;

mod another_length_held;
mod bracket_in_the_bite;
mod coil_goes_on;
mod coil_inert;
mod coil_on_light_wire;
mod coil_over_pressed;
mod coil_spent;
mod coil_too_heavy;
mod coil_without_abutment;
mod coil_without_need;
mod coil_without_ties;
mod crown_out_of_range;
mod enamel_too_much;
mod enamel_without_need;
mod endless_bypass;
mod engaged_without_space;
mod gap_and_overlap;
mod gap_beside_no_tooth;
mod gap_not_held;
mod gap_out_of_range;
mod gap_over_a_tooth;
mod high_tooth_drags;
mod kept_for_a_tooth_in_place;
mod left_open;
mod left_out_without_need;
mod less_than_the_crown;
mod not_in_last_wire;
mod one_wing_to_the_end;
mod opened_not_held;
mod overlap_unlikely;
mod severe_rotation_engaged;
mod shortage_unexplained;
mod space_not_said;
mod tooth_size;
mod traction_without_space;
mod unerupted_forgotten;

use super::rule::Rule;

pub const RULES: &[&Rule] = &[
    &engaged_without_space::RULE,
    &gap_over_a_tooth::RULE,
    &gap_and_overlap::RULE,
    &gap_out_of_range::RULE,
    &severe_rotation_engaged::RULE,
    &high_tooth_drags::RULE,
    &bracket_in_the_bite::RULE,
    &endless_bypass::RULE,
    &less_than_the_crown::RULE,
    &gap_beside_no_tooth::RULE,
    &kept_for_a_tooth_in_place::RULE,
    &one_wing_to_the_end::RULE,
    &not_in_last_wire::RULE,
    &unerupted_forgotten::RULE,
    &shortage_unexplained::RULE,
    &space_not_said::RULE,
    &coil_inert::RULE,
    &coil_spent::RULE,
    &coil_over_pressed::RULE,
    &coil_without_abutment::RULE,
    &coil_too_heavy::RULE,
    &coil_on_light_wire::RULE,
    &coil_without_ties::RULE,
    &coil_without_need::RULE,
    &coil_goes_on::RULE,
    &enamel_too_much::RULE,
    &enamel_without_need::RULE,
    &left_out_without_need::RULE,
    &gap_not_held::RULE,
    &opened_not_held::RULE,
    &another_length_held::RULE,
    &left_open::RULE,
    &traction_without_space::RULE,
    &overlap_unlikely::RULE,
    &tooth_size::RULE,
    &crown_out_of_range::RULE,
];
