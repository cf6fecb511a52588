//! A retainer for one arch, and none for the other.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/arch-not-retained",
    severity: Severity::Warning,
    page: include_str!("arch_not_retained.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let Some(retention) = &case.retention else { return };
    let Some(place) = retention.place else { return };
    let held = |arch: Arch| {
        retention.night.iter().any(|(a, _)| *a == arch)
            || retention.fixed.iter().any(|(teeth, _)| teeth.iter().any(|t| t.arch() == arch))
    };
    let treated: Vec<Arch> =
        case.arches.iter().filter(|a| !a.steps.is_empty()).map(|a| a.arch).collect();
    let bare: Vec<Arch> = treated.iter().copied().filter(|a| !held(*a)).collect();
    // A plan without any retainer is reported elsewhere.
    let Some(arch) = bare.first().filter(|arch| held(arch.other())) else { return };
    let mut finding = Finding::new(
        RULE.code,
        RULE.severity,
        place,
        format!("The retainers hold the {} arch; none holds the {arch} arch.", arch.other()),
    )
    .why("Teeth without a retainer relapse.");
    finding.fixes.extend(
        context
            .fix(format!("a night-time retainer for the {arch} arch"))
            .add_inside(place, &format!("night-time {arch}"))
            .done(),
    );
    out.push(finding);
}
