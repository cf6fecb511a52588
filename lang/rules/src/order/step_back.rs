//! A more flexible wire after a stiffer one, for no reason that is written.

use crate::prelude::*;
use crate::support::role::purpose;
use crate::support::strength::rigidity;
use springline_model::case::{ElasticsKind, Trouble};
use springline_model::step::{Step, StepSource};

pub const RULE: Rule = Rule {
    code: "order/step-back",
    severity: Severity::Warning,
    page: include_str!("step_back.md"),
    check,
    yields_to: &["force/sustained", "force/left-over"],
    ..Rule::PLAIN
};

const SOFTER: f64 = 0.5;
/// The same of a thinner wire of one alloy: a size less is a step back, whatever it was for (common practice, no source;
/// 0.014 after 0.016 has 0.59 of its stiffness, 0.016 × 0.022 after 0.018 × 0.025 0.62).
const SOFTER_OF_ONE_ALLOY: f64 = 0.7;

/// Less than this share of the stiffness before is a step back.
fn least_share(before: &Step, view: &StepView<'_>) -> f64 {
    let of_one_alloy = before.wire.wire.alloy == view.wire().wire.alloy;
    if of_one_alloy { SOFTER_OF_ONE_ALLOY } else { SOFTER }
}

/// The line to blame: the softer step's own, else that of a step of the case which was put before it.
fn line_to_blame(before: &Step, view: &StepView<'_>) -> springline_text::Place {
    let is_own = |step: &Step| step.source == StepSource::Added;
    if is_own(before) && !is_own(view.step) { before.place } else { view.case_place() }
}

/// Settling elastics are worn in it: teeth settle on a wire that gives.
fn settles(view: &StepView<'_>) -> bool {
    let worn = view.context.forecast.timeline.elastics_in(view.side(), view.index);
    let kinds = worn.iter().filter_map(|i| view.case.elastics.get(*i)).map(|e| e.kind);
    kinds.into_iter().any(|kind| kind == ElasticsKind::Settling)
}

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        let Some(before) = view.before() else { continue };
        if view.is_in_mouth() || purpose(&view) == StepKind::Finish || broken(context, view.side())
        {
            continue;
        }
        // If the preceding wire is too heavy, that is the error, reported there.
        let too_heavy_before = context.views().iter().any(|v| {
            v.side() == view.side() && v.index + 1 == view.index && RULE.yields(v, Severity::Error)
        });
        if too_heavy_before {
            continue;
        }
        let (was, is) = (rigidity(&before.wire.value), rigidity(view.wire()));
        let reason = view.step.acts.iter().any(|a| {
            matches!(
                a.kind,
                ActKind::PickUp { .. }
                    | ActKind::Engage { .. }
                    | ActKind::Reposition { .. }
                    | ActKind::Rebond { .. }
                    | ActKind::Bend { .. }
                    | ActKind::Piggyback { .. }
                    | ActKind::Torque { .. }
            )
        });
        let least = least_share(before, &view);
        if was <= 0.0 || is >= was * least || reason || released(&view) || settles(&view) {
            continue;
        }
        let times = was / is.max(1e-9);
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                line_to_blame(before, &view),
                format!(
                    "{} in {} is {} more flexible than {} before it, and no reason is given.",
                    view.wire().label(),
                    view.step.name,
                    say_times(times),
                    before.wire.label()
                ),
            )
            .why("A flexible wire loses what the stiffer wire achieved.")
            .figure(tenth(times), tenth(1.0 / least), Unit::Times);
        finding.fixes.extend(
            context
                .fix(format!("keep {}", before.wire.wire.name))
                .set_clause(view.arch, view.step, ClauseKind::Wire, "keep")
                .done(),
        );
        list.push(Candidate::new(view.side(), times, finding));
    }
    merge_per_arch(context.words(), list, out);
}

/// Something broke in this arch at the last visit, and the wire did not stay in: what goes in next may well
/// be a softer one. After a repair under the wire that was in there is no reason to go back.
fn broken(context: &RuleContext<'_>, arch: Arch) -> bool {
    use springline_model::case::Done;
    let Some(visit) = context.case.visits.last() else { return false };
    let here = visit.troubles.iter().any(|(t, _)| match t {
        Trouble::Loose { teeth } | Trouble::Out { teeth } => teeth.iter().any(|t| t.arch() == arch),
        _ => false,
    });
    let kept = visit.arches.iter().any(|a| a.arch == arch && matches!(a.done, Some(Done::Kept)));
    here && !kept
}

/// A bypassed tooth comes into the wire by its own condition with this step.
fn released(view: &StepView<'_>) -> bool {
    let timeline = &view.context.forecast.timeline;
    let earlier = view.index.checked_sub(1).and_then(|i| timeline.planned(view.side(), i));
    earlier.is_some_and(|state| view.in_wire().into_iter().any(|t| !state.status(t).is_in_wire()))
}
