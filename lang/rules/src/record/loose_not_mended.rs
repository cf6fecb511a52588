//! A breakage that was noted and not mended.

use crate::prelude::*;
use springline_model::case::Trouble;

pub const RULE: Rule = Rule {
    code: "record/loose-not-mended",
    severity: Severity::Warning,
    page: include_str!("loose_not_mended.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let words = context.words();
    let Some(visit) = case.visits.last() else { return };
    let mended = |tooth: Tooth| {
        let puts_back = |act: &Act| match &act.kind {
            ActKind::Rebond { teeth, .. }
            | ActKind::Reposition { teeth, .. }
            | ActKind::PickUp { teeth, .. }
            | ActKind::Bypass { teeth, .. } => teeth.contains(&tooth),
            _ => false,
        };
        // The step in the mouth put its bracket on once, and not since.
        let still_to_come = |v: &StepView<'_>, act: &Act| {
            !v.is_in_mouth() || matches!(act.kind, ActKind::Bypass { .. })
        };
        let planned =
            |v: &StepView<'_>| v.step.acts.iter().any(|a| puts_back(a) && still_to_come(v, a));
        visit.arches.iter().flat_map(|a| &a.acts).any(puts_back)
            || context.views().iter().any(planned)
            || visit.notes.iter().any(|n| n.contains(&words.tooth(tooth)))
    };
    for (trouble, place) in &visit.troubles {
        let Trouble::Loose { teeth } = trouble else { continue };
        let open: Vec<Tooth> = teeth.iter().copied().filter(|t| !mended(*t)).collect();
        let Some(first) = open.first() else { continue };
        let mut finding = Finding::new(
            RULE.code,
            RULE.severity,
            *place,
            format!(
                "The bracket of {} was loose on {}; no rebond is recorded.",
                words.teeth(&open),
                visit.on
            ),
        )
        .why("The next card would not show it.")
        .teeth(open.iter().copied());
        let seen = visit.arches.iter().find(|a| a.arch == first.arch());
        if let Some(seen) = seen
            && open.iter().all(|t| t.arch() == first.arch())
            && let Some(fix) = context
                .fix(format!("rebonded at this visit: rebond {}", words.list(&open)))
                .add_inside(seen.place, &format!("rebond {}", words.list(&open)))
                .done()
        {
            finding = finding.fix(fix);
        }
        out.push(finding);
    }
}
