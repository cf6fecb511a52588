//! A tooth between the ends of the arch that the last wire does not hold, and of which nobody says why.

use crate::prelude::*;
use springline_course::ToothStatus;
use springline_model::case::ArchCase;

pub const RULE: Rule = Rule {
    code: "space/not-in-last-wire",
    severity: Severity::Warning,
    page: include_str!("not_in_last_wire.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for arch in context.case.arches.iter().filter(|a| !a.is_unread()) {
        let Some(last) = arch.steps.len().checked_sub(1) else { continue };
        let Some(view) = context.step_view(arch.arch, last) else { continue };
        let held: Vec<Tooth> = view.in_wire();
        let (Some(first), Some(end)) = (held.first(), held.last()) else { continue };
        let inside = |t: &Tooth| first.place() < t.place() && t.place() < end.place();
        let out_of_it = view.state.teeth.iter().filter(|t| {
            inside(&t.tooth)
                && !t.fixed
                && matches!(
                    t.status,
                    ToothStatus::NotBonded | ToothStatus::Bypassed | ToothStatus::Piggyback
                )
        });
        let left: Vec<Tooth> =
            out_of_it.filter(|t| !is_said_elsewhere(arch, t.tooth)).map(|t| t.tooth).collect();
        if left.is_empty() {
            continue;
        }
        let which = words.teeth(&left);
        let verb = if left.len() > 1 { "are" } else { "is" };
        let message = format!(
            "{which} {verb} not in {}, the last wire of the {} arch, and nothing says why.",
            view.wire().label(),
            arch.arch
        );
        let mut finding = view
            .finding(RULE.code, RULE.severity, view.case_place(), message)
            .why("At the debond the tooth is where it was, or where a light wire left it.")
            .teeth(left.iter().copied());
        let bonded = left.iter().all(|t| arch.bonded.contains_key(t));
        let line = match (bonded, context.case.house.first_bracket(false)) {
            (false, Some(bracket)) => {
                format!("pick-up {} with {}", words.list(&left), bracket.name)
            }
            _ => format!("engage {}", words.list(&left)),
        };
        // Only the first wire takes in what nobody has moved.
        let step = if bonded { arch.steps.get(last) } else { arch.steps.first() };
        finding.fixes.extend(step.and_then(|step| {
            let fix = context.fix(format!("{line} in {}", step.name));
            fix.add_to_step(arch, step, &[line]).done()
        }));
        out.push(finding);
    }
}

/// Left out by a `bypass`, which has rules of its own, a section that leaves it, or a note on it.
fn is_said_elsewhere(arch: &ArchCase, tooth: Tooth) -> bool {
    let acts = arch.steps.iter().flat_map(|s| &s.acts);
    let mut named = acts.filter(|act| match &act.kind {
        ActKind::Bypass { teeth, .. } => teeth.contains(&tooth),
        ActKind::Sectional { teeth } => !teeth.contains(&tooth),
        _ => false,
    });
    named.next().is_some()
}
