//! A plan that ends before any wire has finished.

use crate::prelude::*;
use crate::support::role::{WireRole, role};

pub const RULE: Rule = Rule {
    code: "order/ends-on-aligning-wire",
    severity: Severity::Warning,
    page: include_str!("ends_on_aligning_wire.md"),
    check,
    ..Rule::PLAIN
};

/// A wire in fewer teeth is a partial appliance, which does one thing and comes off.
const WHOLE_ARCH: usize = 8;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    // An appliance that comes off early, with its reason, ends where it is.
    if context.case.debond.is_some() {
        return;
    }
    for view in context.views() {
        if view.after().is_some() || role(&view.wire().wire) != WireRole::Aligning {
            continue;
        }
        if view.in_wire().len() < WHOLE_ARCH {
            continue;
        }
        let worked = view.arch.steps[..view.index].iter();
        if worked.into_iter().any(|s| role(&s.wire.wire) != WireRole::Aligning) {
            continue;
        }
        let finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.case_place(),
                format!(
                    "The plan of the {} arch ends on {}: no wire levels, works or finishes.",
                    view.side(),
                    view.wire().label()
                ),
            )
            .why("A round flexible wire brings crowns into line and leaves roots, bite and arch form as they were.");
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    merge_per_arch(context.words(), list, out);
}
