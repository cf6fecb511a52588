//! A power arm that nothing pulls on.

use crate::prelude::*;
use springline_model::step::Anchor;

pub const RULE: Rule = Rule {
    code: "order/arm-without-pull",
    severity: Severity::Warning,
    page: include_str!("arm_without_pull.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for view in context.views() {
        for act in &view.step.acts {
            let ActKind::PowerArm { teeth, .. } = &act.kind else { continue };
            // A tooth without a bracket has no arm either, which another rule says.
            let bonded = |t: &Tooth| view.state.tooth(*t).is_some_and(|s| s.bonding.is_some());
            let own = teeth.iter().copied().filter(bonded);
            let idle: Vec<Tooth> = own.filter(|t| !is_pulled(context, &view, *t)).collect();
            if idle.is_empty() {
                continue;
            }
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    view.act_place(act),
                    format!(
                        "Nothing pulls at the power arm on {} in {}.",
                        words.teeth(&idle),
                        view.step.name
                    ),
                )
                .why("An arm that carries nothing only presses into cheek and gum.")
                .teeth(idle.iter().copied())
                .note("Hang a spring, a chain or an elastic that ends at this tooth on it, or leave it out.");
            if idle.len() == teeth.len() {
                let without = context.fix(format!("without `{}`", act.text));
                finding.fixes.extend(without.remove(act.place).done());
            }
            out.push(finding);
        }
    }
}

/// A spring or chain that ends at the tooth, or an elastic worn in the step.
fn is_pulled(context: &RuleContext<'_>, view: &StepView<'_>, tooth: Tooth) -> bool {
    let acts = view.acts().any(|a| match &a.kind {
        ActKind::ClosingCoil { pulls, .. } => {
            pulls.iter().any(|(a, b)| [*a, *b].contains(&Anchor::Tooth(tooth)))
        }
        ActKind::Chain { teeth, .. } => {
            teeth.iter().min() == Some(&tooth) || teeth.iter().max() == Some(&tooth)
        }
        _ => false,
    });
    let worn = context.forecast.timeline.elastics_in(view.side(), view.index);
    let blocks = worn.iter().filter_map(|block| context.case.elastics.get(*block));
    acts || blocks.flat_map(|b| &b.runs).any(|run| run.teeth.contains(&tooth))
}
