//! What the other arch has in the mouth while a step of this one begins: a device of a year later is none.

use crate::RuleContext;
use crate::view::StepView;
use springline_course::ArchState;
use springline_units::tooth::Arch;

/// The state of that arch on the day on which the wire of this step goes in; as planned for its first step where
/// there are no dates. `None` where it has no wire by then.
pub fn state_then<'a>(
    context: &'a RuleContext<'_>,
    view: &StepView<'_>,
    arch: Arch,
) -> Option<&'a ArchState> {
    let forecast = context.forecast.arch(arch)?;
    match view.phase.and_then(|p| p.date_in) {
        Some(day) => {
            let by_then = forecast.phases.iter().rfind(|p| p.date_in.is_some_and(|d| d <= day));
            by_then.map(|p| &p.state)
        }
        None => forecast.phases.first().map(|p| &p.state),
    }
}
