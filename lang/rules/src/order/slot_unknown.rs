//! Brackets of another practice whose slot nobody has measured, in a step that depends on it.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/slot-unknown",
    severity: Severity::Warning,
    page: include_str!("slot_unknown.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    let mut list = Vec::new();
    for view in context.views() {
        if view.wire().wire.section.is_round() {
            continue;
        }
        let unknown = |t: &Tooth| {
            let bonding = view.state.tooth(*t).and_then(|t| t.bonding.as_ref());
            bonding.and_then(|b| b.elsewhere).is_some_and(|e| !e.slot_known)
        };
        let teeth: Vec<Tooth> = view.in_wire().into_iter().filter(unknown).collect();
        let Some(first) = teeth.first() else { continue };
        let Some(place) = view.arch.bonded.get(first).map(|b| b.place) else { continue };
        let message = format!(
            "{} go into {} brackets whose slot nobody has measured: whether it fits, its forces and its torque are \
             those of this practice\u{2019}s own.",
            view.wire().label(),
            teeth.len()
        );
        let finding = view
            .finding(RULE.code, RULE.severity, place, message)
            .why("In an 0.018 slot half of these wires do not go in, and the rest press harder.")
            .note(format!(
                "Gauge the slot and write it: `bonded-elsewhere {}, slot 0.018 x 0.025 in`.",
                words.list(&teeth)
            ))
            .teeth(teeth);
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    merge_per_arch(words, list, out);
}
