//! The next, stiffer wire for a patient whose teeth are not clean.

use crate::prelude::*;
use crate::support::strength::rigidity;
use springline_finding::Fix;
use springline_model::Step;
use springline_model::case::Hygiene;

pub const RULE: Rule = Rule {
    code: "order/heavier-despite-hygiene",
    severity: Severity::Warning,
    page: include_str!("heavier_despite_hygiene.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let Some(last) = context.last_seen() else { return };
    let poor = case
        .visits
        .iter()
        .rev()
        .find(|v| v.hygiene.is_some())
        .filter(|v| v.hygiene == Some(Hygiene::Poor));
    let missed = case.missed.iter().filter(|(d, _)| *d > last).count();
    let why = match (poor, missed) {
        (Some(visit), _) => format!("hygiene was poor on {}", visit.on),
        (None, n) if n >= 2 => format!("{n} appointments were missed since {last}"),
        _ => return,
    };
    let mut list = Vec::new();
    for arch in &case.arches {
        let now = context.views().into_iter().find(|v| v.side() == arch.arch);
        let Some(now) = now else { continue };
        let Some(next) = now.after() else { continue };
        if rigidity(&next.wire.value) <= rigidity(now.wire()) * 1.05 {
            continue;
        }
        let place = if next.place.file == arch.place.file { next.place } else { now.case_place() };
        let mut finding = Finding::new(
            RULE.code,
            RULE.severity,
            place,
            format!("{} is next in the {} arch, and {why}.", next.wire.label(), arch.arch),
        )
        .why("Moving teeth through inflamed tissue risks bone loss.")
        .step(next.name.clone());
        finding.fixes.extend(keep_for_now(context, &now, next));
        list.push(Candidate::new(arch.arch, 1.0, finding));
    }
    merge_per_arch(context.words(), list, out);
}

/// A step on the wire that is in, before the one that takes the next: nothing of the plan is left out.
fn keep_for_now(context: &RuleContext<'_>, now: &StepView<'_>, next: &Step) -> Option<Fix> {
    let name = lighter_wire::free_name(now, "clean")?;
    let line = format!(
        "step {name} as {} before {}, wire keep, until doctor-decides, next 6 wk",
        now.step.kind.word(),
        next.name
    );
    context
        .fix(format!("keep {} until the doctor finds the teeth clean", now.wire().names()))
        .add_after_step(now.arch, now.step, &line)
        .done()
}
