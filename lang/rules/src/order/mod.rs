//! Rules about the sequence of wires and what is used with them.

mod anchor_misplaced;
mod anchorage_unsecured;
mod arch_not_retained;
mod arch_without_steps;
mod arm_too_long;
mod arm_without_pull;
mod bare_span;
mod bend_in_superelastic;
mod changed_before_passive;
mod closing_stalled;
mod closing_too_heavy;
mod closing_wire_too_light;
mod coil_before_aligned;
mod cross_elastic_inside_out;
mod crossbite_left;
mod denies_itself;
mod draft_not_taken_on;
mod elastics_begin_last;
mod elastics_favour_the_wrong_side;
mod elastics_not_as_named;
mod elastics_not_worn;
mod elastics_on_light_wire;
mod elastics_too_early;
mod elastics_too_heavy;
mod elastics_uneven;
mod elastics_wait_for_another;
mod elastics_without_support;
mod elastics_wrong_class;
mod ends_on_aligning_wire;
mod ends_short_of_goal;
mod expander_unsound;
mod first_wire_too_thick;
mod fixed_tooth_moved;
mod flexible_working;
mod goal_not_reached;
mod goal_unmet;
mod heavier_despite_hygiene;
pub mod level_before_aligned;
mod no_crossbite;
mod no_hook;
mod no_retainer;
mod no_tube_at_the_end;
mod nothing_to_act_on;
mod one_side_not_waited_for;
mod overdoing;
mod pulls_the_midline_off;
mod raisers_not_reached;
mod relations_at_odds;
mod reposition_before_levelled;
mod reposition_without_film;
mod retainer_holds_nothing;
mod retainer_leaves_out;
mod reverse_overjet;
mod same_wire_again;
mod second_molar_left_out;
mod separators_without_band;
mod settling_held_back;
mod slot_unknown;
mod soft_in_the_mouth;
mod steep_step;
mod step_back;
mod torque_lost;
mod traction_cannot_act;
mod two_orders;
mod two_sections;
mod two_sets_on_one_hook;
mod undoes_the_other;
mod unusual_goal;
mod wire_does_not_fit;
mod worsens_the_overbite;
mod wrong_side;

use super::rule::Rule;

pub const RULES: &[&Rule] = &[
    &wrong_side::RULE,
    &wire_does_not_fit::RULE,
    &arch_without_steps::RULE,
    &draft_not_taken_on::RULE,
    &two_orders::RULE,
    &nothing_to_act_on::RULE,
    &no_crossbite::RULE,
    &undoes_the_other::RULE,
    &denies_itself::RULE,
    &relations_at_odds::RULE,
    &traction_cannot_act::RULE,
    &expander_unsound::RULE,
    &two_sections::RULE,
    &fixed_tooth_moved::RULE,
    &elastics_too_early::RULE,
    &elastics_on_light_wire::RULE,
    &flexible_working::RULE,
    &elastics_wrong_class::RULE,
    &elastics_not_as_named::RULE,
    &cross_elastic_inside_out::RULE,
    &elastics_wait_for_another::RULE,
    &elastics_without_support::RULE,
    &two_sets_on_one_hook::RULE,
    &worsens_the_overbite::RULE,
    &raisers_not_reached::RULE,
    &overdoing::RULE,
    &pulls_the_midline_off::RULE,
    &reverse_overjet::RULE,
    &elastics_too_heavy::RULE,
    &elastics_uneven::RULE,
    &elastics_favour_the_wrong_side::RULE,
    &elastics_begin_last::RULE,
    &no_hook::RULE,
    &no_tube_at_the_end::RULE,
    &settling_held_back::RULE,
    &elastics_not_worn::RULE,
    &first_wire_too_thick::RULE,
    &level_before_aligned::RULE,
    &changed_before_passive::RULE,
    &steep_step::RULE,
    &step_back::RULE,
    &same_wire_again::RULE,
    &ends_on_aligning_wire::RULE,
    &coil_before_aligned::RULE,
    &slot_unknown::RULE,
    &soft_in_the_mouth::RULE,
    &torque_lost::RULE,
    &bend_in_superelastic::RULE,
    &closing_wire_too_light::RULE,
    &closing_too_heavy::RULE,
    &closing_stalled::RULE,
    &one_side_not_waited_for::RULE,
    &arm_without_pull::RULE,
    &arm_too_long::RULE,
    &anchorage_unsecured::RULE,
    &anchor_misplaced::RULE,
    &second_molar_left_out::RULE,
    &separators_without_band::RULE,
    &bare_span::RULE,
    &heavier_despite_hygiene::RULE,
    &reposition_before_levelled::RULE,
    &reposition_without_film::RULE,
    &goal_unmet::RULE,
    &goal_not_reached::RULE,
    &ends_short_of_goal::RULE,
    &unusual_goal::RULE,
    &crossbite_left::RULE,
    &retainer_holds_nothing::RULE,
    &retainer_leaves_out::RULE,
    &no_retainer::RULE,
    &arch_not_retained::RULE,
];
