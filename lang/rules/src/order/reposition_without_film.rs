//! Brackets placed anew without a look at the roots.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/reposition-without-film",
    severity: Severity::Advice,
    page: include_str!("reposition_without_film.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let film =
        |kind: &ActKind| matches!(kind, ActKind::Records { what, .. } if **what == *"panoramic");
    for view in context.views() {
        let Some((act, teeth)) = view.step.acts.iter().find_map(|a| match &a.kind {
            ActKind::Reposition { teeth, .. } => Some((a, teeth)),
            _ => None,
        }) else {
            continue;
        };
        let taken =
            view.arch.steps[..=view.index].iter().flat_map(|s| &s.acts).any(|a| film(&a.kind))
                || context.case.extras.iter().any(|a| film(&a.kind));
        if taken || view.is_in_mouth() {
            continue;
        }
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.act_place(act),
                format!(
                    "{} are repositioned in {} without a panoramic radiograph.",
                    words.teeth(teeth),
                    view.step.name
                ),
            )
            .why("A radiograph shows which roots are malpositioned.")
            .teeth(teeth.iter().copied());
        finding.fixes.extend(
            context
                .fix("add a panoramic radiograph")
                .add_to_step(view.arch, view.step, &["records panoramic".to_owned()])
                .done(),
        );
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    merge_per_arch(words, list, out);
}
