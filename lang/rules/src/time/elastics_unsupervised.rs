//! Elastics worn without an end, or without anybody looking.

use super::next_days;
use crate::prelude::*;
use crate::support::elastics::worn;

pub const RULE: Rule = Rule {
    code: "time/elastics-unsupervised",
    severity: Severity::Warning,
    page: include_str!("elastics_unsupervised.md"),
    check,
    ..Rule::PLAIN
};

const LONGEST_DAYS: f64 = 182.0;
const LOOK_DAYS: f64 = 56.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for elastics in &context.case.elastics {
        let kind = elastics.kind.word();
        let longest = elastics.longest.as_ref().map(|(p, place)| (p.days(), *place));
        let mut finding = if let Some((days, place)) =
            longest.filter(|(d, _)| *d > LONGEST_DAYS + 3.0)
        {
            let mut finding = Finding::new(
                RULE.code,
                RULE.severity,
                place,
                format!(
                    "The {kind} elastics may be worn for {}; limit {}.",
                    say_weeks(days),
                    say_weeks(LONGEST_DAYS)
                ),
            )
            .figure(weeks(days), weeks(LONGEST_DAYS), Unit::Wk);
            finding
                .fixes
                .extend(context.fix("longest 26 wk").replace(place, "longest 26 wk").done());
            finding
        } else if longest.is_none() && elastics.until.is_none() && elastics.until_step.is_none() {
            let mut finding = Finding::new(
                RULE.code,
                RULE.severity,
                elastics.place,
                format!("The {kind} elastics have neither an end condition nor a longest time."),
            );
            if let Some(fix) =
                context.fix("longest 26 wk").add_inside(elastics.place, "longest 26 wk").done()
            {
                finding = finding.fix(fix);
            }
            finding
        } else {
            let late = worn(context, elastics)
                .into_iter()
                .filter_map(|v| Some((next_days(&v)?.1, v)))
                .filter(|(to, _)| *to > LOOK_DAYS + 3.0)
                .max_by(|a, b| a.0.total_cmp(&b.0));
            let Some((to, view)) = late else { continue };
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    super::next_place(&view),
                    format!(
                        "The {kind} elastics are worn in {}, and the next visit is after {}; limit {}.",
                        view.step.name,
                        say_weeks(to),
                        say_weeks(LOOK_DAYS)
                    ),
                )
                .figure(weeks(to), weeks(LOOK_DAYS), Unit::Wk);
            finding.fixes.extend(
                context
                    .fix("come back after 6 wk")
                    .set_clause(view.arch, view.step, ClauseKind::Next, "6 wk")
                    .done(),
            );
            finding
        };
        finding = finding.why("Worn too long, elastics overcorrect and extrude the molars.");
        if finding.step.is_none()
            && let Some((from, ..)) = &elastics.from
        {
            finding = finding.step(from.clone());
        }
        out.push(finding);
    }
}
