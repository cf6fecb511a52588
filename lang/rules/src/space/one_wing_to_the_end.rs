//! A tooth held by one wing that no later step takes in whole.

use crate::prelude::*;
use springline_course::ToothStatus;
use springline_finding::Fix;
use springline_model::step::Wing;

pub const RULE: Rule = Rule {
    code: "space/one-wing-to-the-end",
    severity: Severity::Warning,
    page: include_str!("one_wing_to_the_end.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for arch in &context.case.arches {
        if arch.is_unread() {
            continue;
        }
        let Some(last) = arch.steps.len().checked_sub(1) else { continue };
        let Some(end) = context.step_view(arch.arch, last) else { continue };
        let held = end.state.teeth.iter();
        let half = held.filter(|t| matches!(t.status, ToothStatus::HalfEngaged(_)));
        let teeth: Vec<Tooth> = half.map(|t| t.tooth).collect();
        let Some((view, act)) = first_tied(context, arch.arch, &teeth) else { continue };
        let (which, verb, name) = match teeth.as_slice() {
            [_] => (words.teeth(&teeth), "is", &view.step.name),
            _ => (words.teeth(&teeth), "are", &view.step.name),
        };
        let message = format!(
            "{which} {verb} held by one wing from {name} on, and no later step takes in the other."
        );
        let mut finding = view
            .finding(RULE.code, RULE.severity, view.act_place(act), message)
            .why("A wire in one wing leaves the tooth turned, and the slide open, to the end.")
            .teeth(teeth.iter().copied());
        let title = format!("steps with both wings of {} after {name}", words.teeth(&teeth));
        let own_steps = lighter_wire::both_wings_steps(context.fix(title), context, &view, &teeth);
        finding.fixes.extend(both_wings(context, &view, &teeth));
        finding.fixes.extend(own_steps.and_then(|fix| fix.done()));
        out.push(finding);
    }
}

/// The step that ties the first of these teeth by one wing for the last time, and the act that does.
fn first_tied<'a>(
    context: &'a RuleContext<'a>,
    arch: Arch,
    teeth: &[Tooth],
) -> Option<(StepView<'a>, &'a Act)> {
    let steps = &context.case.arch(arch)?.steps;
    let (index, act) = steps.iter().enumerate().rev().find_map(|(i, step)| {
        let one_wing = |a: &&Act| match &a.kind {
            ActKind::Engage { teeth: taken, wing } => {
                *wing != Wing::Both && taken.iter().any(|t| teeth.contains(t))
            }
            _ => false,
        };
        Some((i, step.acts.iter().find(one_wing)?))
    })?;
    Some((context.step_view(arch, index)?, act))
}

/// Both wings in the next step.
fn both_wings(context: &RuleContext<'_>, view: &StepView<'_>, teeth: &[Tooth]) -> Option<Fix> {
    let next = view.after()?;
    let line = format!("engage {}", context.words().list(teeth));
    let fix = context.fix(format!("{line} in {}", next.name));
    fix.add_to_step(view.arch, next, &[line]).done()
}
