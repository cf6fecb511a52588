//! Two sections of wire in one step of an arch.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/two-sections",
    severity: Severity::Error,
    page: include_str!("two_sections.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let sections: Vec<(&Act, &[Tooth])> = view
            .acts()
            .filter_map(|act| match &act.kind {
                ActKind::Sectional { teeth } => Some((act, teeth.as_slice())),
                _ => None,
            })
            .collect();
        let [(_, first), .., (act, last)] = sections.as_slice() else { continue };
        let message = format!(
            "{} has {} sectional wires, on {} and on {}; only one wire per arch can be computed.",
            view.step.name,
            sections.len(),
            words.teeth(first),
            words.teeth(last)
        );
        let mut finding = view
            .finding(RULE.code, RULE.severity, view.act_place(act), message)
            .why("Taken as one wire the sections would hold each other, which they do not.")
            .teeth(last.iter().copied());
        finding.fixes.extend(context.fix("remove this section").remove(act.place).done());
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    merge_per_arch(words, list, out);
}
