//! Bends written for a wire that takes none.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/bend-in-superelastic",
    severity: Severity::Warning,
    page: include_str!("bend_in_superelastic.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views().into_iter().filter(|v| !v.is_in_mouth()) {
        let wire = view.wire();
        if !wire.wire.alloy.is_niti() {
            continue;
        }
        for act in &view.step.acts {
            let what = match &act.kind {
                ActKind::Bend { .. } => "A bend",
                // A round wire turns in its slot whatever its alloy; reported by that rule.
                ActKind::Torque { .. } if !wire.wire.section.is_round() => "Torque",
                ActKind::ReverseCurve { .. } => "A reverse curve",
                _ => continue,
            };
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    view.act_place(act),
                    format!(
                        "{what} is planned for {} in {}; a superelastic wire is not bent at the chair.",
                        wire.label(),
                        view.step.name
                    ),
                )
                .why("It springs back, or it kinks and breaks.")
                .teeth(act.kind.teeth());
            if let Some(name) = bendable(context, wire) {
                finding.fixes.extend(
                    context
                        .fix(format!("{name} in {}", view.step.name))
                        .set_clause(view.arch, view.step, ClauseKind::Wire, &name)
                        .done(),
                );
            }
            list.push(Candidate::new(view.side(), 1.0, finding));
        }
    }
    merge_per_arch(context.words(), list, out);
}

/// A beta-titanium wire in stock of the nearest section: it can be bent and is softer than steel.
fn bendable(context: &RuleContext<'_>, wire: &springline_model::step::WireUse) -> Option<String> {
    use springline_model::stock::Alloy;
    let height = sizes_mm(wire.wire.section).0;
    context
        .case
        .house
        .wires
        .values()
        .filter(|w| w.alloy == Alloy::BetaTitanium && !w.section.is_round())
        .min_by(|a, b| {
            let from = |w: &springline_model::Wire| (sizes_mm(w.section).0 - height).abs();
            from(a).total_cmp(&from(b))
        })
        .map(|w| w.name.to_string())
}
