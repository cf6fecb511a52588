//! Brackets on an arch that gets no wire.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/arch-without-steps",
    severity: Severity::Error,
    page: include_str!("arch_without_steps.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for arch in &context.case.arches {
        if arch.bonded.is_empty() || !arch.steps.is_empty() || arch.is_unread() {
            continue;
        }
        let message = format!("The {} arch is bonded, and the plan has no wire for it.", arch.arch);
        let mut finding = Finding::new(RULE.code, RULE.severity, arch.place, message)
            .why("Brackets without a wire do nothing, and no visit is planned for the arch.");
        let other = context.case.arch(arch.arch.other()).and_then(|a| a.follows.as_ref());
        finding.fixes.extend(other.and_then(|(sequence, _)| {
            let line = format!("follow {sequence}");
            context.fix(line.clone()).add_inside(arch.place, &line).done()
        }));
        out.push(finding.note("Let it follow a sequence of the practice, or write its steps."));
    }
}
