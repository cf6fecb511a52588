//! A visit that says how a wire was found and not what was done with it.

use crate::prelude::*;
use springline_model::case::Found;

pub const RULE: Rule = Rule {
    code: "record/work-not-said",
    severity: Severity::Warning,
    page: include_str!("work_not_said.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for visit in &context.case.visits {
        for seen in &visit.arches {
            let passive = matches!(seen.found, Some(Found::Passive | Found::NearlyPassive));
            // What was done stands in braces, or the whole visit went as its card said.
            if !passive || seen.done.is_some() || !seen.acts.is_empty() || visit.as_planned {
                continue;
            }
            let message = format!(
                "On {} the {} wire was found {}, and the record does not say whether it was changed.",
                visit.on,
                seen.arch,
                if seen.found == Some(Found::Passive) { "passive" } else { "nearly passive" }
            );
            let mut finding = Finding::new(RULE.code, RULE.severity, seen.place, message)
                .why("The plan goes on with the old wire, which has nothing left to do.");
            let kept = context.fix("it was kept").append(seen.place, ", kept");
            finding.fixes.extend(kept.done());
            out.push(
                finding.note("Write `now` with the step that went in, `kept` or `same-wire`."),
            );
        }
    }
}
