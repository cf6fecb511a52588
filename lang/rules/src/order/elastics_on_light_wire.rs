//! Elastics along the arches that are worn on as a light wire goes in again.

use crate::prelude::*;
use crate::support::elastics::{first_worn, pulls_along, strongest_g, too_light, worn};
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
        if !pulls_along(elastics.kind) {
            continue;
        }
        // Those that begin on such a wire are judged there.
        if first_worn(context, elastics).iter().any(|v| too_light(v).is_some()) {
            continue;
        }
        let views = worn(context, elastics);
        let light = views.iter().find_map(|v| Some((v, too_light(v)?)));
        let Some((view, what)) = light.filter(|(v, _)| is_worn_then(context, block, v)) else {
            continue;
        };
        out.push(found(context, elastics, view, what));
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
        "{} elastics of {} g are worn on as {step} goes in; the {} arch then has {}, {what}.",
        sentence_name(elastics.kind),
        plain(strongest_g(elastics).round()),
        view.side(),
        view.wire().label()
    );
    let place = elastics.until.as_ref().map_or(elastics.place, |(_, place)| *place);
    let mut finding = Finding::new(RULE.code, RULE.severity, place, message)
        .why("On such a wire the teeth at the hooks come out and turn instead of the arch moving.")
        .step(step.clone());
    let line = format!("until step {step}");
    let fix = context.fix(format!("worn until {step} begins"));
    finding.fixes.extend(match &elastics.until {
        Some((_, place)) => fix.replace(*place, &line).done(),
        None => fix.add_inside(elastics.place, &line).done(),
    });
    finding
}

/// By the forecast they have not done their work before that wire goes in.
fn is_worn_then(context: &RuleContext<'_>, block: usize, view: &StepView<'_>) -> bool {
    let visits = context.forecast.timeline.visits().iter();
    visits.filter(|v| v.elastics_after.contains(&block)).any(|visit| {
        let arch = visit.arches.iter().find(|a| a.arch == view.side());
        arch.and_then(|a| a.with_work_done()).is_some_and(|m| m.step == view.index)
    })
}
