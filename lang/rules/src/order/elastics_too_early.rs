//! Elastics on wires that cannot carry them yet.

use crate::prelude::*;
use crate::support::elastics::{
    LEVELLING, OUNCE_G, first_worn, pulls_along, strongest_g, too_light,
};
use crate::support::role::purpose;
use crate::wording::sentence_name;
use springline_course::rules_of_thumb::SETTLE_DAYS;
use springline_model::case::{Elastics, ElasticsKind};

pub const RULE: Rule = Rule {
    code: "order/elastics-too-early",
    severity: Severity::Error,
    page: include_str!("elastics_too_early.md"),
    check,
    ..Rule::PLAIN
};

const LIGHT_G: f64 = 2.5 * OUNCE_G;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let unsaid = context.case.elastics.iter().filter(|e| e.from.is_none());
    out.extend(unsaid.filter_map(|elastics| from_the_first_day(context, elastics)));
    out.extend(context.case.elastics.iter().filter_map(|e| on_a_wire_that_is_out(context, e)));
    out.extend(context.case.elastics.iter().filter_map(|e| vertical_while_aligning(context, e)));
    for elastics in context.case.elastics.iter().filter(|e| pulls_along(e.kind)) {
        let Some((from, settled, from_place)) = &elastics.from else { continue };
        let force = strongest_g(elastics);
        let views = first_worn(context, elastics);
        let early = views.iter().find_map(|v| Some((v, too_light(v)?)));
        if let Some((view, what)) = early {
            let light = force <= LIGHT_G + 0.5 || what == LEVELLING;
            let severity = if light { Severity::Warning } else { Severity::Error };
            let wire = view.wire();
            let mut finding = Finding::new(
                RULE.code,
                severity,
                *from_place,
                format!(
                    "{} elastics of {} g are worn from {from} onwards; the {} arch then has {}, {what}.",
                    sentence_name(elastics.kind),
                    plain(force.round()),
                    view.side(),
                    wire.label()
                ),
            )
            .why("On such a wire the teeth at the hooks tip and rotate instead of the arch moving.")
            .figure(force.round(), LIGHT_G.round(), Unit::G)
            .step(from.clone());
            if let Some(later) = working_step(context)
                && later != **from
                && let Some(fix) = context
                    .fix(format!("wear them from {later} onwards, once the wire is expressed"))
                    .replace(
                        *from_place,
                        &if *settled { later.to_string() } else { format!("{later} expressed") },
                    )
                    .done()
            {
                finding = finding.fix(fix);
            }
            out.push(finding);
            continue;
        }
        let rests = |v: &StepView<'_>| {
            v.is_in_mouth()
                || v.step.settle.as_ref().is_some_and(|s| s.days() >= SETTLE_DAYS - 0.5)
                || v.before().is_some_and(|b| b.wire.same_wires(&v.step.wire) || v.step.wire.kept)
        };
        let ready = |v: &StepView<'_>| v.is_in_mouth() || *settled && rests(v) || is_long_in(v);
        let restless = views.iter().find(|v| v.step.kind == StepKind::Work && !ready(v));
        if let Some(view) = restless {
            let mut finding = Finding::new(
                RULE.code,
                Severity::Warning,
                *from_place,
                format!(
                    "{} elastics start with {from} at once; its wire in the {} arch has not had 4 wk to express.",
                    sentence_name(elastics.kind),
                    view.side()
                ),
            )
            .why("Elastics on a wire that is not yet passive cause unwanted tooth movement.")
            .step(from.clone());
            if !*settled
                && view.step.settle.is_some()
                && let Some(fix) = context
                    .fix("wait until the wire is expressed")
                    .replace(*from_place, &format!("{from} expressed"))
                    .done()
            {
                finding = finding.fix(fix);
            }
            out.push(finding);
        }
    }
}

/// The wire stays from the step before, and by then has been in for as long as a wire takes to express.
fn is_long_in(view: &StepView<'_>) -> bool {
    let stays = |v: &StepView<'_>| {
        v.step.wire.kept || v.before().is_some_and(|b| b.wire.same_wires(&v.step.wire))
    };
    let begins = |v: &StepView<'_>| v.phase.and_then(|p| p.date_in);
    let before = view.index.checked_sub(1).filter(|_| stays(view));
    let before = before.and_then(|i| view.context.step_view(view.side(), i));
    let days = before.as_ref().and_then(begins).zip(begins(view));
    days.is_some_and(|(from, to)| f64::from((to - from).get_days()) >= SETTLE_DAYS - 0.5)
}

/// Triangles and boxes that begin while the teeth are still being lined up. On the last, light wire they settle the bite.
fn vertical_while_aligning(context: &RuleContext<'_>, elastics: &Elastics) -> Option<Finding> {
    if !matches!(elastics.kind, ElasticsKind::Triangle | ElasticsKind::Box) {
        return None;
    }
    let (from, _, place) = elastics.from.as_ref()?;
    let arches = context.case.arches.iter().filter(|a| !a.is_unread());
    let view = arches.into_iter().find_map(|arch| {
        let at = arch.steps.iter().position(|s| s.name == *from)?;
        let view = context.step_view(arch.arch, at)?;
        (at + 1 < arch.steps.len() && purpose(&view) == StepKind::Align).then_some(view)
    })?;
    let message = format!(
        "{} elastics are worn from {from} onwards; the {} arch then has {}, still aligning.",
        sentence_name(elastics.kind),
        view.side(),
        view.wire().label()
    );
    let finding = Finding::new(RULE.code, Severity::Warning, *place, message)
        .why(
            "A wire so soft gives way at the hooks: those teeth come out and turn, the bite stays.",
        )
        .note("Begin them on working wires, or with the last wire for settling.");
    Some(finding.step(from.clone()))
}

/// Elastics that the plan has worn from a step which is over, on a wire that was too light for them, and that no
/// visit says to have been worn.
fn on_a_wire_that_is_out(context: &RuleContext<'_>, elastics: &Elastics) -> Option<Finding> {
    let (from, _, place) = elastics.from.as_ref().filter(|_| pulls_along(elastics.kind))?;
    let arches = context.case.arches.iter().filter(|a| !a.is_unread());
    let (view, what) = arches.into_iter().find_map(|arch| {
        let at = arch.steps.iter().position(|s| s.name == *from)?;
        let over = context.now_step(arch).is_some_and(|now| now > at);
        let view = context.step_view(arch.arch, at).filter(|_| over)?;
        let what = too_light(&view)?;
        Some((view, what))
    })?;
    let message = format!(
        "{} elastics are worn from {from} onwards, which is over; the {} arch then had {}, {what}.",
        sentence_name(elastics.kind),
        view.side(),
        view.wire().label()
    );
    let finding = Finding::new(RULE.code, Severity::Warning, *place, message)
        .why("The forecast counts on them since that day, on a wire that does not carry them.")
        .note("Write the step from which they are worn.");
    Some(finding.step(from.clone()))
}

/// The first working step with a rectangular wire that all arches share.
fn working_step(context: &RuleContext<'_>) -> Option<String> {
    let first = context.case.arches.first()?;
    first
        .steps
        .iter()
        .filter(|s| s.kind == StepKind::Work && !s.wire.wire.section.is_round())
        .map(|s| s.name.to_string())
        .find(|name| {
            context.case.arches.iter().all(|a| {
                a.steps.iter().any(|s| *s.name == **name && !s.wire.wire.section.is_round())
            })
        })
}

/// Elastics that name no step are worn from the first wire on.
fn from_the_first_day(context: &RuleContext<'_>, elastics: &Elastics) -> Option<Finding> {
    let force = strongest_g(elastics);
    let views = context.views();
    let view = views.iter().find(|v| {
        let wire = &v.wire().wire;
        v.index == 0 && (v.step.kind == StepKind::Align || wire.section.is_round())
    });
    // Where the first wires are through, they are worn on what is in the mouth now.
    let (wire, arch, severity) = match view {
        Some(view) => (view.wire().label(), view.side(), RULE.severity),
        None => {
            let arch = context.case.arches.first()?;
            let step = arch.steps.first()?;
            let severity = match step.kind {
                StepKind::Align => RULE.severity,
                _ => Severity::Warning,
            };
            (step.wire.value.label(), arch.arch, severity)
        }
    };
    let message = format!(
        "{} elastics of {} g name no step: they are worn from the first day, on {wire} in the {arch} arch.",
        sentence_name(elastics.kind),
        plain(force.round())
    );
    let mut finding = Finding::new(RULE.code, severity, elastics.place, message)
        .why("On a wire that is not passive the teeth at the hooks tip and rotate instead of the arch moving.")
        .figure(force.round(), LIGHT_G.round(), Unit::G);
    finding.fixes.extend(working_step(context).and_then(|later| {
        let line = format!("from {later} expressed");
        context.fix(line.clone()).add_inside(elastics.place, &line).done()
    }));
    Some(finding)
}
