//! A wire that the plan leaves in for a stated time, long after it has done its work.

use crate::prelude::*;
use crate::support::role::purpose;
use springline_course::EndReason;

pub const RULE: Rule = Rule {
    code: "time/kept-long-after-passive",
    severity: Severity::Warning,
    page: include_str!("kept_long_after_passive.md"),
    check,
    ..Rule::PLAIN
};

/// Beyond the slow patient's time by so much, and never less than the practice's longest interval.
const GRACE_DAYS: f64 = 14.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        let Some(phase) = view.phase.filter(|p| p.end.reason == EndReason::Time) else { continue };
        let aligns = matches!(purpose(&view), StepKind::Align | StepKind::Level);
        if !aligns || view.is_in_mouth() || something_acts(&view) {
            continue;
        }
        let (Some(end), Some(passive)) = (phase.end.predicted.as_ref(), phase.passive.by_rule())
        else {
            continue;
        };
        let late = (passive.late_days + GRACE_DAYS).max(context.case.house.longest.value.days());
        if end.median_days <= late {
            continue;
        }
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.clause_place(view.step.until.place),
                format!(
                    "{} stays in the {} arch for {} in {}; it is forecast to be passive after {}, and nothing else acts.",
                    view.wire().label(),
                    view.side(),
                    say_weeks(end.median_days),
                    view.step.name,
                    say_weeks(passive.median_days)
                ),
            )
            .why("A passive wire only waits; months of treatment are lost.")
            .figure(weeks(end.median_days), weeks(late), Unit::Wk);
        finding.fixes.extend(lighter_wire::until_passive(context, &view, view.step));
        list.push(Candidate::new(view.side(), end.median_days / late, finding));
    }
    merge_per_arch(context.words(), list, out);
}

/// Something but the wire moves teeth in this step, or waits for them.
fn something_acts(view: &StepView<'_>) -> bool {
    let acts = view.acts().any(|a| {
        matches!(
            a.kind,
            ActKind::OpenCoil { .. }
                | ActKind::ClosingCoil { .. }
                | ActKind::Chain { .. }
                | ActKind::Laceback { .. }
                | ActKind::Piggyback { .. }
                | ActKind::BiteRaisers { .. }
                | ActKind::ReverseCurve { .. }
        )
    });
    let timeline = &view.context.forecast.timeline;
    acts || !timeline.elastics_in(view.side(), view.index).is_empty()
}
