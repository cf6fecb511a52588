//! Rules about the timing of visits.

mod before_passive;
mod begins_out_of_order;
mod clinic_closed;
mod coil_unsupervised;
mod debond_too_soon;
mod elastics_unsupervised;
mod exposed_too_early;
mod extraction_after_closing;
mod interval_too_long;
mod interval_too_short;
mod kept_long_after_passive;
mod long_after_passive;
mod never_ends;
mod no_start;
mod past_longest;
mod traction_without_end;
mod true_at_once;
mod two_visits_for_one;

use super::rule::Rule;

pub const RULES: &[&Rule] = &[
    &begins_out_of_order::RULE,
    &no_start::RULE,
    &extraction_after_closing::RULE,
    &exposed_too_early::RULE,
    &interval_too_long::RULE,
    &coil_unsupervised::RULE,
    &elastics_unsupervised::RULE,
    &before_passive::RULE,
    &interval_too_short::RULE,
    &never_ends::RULE,
    &true_at_once::RULE,
    &past_longest::RULE,
    &traction_without_end::RULE,
    &debond_too_soon::RULE,
    &clinic_closed::RULE,
    &kept_long_after_passive::RULE,
    &long_after_passive::RULE,
    &two_visits_for_one::RULE,
];

use super::view::StepView;
use springline_model::step::NextVisit;

/// Days from when the wire goes in, or from the last visit, to the next one as written: earliest and
/// latest. `None` where it is computed.
pub(super) fn next_days(view: &StepView<'_>) -> Option<(f64, f64)> {
    match &view.step.next.value {
        NextVisit::Computed => None,
        NextVisit::Range { from, to } => Some((from.days(), to.days())),
        NextVisit::On { date } => {
            let since = since(view)?;
            let days = since.until(*date).ok()?.get_days();
            Some((f64::from(days), f64::from(days)))
        }
    }
}

/// The day from which an interval counts: the last visit if there was one in this step, else the day
/// the wire goes in.
pub(super) fn since(view: &StepView<'_>) -> Option<jiff::civil::Date> {
    let wire_in = view.phase.and_then(|p| p.date_in);
    let start = if view.index == 0 {
        view.arch.start.as_ref().map(|(d, _)| *d).or(view.case.start.as_ref().map(|(d, _)| *d))
    } else {
        None
    };
    let seen = view.context.last_seen().filter(|d| wire_in.or(start).is_some_and(|w| *d > w));
    seen.or(wire_in).or(start)
}

/// The clause that names the next visit, if in this case.
pub(super) fn next_place(view: &StepView<'_>) -> springline_text::Place {
    view.clause_place(view.step.next.place)
}
