//! A wire that does not touch what it should move.

use super::verdict::insertion;
use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "force/reaches-nothing",
    severity: Severity::Advice,
    page: include_str!("reaches_nothing.md"),
    check,
    figure: Some(ToothFigure { judges: Judges::NoForce, unsaid: Unsaid::Never }),
    ..Rule::PLAIN
};

const USEFUL_G: f64 = 10.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        // Later steps start from predictions; only the first wire is judged against written positions.
        let first = view.index == 0;
        if !first || !matches!(view.step.kind, StepKind::Align | StepKind::Level) {
            continue;
        }
        let Some(insertion) = insertion(&view) else { continue };
        let written = view
            .in_wire()
            .into_iter()
            .any(|t| described(view.arch, t).is_some() && view.pose(t).off_mm() > 0.05);
        let most = insertion.teeth.iter().map(|t| newtons_to_grams(t.peak_n)).fold(0.0, f64::max);
        if !written || most >= USEFUL_G {
            continue;
        }
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.case_place(),
                format!(
                    "{} delivers no more than {} g to any tooth in {}.",
                    view.wire().label(),
                    plain(most.round()),
                    view.step.name
                ),
            )
            .why("A wire that is loose in every slot achieves nothing until the next visit.")
            .figure(most.round(), USEFUL_G, Unit::G);
        if let Some(next) = view.after().filter(|n| !n.wire.kept) {
            let wire = next.wire.names();
            finding.fixes.extend(
                context
                    .fix(format!("{wire} already in {}", view.step.name))
                    .set_clause(view.arch, view.step, ClauseKind::Wire, &wire)
                    .done(),
            );
        }
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    merge_per_arch(context.words(), list, out);
}
