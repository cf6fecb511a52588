//! An elastic with nothing to hang on.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/no-hook",
    severity: Severity::Error,
    page: include_str!("no_hook.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for (index, elastics) in context.case.elastics.iter().enumerate() {
        let mut bare: Vec<(Tooth, springline_text::Place)> = Vec::new();
        for run in &elastics.runs {
            for tooth in &run.teeth {
                if !has_hook(context, index, *tooth) && !bare.iter().any(|(t, _)| t == tooth) {
                    bare.push((*tooth, run.place));
                }
            }
        }
        let Some(&(tooth, place)) = bare.first() else { continue };
        let teeth: Vec<Tooth> = bare.iter().map(|b| b.0).collect();
        let mut finding = Finding::new(
            RULE.code,
            RULE.severity,
            place,
            format!(
                "The {} elastics run to {}, and {} no hook.",
                elastics.kind.word(),
                words.teeth(&teeth),
                if teeth.len() > 1 { "they have" } else { "it has" }
            ),
        )
        .why("At the chair there is nothing to attach it to.")
        .teeth(teeth.iter().copied());
        if let Some((from, ..)) = &elastics.from {
            finding = finding.step(from.clone());
        }
        let arch = context.case.arch(tooth.arch());
        let same: Vec<Tooth> = teeth.iter().copied().filter(|t| t.arch() == tooth.arch()).collect();
        if let (Some(arch), true) = (arch, same.len() == teeth.len())
            && let Some(fix) = context
                .fix(format!("add a hook on {}", words.teeth(&same)))
                .add_inside(arch.place, &format!("hook {}", words.list(&same)))
                .done()
        {
            finding = finding.fix(fix);
        }
        out.push(finding);
    }
}

/// On its bracket, its button, or the wire beside it, in every step in which they are worn.
fn has_hook(context: &RuleContext<'_>, block: usize, tooth: Tooth) -> bool {
    let Some(arch) = context.case.arch(tooth.arch()) else { return false };
    let on_bracket = |b: &springline_model::stock::Bracket| b.hooks.contains(&tooth);
    let always = arch.hooks.contains(&tooth) || arch.buttons.iter().any(|(t, ..)| *t == tooth);
    let worn: Vec<StepView<'_>> = context
        .views()
        .into_iter()
        .filter(|v| v.side() == tooth.arch())
        .filter(|v| context.forecast.timeline.elastics_in(v.side(), v.index).contains(&block))
        .collect();
    let then = |view: &StepView<'_>| {
        let post = |a: &Act| match &a.kind {
            ActKind::Post { spots } => spots.iter().any(|s| s.tooth == tooth),
            ActKind::PowerArm { teeth, .. } => teeth.contains(&tooth),
            _ => false,
        };
        view.acts().any(post) || view.bracket(tooth).is_some_and(on_bracket)
    };
    // Worn in no step that is still to come: as the arch was bonded.
    let bonded = || arch.bonded.get(&tooth).is_some_and(|b| on_bracket(&b.bracket));
    always || if worn.is_empty() { bonded() } else { worn.iter().all(then) }
}
