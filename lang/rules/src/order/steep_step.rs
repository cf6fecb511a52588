//! From a round aligning wire straight to a full stiff one.

use crate::prelude::*;
use crate::support::strength::{is_at_least, is_rigid_alloy, rigidity};

pub const RULE: Rule = Rule {
    code: "order/steep-step",
    severity: Severity::Warning,
    page: include_str!("steep_step.md"),
    check,
    yields_to: &["force/sustained", "force/left-over"],
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        let wire = view.wire();
        let full = is_rigid_alloy(&wire.wire)
            && !wire.wire.section.is_round()
            && is_at_least(&wire.wire, 0.016, 0.022);
        let Some(before) = view.before().filter(|_| full && view.wire_goes_in()) else { continue };
        let was = &before.wire.wire;
        let filled = view.arch.steps[..view.index].iter().any(|s| {
            let w = &s.wire.wire;
            !w.section.is_round() && is_at_least(w, 0.014, 0.022)
        });
        if !was.alloy.is_niti() || !was.section.is_round() || filled {
            continue;
        }
        // Teeth still out of line are the more serious error, reported elsewhere.
        if RULE.yields(&view, RULE.severity) {
            continue;
        }
        let times = rigidity(wire) / rigidity(&before.wire.value).max(1e-9);
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.case_place(),
                format!(
                    "{} in {} follows {} directly; no rectangular superelastic wire has levelled before it.",
                    wire.label(),
                    view.step.name,
                    was.label()
                ),
            )
            .why("A round wire leaves the roots where they were; the stiff one meets all of that torque and tip \
                at once.")
            .note(format!("It is {} as stiff.", say_times(times)));
        finding.fixes.extend(lighter_wire::split(context, &view));
        list.push(Candidate::new(view.side(), times, finding));
    }
    merge_per_arch(context.words(), list, out);
}
