//! Elastics along the arches that are worn on as a light wire goes in again.

use crate::prelude::*;
use crate::support::elastics::{first_worn, pulls_along, strongest_g, too_light};
use crate::wording::sentence_name;
use springline_model::case::Elastics;

pub const RULE: Rule = Rule {
    code: "order/elastics-on-light-wire",
    severity: Severity::Warning,
    page: include_str!("elastics_on_light_wire.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for (block, elastics) in context.case.elastics.iter().enumerate() {
        // Those that begin on such a wire are judged there.
        let begins_light = || first_worn(context, elastics).iter().any(|v| too_light(v).is_some());
        if !pulls_along(elastics.kind) || begins_light() {
            continue;
        }
        let light = |view: StepView<'_>| Some(found(context, elastics, &view, too_light(&view)?));
        let later = context.views().into_iter().filter(|v| comes_later(elastics, v));
        out.extend(later.filter(|v| is_worn_in(context, block, v)).find_map(light));
    }
}

fn found(
    context: &RuleContext<'_>,
    elastics: &Elastics,
    view: &StepView<'_>,
    what: &str,
) -> Finding {
    let step = &view.step.name;
    let message = format!(
        "{} elastics of {} g are still worn in {step}; the {} arch then has {}, {what}.",
        sentence_name(elastics.kind),
        plain(strongest_g(elastics).round()),
        view.side(),
        view.wire().label()
    );
    let ends = elastics.until.as_ref().map(|(_, place)| *place);
    let ends_at = elastics.until_step.as_ref().map(|(_, place)| *place);
    let place = ends.or(ends_at).unwrap_or(elastics.place);
    let mut finding = Finding::new(RULE.code, RULE.severity, place, message)
        .why("On such a wire the teeth at the hooks come out and turn instead of the arch moving.")
        .step(step.clone());
    let line = format!("until step {step}");
    let fix = context.fix(format!("worn until {step} begins"));
    // A measure that ends them is the plan's aim: no fix puts a step in its place.
    finding.fixes.extend(match (ends, ends_at) {
        (Some(_), _) => None,
        (None, Some(place)) => fix.replace(place, &line).done(),
        (None, None) => fix.add_inside(elastics.place, &line).done(),
    });
    if ends.is_some() {
        finding = finding.note(format!(
            "Write `{line}`, or leave the working wire in until they have done their work."
        ));
    }
    finding
}

/// After the step in which they begin. A finishing wire is light so that the bite may settle.
fn comes_later(elastics: &Elastics, view: &StepView<'_>) -> bool {
    let Some((from, ..)) = &elastics.from else { return false };
    let first = view.arch.steps.iter().position(|s| s.name == *from);
    let hooks = elastics.runs.iter().flat_map(|r| &r.teeth).any(|t| t.arch() == view.side());
    hooks && view.step.kind != StepKind::Finish && first.is_some_and(|first| first < view.index)
}

/// By the forecast the patient leaves a visit with that wire and with these elastics.
fn is_worn_in(context: &RuleContext<'_>, block: usize, view: &StepView<'_>) -> bool {
    let visits = context.forecast.timeline.visits().iter();
    visits.filter(|visit| visit.elastics_after.contains(&block)).any(|visit| {
        let leaves = visit.arch(view.side()).and_then(|arch| arch.leaves());
        leaves.is_some_and(|moment| moment.step == view.index)
    })
}
