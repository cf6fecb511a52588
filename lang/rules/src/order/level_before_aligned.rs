//! A levelling wire in an arch that is not aligned.

use crate::prelude::*;
use crate::support::out_of_line::far_off;
use crate::support::stock_wires::lightest;
use crate::support::strength::{is_rigid_alloy, rigidity};
use springline_course::EndReason;

pub const RULE: Rule = Rule {
    code: "order/level-before-aligned",
    severity: Severity::Warning,
    page: include_str!("level_before_aligned.md"),
    check,
    yields_to: &["force/sustained", "force/left-over"],
    verdict: Some(due),
    ..Rule::PLAIN
};

/// The wire before this one is left in until it is passive.
pub(super) fn waits_for_passive(view: &StepView<'_>) -> bool {
    use springline_model::step::Term;
    let Some(before) = view.before() else { return false };
    let phase = view
        .context
        .forecast
        .arch(view.side())
        .and_then(|f| f.latest_phase_of_step(view.index - 1));
    if let Some(phase) = phase {
        // Nothing is known after a wire that could not go in; that one is the fault.
        if phase.insertion.refused.is_some() {
            return true;
        }
        return matches!(phase.end.reason, EndReason::Passive | EndReason::Measure { .. });
    }
    before.until.terms.contains(&Term::Passive)
        && (before.until.all || before.until.terms.len() == 1)
}

/// How gravely it speaks of a step after the first: a milder word on the forces need not be said too.
fn due(view: &StepView<'_>) -> Option<Severity> {
    let wire = view.wire();
    let is_due = view.index > 0
        && view.wire_goes_in()
        && view.knows_poses()
        && !wire.wire.section.is_round()
        && !is_rigid_alloy(&wire.wire)
        && view.before().is_some_and(|b| rigidity(wire) > rigidity(&b.wire.value) * 1.05)
        && !waits_for_passive(view)
        && !far_off(view).is_empty();
    is_due.then_some(RULE.severity)
}

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let wire = view.wire();
        if !view.wire_goes_in() || wire.wire.section.is_round() || is_rigid_alloy(&wire.wire) {
            continue;
        }
        let stiffer = view.before().is_none_or(|b| rigidity(wire) > rigidity(&b.wire.value) * 1.05);
        if !stiffer || waits_for_passive(&view) || !view.knows_poses() {
            continue;
        }
        // For a first wire the force rules are more specific.
        if view.index == 0 && RULE.yields(&view, Severity::Advice) {
            continue;
        }
        // The first wire of a running case that was entered in place has its own history.
        if view.before().is_none() && context.case.in_place.is_some() {
            continue;
        }
        let far = far_off(&view);
        let Some(&(tooth, value, limit, unit)) = far.first() else { continue };
        let say = |v: f64, u: Unit| if u == Unit::Mm { say_mm(v) } else { say_deg(v) };
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.case_place(),
                format!(
                    "{} is placed for {} while {} is still {} out of line; limit {}.",
                    wire.label(),
                    view.step.name,
                    words.tooth(tooth),
                    say(value, unit),
                    say(limit, unit)
                ),
            )
            .why("A rectangular wire rotates a tooth that is out of line before it aligns it.")
            .figure(if unit == Unit::Mm { tenth(value) } else { value.round() }, limit, unit)
            .teeth(far.iter().map(|f| f.0));
        for (other, value, _, unit) in far.iter().skip(1).take(3) {
            finding = finding.note(format!(
                "{} is {} out of line.",
                words.tooth(*other),
                say(*value, *unit)
            ));
        }
        let fix = match view.before() {
            Some(before) => lighter_wire::until_passive(context, &view, before),
            None => lightest(context).and_then(|name| {
                context
                    .fix(format!("{name} first"))
                    .set_clause(view.arch, view.step, ClauseKind::Wire, &name)
                    .done()
            }),
        };
        finding.fixes.extend(fix);
        finding.fixes.extend(lighter_wire::split(context, &view));
        list.push(Candidate::new(view.side(), value / limit, finding));
    }
    merge_per_arch(words, list, out);
}
