//! An implant or ankylosed tooth treated as if it moved.

use crate::prelude::*;
use springline_finding::Fix;

pub const RULE: Rule = Rule {
    code: "order/fixed-tooth-moved",
    severity: Severity::Error,
    page: include_str!("fixed_tooth_moved.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        for state in view.state.teeth.iter().filter(|t| t.fixed) {
            let tooth = state.tooth;
            let Some((kind, place)) = view.arch.states.get(&tooth) else { continue };
            let what = match kind {
                springline_model::case::ToothState::Implant => "an implant",
                _ => "ankylosed",
            };
            let pose = current_stand(view.case, view.arch, tooth);
            let off = springline_course::ToothPose::from_stand(tooth, &pose);
            let in_wire = state.status.is_in_wire();
            let out_of_line = in_wire && (off.off_mm() > 0.3 || off.off_deg() > 5.0);
            let acted = view.acts().find(|a| moves(&a.kind, tooth));
            let (severity, message) = if let Some(act) = acted {
                (
                    Severity::Error,
                    format!(
                        "{} is {what} and the plan moves it by the {} in {}.",
                        words.tooth(tooth),
                        act.kind.keyword(),
                        view.step.name
                    ),
                )
            } else if out_of_line {
                let by =
                    if off.off_mm() > 0.3 { say_mm(off.off_mm()) } else { say_deg(off.off_deg()) };
                (
                    Severity::Error,
                    format!(
                        "{} is {what}, is {by} out of line and is in the wire in {}.",
                        words.tooth(tooth),
                        view.step.name
                    ),
                )
            } else if in_wire && matches!(view.step.kind, StepKind::Align | StepKind::Level) {
                (
                    Severity::Warning,
                    format!(
                        "{} is {what} and is in the wire in {}: the others move towards it.",
                        words.tooth(tooth),
                        view.step.name
                    ),
                )
            } else {
                continue;
            };
            let mut finding = view
                .finding(RULE.code, severity, *place, message)
                .why("It does not move; its neighbours move towards it.")
                .teeth([tooth]);
            if acted.is_none()
                && view.index == 0
                && let Some(fix) = left_out(context, &view, tooth)
            {
                finding = finding.fix(fix);
            }
            list.push(Candidate::new(view.side(), off.off_mm(), finding));
        }
    }
    // All steps have the same finding for the same tooth, so only the first of the gravest is reported: a wire that
    // passes it hides no chain that pulls on it later.
    list.sort_by_key(|c| c.finding.severity);
    let mut seen: Vec<Tooth> = Vec::new();
    list.retain(|c| {
        let tooth = c.finding.teeth.first().copied();
        let new = tooth.is_some_and(|t| !seen.contains(&t));
        seen.extend(tooth);
        new
    });
    merge_per_arch(words, list, out);
}

/// It stays out of every wire, under a sleeve where the bare span is long.
fn left_out(context: &RuleContext<'_>, view: &StepView<'_>, tooth: Tooth) -> Option<Fix> {
    let words = context.words();
    let sleeve = lighter_wire::sleeve_over(context, view, tooth);
    let mut fix = context.fix(format!("leave {} out of the wire", words.tooth(tooth)));
    for step in view.arch.steps.iter().skip(view.index) {
        let bypass = format!("bypass {} until doctor-decides", words.tooth(tooth));
        let first = step.name == view.step.name;
        let lines: Vec<String> =
            first.then_some(bypass).into_iter().chain(sleeve.clone()).collect();
        if !lines.is_empty() {
            fix = fix.add_to_step(view.arch, step, &lines);
        }
    }
    fix.done()
}

/// The act is meant to move that tooth.
fn moves(kind: &ActKind, tooth: Tooth) -> bool {
    match kind {
        ActKind::Bend { teeth, .. } | ActKind::Torque { teeth, .. } => teeth.contains(&tooth),
        ActKind::OpenCoil { .. } | ActKind::Chain { .. } => false,
        ActKind::Reposition { teeth, .. } => teeth.contains(&tooth),
        _ => false,
    }
}
