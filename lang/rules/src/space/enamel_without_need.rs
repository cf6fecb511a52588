//! Enamel taken off in an arch that is not short of room.

use crate::prelude::*;
use crate::support::account::{crowding_mm, planned_enamel_mm, shortages};

pub const RULE: Rule = Rule {
    code: "space/enamel-without-need",
    severity: Severity::Warning,
    page: include_str!("enamel_without_need.md"),
    check,
    ..Rule::PLAIN
};

/// Room that an arch may lack before enamel has a reason, mm.
const SHORT_MM: f64 = 0.5;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for arch in &context.case.arches {
        let enamel = planned_enamel_mm(arch);
        let short: f64 = shortages(context.case, arch).iter().map(|s| s.short_mm()).sum();
        let first = context.views().into_iter().find(|v| v.side() == arch.arch);
        let Some(view) = first.filter(|_| enamel > 0.0 && short <= SHORT_MM) else { continue };
        // Enamel also serves the bite: a goal for overjet or canines, and what was written as crowding.
        let goal = context.case.goal.as_ref().map(|g| &g.bite);
        let bite = goal.is_some_and(|b| b.overjet.is_some() || !b.canines.is_empty());
        // Crooked teeth were the reason, also once they stand in line with the incisors forward.
        let at_first = context.step_view(arch.arch, 0).map_or(0.0, |first| crowding_mm(&first));
        let crowded = at_first.max(crowding_mm(&view)) > SHORT_MM;
        if bite || arch.crowding.is_some() || crowded {
            continue;
        }
        let acts = arch.steps.iter().flat_map(|s| &s.acts);
        let act = acts.into_iter().find(|a| matches!(a.kind, ActKind::Reduce { .. }));
        let Some(act) = act else { continue };
        let mut finding = Finding::new(
            RULE.code,
            RULE.severity,
            act.place,
            format!(
                "{} of enamel is taken off in the {} arch, and {} of room is short.",
                say_mm(enamel),
                arch.arch,
                say_mm(short.max(0.0))
            ),
        )
        .why("Enamel does not come back, and the room that it makes has to be closed.")
        .figure(tenth(enamel), SHORT_MM, Unit::Mm);
        finding.fixes.extend(context.fix("leave the enamel alone").remove(act.place).done());
        list.push(Candidate::new(arch.arch, enamel, finding));
    }
    merge_per_arch(context.words(), list, out);
}
