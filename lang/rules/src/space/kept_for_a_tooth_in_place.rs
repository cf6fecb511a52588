//! A space kept for a later tooth where a tooth stands in the wire.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "space/kept-for-a-tooth-in-place",
    severity: Severity::Error,
    page: include_str!("kept_for_a_tooth_in_place.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for arch in context.case.arches.iter().filter(|a| !a.is_unread()) {
        let Some(first) = context.step_view(arch.arch, 0) else { continue };
        let in_place = |t: &Tooth| !arch.states.contains_key(t) && first.is_in_wire(*t);
        let acts = arch.extras.iter().chain(arch.steps.iter().flat_map(|s| &s.acts));
        for act in acts {
            let ActKind::Hold { teeth, .. } = &act.kind else { continue };
            let Some(tooth) = teeth.iter().find(|t| in_place(t)) else { continue };
            let named = context.words().tooth(*tooth);
            let message = format!(
                "The space of {named} is to be kept for a later tooth, and {named} is there and in the first wire."
            );
            out.push(
                Finding::new(RULE.code, RULE.severity, act.place, message)
                    .why("Somebody reads of a space that is not there, and nobody keeps the one that is.")
                    .note("Name the tooth that is missing, or say that this one is.")
                    .teeth([*tooth]),
            );
        }
    }
}
