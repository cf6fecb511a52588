//! Bite raisers behind the upper incisors that the lower ones pass.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/raisers-not-reached",
    severity: Severity::Warning,
    page: include_str!("raisers_not_reached.md"),
    check,
    ..Rule::PLAIN
};

/// From this overjet on the lower incisors bite behind raisers of the usual depth, mm (common practice, no source).
const PASSED_MM: f64 = 6.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let Some(overjet) = context.bite().overjet_mm.map(|o| o.value) else { return };
    if overjet < PASSED_MM - 1e-9 {
        return;
    }
    let words = context.words();
    for view in context.views().into_iter().filter(|v| !v.is_in_mouth()) {
        for act in &view.step.acts {
            let ActKind::BiteRaisers { teeth, .. } = &act.kind else { continue };
            let behind = |t: &Tooth| t.arch() == Arch::Upper && t.is_incisor();
            if teeth.is_empty() || !teeth.iter().all(behind) {
                continue;
            }
            let message = format!(
                "The bite raisers behind {} are put on in {}, and the overjet is {}: the lower incisors bite behind \
                 them.",
                words.teeth(teeth),
                view.step.name,
                say_mm(overjet)
            );
            let mut finding = view
                .finding(RULE.code, RULE.severity, view.act_place(act), message)
                .why("They hold nothing apart, or hold the lower jaw back.")
                .figure(tenth(overjet), PASSED_MM, Unit::Mm)
                .teeth(teeth.iter().copied());
            finding.fixes.extend(on_molars(context, act, teeth));
            out.push(finding);
        }
    }
}

/// The same on the first molars, where the appliance has them.
fn on_molars(
    context: &RuleContext<'_>,
    act: &Act,
    teeth: &[Tooth],
) -> Option<springline_finding::Fix> {
    let words = context.words();
    let lower = context.case.arch(Arch::Lower)?;
    let six: Vec<Tooth> = lower.bonded.keys().copied().filter(|t| t.position() == 6).collect();
    let sixes = (six.len() == 2).then(|| words.list(&six))?;
    let text = act.text.replacen(&words.list(teeth), &sixes, 1);
    (text != act.text)
        .then(|| context.fix(format!("raisers on {sixes}")).replace(act.place, &text).done())
        .flatten()
}
