//! Elastics whose ends the wires do not hold on that day.

use crate::prelude::*;
use crate::wording::sentence_name;
use springline_course::{Phase, ToothStatus};
use springline_model::case::{Elastics, ElasticsKind};

pub const RULE: Rule = Rule {
    code: "order/elastics-without-support",
    severity: Severity::Error,
    page: include_str!("elastics_without_support.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for (index, elastics) in context.case.elastics.iter().enumerate() {
        if elastics.kind == ElasticsKind::Settling {
            // Worn to single teeth, with the wire cut or out.
            continue;
        }
        out.extend(on_a_free_tooth(context, index, elastics));
        out.extend(on_a_wire_of_another_step(context, index, elastics));
    }
}

/// An end on a tooth that is out of the wire and has no button.
fn on_a_free_tooth(
    context: &RuleContext<'_>,
    index: usize,
    elastics: &Elastics,
) -> Option<Finding> {
    let words = context.words();
    for view in context.views() {
        if !context.forecast.timeline.elastics_in(view.side(), view.index).contains(&index) {
            continue;
        }
        for run in &elastics.runs {
            let free = run.teeth.iter().copied().filter(|t| t.arch() == view.side()).find(|t| {
                let status = view.state.status(*t);
                let button = view.arch.buttons.iter().any(|(b, ..)| b == t);
                !status.is_in_wire() && !button && status != ToothStatus::Piggyback
            });
            let Some(tooth) = free else { continue };
            let why = match view.state.status(tooth) {
                ToothStatus::Absent => "is not there",
                ToothStatus::NotBonded => "has no bracket",
                _ => "is out of the wire",
            };
            // Vertical elastics may bring a tooth down that no wire holds.
            let vertical = matches!(elastics.kind, ElasticsKind::Triangle | ElasticsKind::Box);
            let severity = match (vertical, view.state.status(tooth)) {
                (true, ToothStatus::Bypassed) => Severity::Warning,
                _ => RULE.severity,
            };
            let kind = sentence_name(elastics.kind);
            let step = &view.step.name;
            let message = format!(
                "{kind} elastics hang on {} in {step}, which {why} then.",
                words.tooth(tooth)
            );
            let finding = view.finding(RULE.code, severity, run.place, message);
            return Some(
                finding
                    .why("The elastic moves that one tooth instead of the arch, or has nothing to hang on.")
                    .note("Hang it on a tooth in the wire, bond a button, or begin when the tooth is in the wire.")
                    .teeth([tooth]),
            );
        }
    }
    None
}

/// An arch without the step they are worn from: what wire it has by then.
fn on_a_wire_of_another_step(
    context: &RuleContext<'_>,
    index: usize,
    elastics: &Elastics,
) -> Option<Finding> {
    let (from, _, from_place) = elastics.from.as_ref()?;
    let begins = context.forecast.timeline.elastics().get(index)?.first_day?;
    let hung = |arch: Arch| elastics.runs.iter().flat_map(|r| &r.teeth).any(|t| t.arch() == arch);
    for arch in context.case.arches.iter().filter(|a| hung(a.arch)) {
        if arch.steps.iter().any(|s| s.name == *from) {
            continue;
        }
        let phases = context.forecast.arch(arch.arch).map_or(&[][..], |f| &f.phases);
        let by_then = |p: &&Phase| p.date_in.is_some_and(|day| day <= begins);
        let Some(phase) = phases.iter().rfind(by_then) else {
            let finding = Finding::new(
                RULE.code,
                RULE.severity,
                *from_place,
                format!(
                    "They begin with {from} about {begins}, and the {} arch has no wire then.",
                    arch.arch
                ),
            );
            return Some(finding.why("There is nothing to hang them on.").step(from.clone()));
        };
        let wire = &phase.wire.wire;
        if phase.kind != StepKind::Align && !wire.section.is_round() {
            continue;
        }
        let finding = Finding::new(
            RULE.code,
            RULE.severity,
            *from_place,
            format!(
                "They begin with {from} about {begins}; the {} arch has no such step and then carries {} in {}.",
                arch.arch,
                phase.wire.label(),
                phase.name
            ),
        );
        return Some(
            finding
                .why("On such a wire the teeth at the hooks tip and rotate instead of the arch moving.")
                .note(format!("Give the {} arch that step, or begin with one that both have.", arch.arch))
                .step(from.clone()),
        );
    }
    None
}
