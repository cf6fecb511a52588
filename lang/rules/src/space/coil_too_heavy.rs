//! A coil stronger than teeth bear.

use super::coil::{force_at_g, open_coils, usual_activation_mm};
use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "space/coil-too-heavy",
    severity: Severity::Error,
    page: include_str!("coil_too_heavy.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let limits = &context.case.house.limits;
    for view in context.views() {
        for coil in open_coils(&view).into_iter().filter(|c| c.new) {
            let Some(force) = coil.force_g() else { continue };
            let careful =
                view.arch.cautions.iter().find(|c| [coil.right, coil.left].contains(&c.tooth));
            let share = if careful.is_some() { 0.5 } else { 1.0 };
            let tooth = careful.map_or(coil.right, |c| c.tooth);
            let figures = limits.for_tooth(Limit::Coil, tooth).value;
            let (warn, stop) = (figures.warn * share, figures.stop.map(|s| s * share));
            let (severity, limit) = match stop {
                Some(stop) if force > stop + 1e-6 => (Severity::Error, stop),
                _ if force > warn + 1e-6 => (Severity::Warning, warn),
                _ => continue,
            };
            let mut finding = view
                .finding(
                    RULE.code,
                    severity,
                    view.act_place(coil.act),
                    format!(
                        "The coil between {} and {} in {} delivers {} g; limit {} g.",
                        words.tooth(coil.right),
                        words.tooth(coil.left),
                        view.step.name,
                        plain(force.round()),
                        plain(limit.round())
                    ),
                )
                .why("At such a force the teeth tip and rotate instead of moving apart.")
                .figure(force.round(), limit.round(), Unit::G)
                .teeth([coil.right, coil.left]);
            if let Some(caution) = careful {
                finding = finding.note(format!(
                    "{}: {}. Limits are halved for this tooth.",
                    words.tooth(caution.tooth),
                    caution.why
                ));
            }
            finding.fixes.extend(lighter(context, coil.act, warn));
            list.push(Candidate::new(view.side(), force / limit, finding));
        }
    }
    merge_per_arch(words, list, out);
}

/// The strongest open coil in stock below the limit, as a statement.
fn lighter(context: &RuleContext<'_>, act: &Act, warn: f64) -> Option<springline_finding::Fix> {
    use springline_model::stock::CoilKind;
    let words = context.words();
    let ActKind::OpenCoil { first, second, .. } = &act.kind else { return None };
    let stock = context.case.house.coils.values().filter(|c| c.kind == CoilKind::Open);
    let (force, pressed, name) = stock
        .filter(|c| c.force.is_some_and(|f| grams(f) <= warn))
        .filter_map(|c| {
            let pressed = usual_activation_mm(c, warn)?;
            Some((force_at_g(c, pressed), pressed, &c.name))
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))?;
    let (first, second) = (words.tooth(*first), words.tooth(*second));
    let pressed = plain(pressed);
    let line =
        format!("open-coil between {first} and {second} with {name}, activated {pressed} mm");
    context
        .fix(format!("use {name} instead"))
        .replace(act.place, &line)
        .done()
        .map(|fix| fix.outcome(format!("with {name}: {} g", plain(force.round()))))
}
