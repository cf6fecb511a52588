//! A power arm that the vestibule has no room for.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/arm-too-long",
    severity: Severity::Warning,
    page: include_str!("arm_too_long.md"),
    check,
    ..Rule::PLAIN
};

/// Heights in use, mm (common practice, no source): below, a hook does as well; above, the arm ends in the fold of the
/// cheek.
const SHORTEST_MM: f64 = 4.0;
const LONGEST_MM: f64 = 10.0;
/// What is offered instead, mm.
const USUAL_MM: f64 = 7.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for view in context.views() {
        for act in &view.step.acts {
            let ActKind::PowerArm { teeth, height } = &act.kind else { continue };
            let height = mm(*height);
            let (limit, than, why) = match height {
                h if h > LONGEST_MM => (
                    LONGEST_MM,
                    "longer than",
                    "It would end in the fold of cheek and gum, which is no deeper, and cut into it.",
                ),
                h if h < SHORTEST_MM => (
                    SHORTEST_MM,
                    "shorter than",
                    "The pull stays where a hook on the bracket has it: the tooth tips as without an arm.",
                ),
                _ => continue,
            };
            let arms = if teeth.len() == 1 { "The power arm" } else { "The power arms" };
            let usual = format!("power-arm {} {} mm", words.list(teeth), plain(USUAL_MM));
            let shorter = context.fix(usual.clone()).replace(act.place, &usual).done();
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    view.act_place(act),
                    format!(
                        "{arms} on {} in {}: {} mm, {than} the {} mm that are in use.",
                        words.teeth(teeth),
                        view.step.name,
                        plain(height),
                        plain(limit)
                    ),
                )
                .why(why)
                .figure(height, limit, Unit::Mm)
                .teeth(teeth.iter().copied());
            finding.fixes.extend(shorter);
            out.push(finding);
        }
    }
}
