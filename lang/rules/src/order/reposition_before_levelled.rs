//! Brackets placed anew before the wire has shown where they are wrong.

use crate::prelude::*;
use crate::support::role::{WireRole, role};

pub const RULE: Rule = Rule {
    code: "order/reposition-before-levelled",
    severity: Severity::Warning,
    page: include_str!("reposition_before_levelled.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        if view.is_in_mouth() || context.case.in_place.is_some() {
            continue;
        }
        let Some((act, teeth)) = view.step.acts.iter().find_map(|a| match &a.kind {
            ActKind::Reposition { teeth, .. } => Some((a, teeth)),
            _ => None,
        }) else {
            continue;
        };
        let earlier = &view.arch.steps[..view.index];
        if earlier.iter().any(|s| role(&s.wire.wire) != WireRole::Aligning) {
            continue;
        }
        let after = match view.before() {
            Some(before) => format!("after {}", before.wire.label()),
            None => "with the first wire".to_owned(),
        };
        let finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.act_place(act),
                format!(
                    "{} are repositioned in {}, {after}: no rectangular wire has shown yet where a bracket is wrong.",
                    words.teeth(teeth),
                    view.step.name
                ),
            )
            .why("Until a wire fills the slots a tooth out of line looks like a bracket out of place.")
            .teeth(teeth.iter().copied());
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    merge_per_arch(words, list, out);
}
