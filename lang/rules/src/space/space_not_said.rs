//! A tooth far out of the arch that is taken into the wire, and no word of the space for it.

use crate::prelude::*;
use springline_course::ToothStatus;
use springline_model::case::ArchCase;

pub const RULE: Rule = Rule {
    code: "space/space-not-said",
    severity: Severity::Warning,
    page: include_str!("space_not_said.md"),
    check,
    ..Rule::PLAIN
};

/// So far in or out of the arch a crown stands past its neighbours rather than between them, mm (common practice, no
/// source).
const OUT_MM: f64 = 2.5;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    if context.case.goal.as_ref().is_some_and(|g| g.incisors_forward == Some(true)) {
        return;
    }
    for arch in context.case.arches.iter().filter(|a| !a.is_unread() && !speaks_of_space(a)) {
        let Some(view) = context.views().into_iter().find(|v| v.side() == arch.arch) else {
            continue;
        };
        if view.is_in_mouth() {
            continue;
        }
        let off = |tooth: Tooth| {
            let stand = current_stand(context.case, arch, tooth);
            let by = stand.in_out.map_or(0.0, |(by, _)| mm(by.length()));
            (stand.space.is_none() && by >= OUT_MM - 1e-9).then_some(by)
        };
        let taken_in = view.state.teeth.iter().filter(|t| t.status == ToothStatus::Engaged);
        let worst = taken_in
            .filter_map(|t| Some((t.tooth, off(t.tooth)?)))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        let Some((tooth, by)) = worst else { continue };
        let (named, width) = (words.tooth(tooth), width_mm(arch, tooth));
        let place = described(arch, tooth).unwrap_or(view.case_place());
        let message = format!(
            "{named} is {} out of the arch and in the wire from {} onwards, and nothing says how much space it has.",
            say_mm(by),
            view.step.name
        );
        out.push(
            view.finding(RULE.code, RULE.severity, place, message)
                .why(
                    "A crown that stands so far out has seldom all its room: what is missing comes from the incisors, or \
                     the tooth stays where it is. Without the figure neither is computed.",
                )
                .figure(by, OUT_MM, Unit::Mm)
                .note(format!(
                    "Measure between its neighbours and write it: `tooth {named} ..., space {}` where it has all of it, \
                     less where it has not.",
                    say_mm(width)
                ))
                .teeth([tooth]),
        );
    }
}

/// Any line of the arch about its room: crowding, a gap, an overlap, a tooth taken out or absent, enamel, a coil, a widened arch,
/// a tooth left out until it has its place.
fn speaks_of_space(arch: &ArchCase) -> bool {
    let acts = arch.extras.iter().chain(arch.steps.iter().flat_map(|s| &s.acts));
    let makes = |kind: &ActKind| {
        matches!(
            kind,
            ActKind::OpenCoil { .. }
                | ActKind::ClosedCoil { .. }
                | ActKind::Reduce { .. }
                | ActKind::Bypass { .. }
                | ActKind::Hold { .. }
        )
    };
    arch.crowding.is_some()
        || arch.expander.is_some()
        || !arch.gaps.is_empty()
        || !arch.overlaps.is_empty()
        || arch.states.values().any(|(state, _)| state.is_absent())
        || acts.into_iter().any(|a| makes(&a.kind))
}
