//! Visits that do not follow each other.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "record/out-of-order",
    severity: Severity::Error,
    page: include_str!("out_of_order.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let started = case
        .start
        .as_ref()
        .map(|(d, _)| *d)
        .into_iter()
        .chain(case.in_place.as_ref().map(|p| p.on))
        .min();
    let mut last: Option<&springline_model::case::Visit> = None;
    for visit in &case.visits {
        let before = last.filter(|l| visit.on <= l.on);
        let message = match (before, started) {
            (Some(before), _) if visit.on == before.on => {
                Some(format!("Two visits are written for {}; they are one visit.", visit.on))
            }
            (Some(before), _) => Some(format!(
                "This visit ({}) is before the one written above it ({}).",
                visit.on, before.on
            )),
            (None, Some(start)) if visit.on < start => Some(format!(
                "This visit ({}) is before the appliance was placed ({start}).",
                visit.on
            )),
            _ => None,
        };
        if let Some(message) = message {
            let mut finding = Finding::new(RULE.code, RULE.severity, visit.place, message)
                .why("The wire in place now is read from the last visit.");
            if let Some(before) = before {
                finding = finding.related(before.place, "this one comes later");
                let above = before.place;
                if visit.on < before.on
                    && let Some(fix) = moved(context, visit.place, above)
                {
                    finding = finding.fix(fix);
                }
            }
            out.push(finding);
        } else {
            last = Some(visit);
        }
    }
}

/// The visit's lines moved above an earlier written one: only the order changes.
fn moved(
    context: &RuleContext<'_>,
    visit: springline_text::Place,
    above: springline_text::Place,
) -> Option<springline_finding::Fix> {
    let above = context.trees.statement(above)?.id;
    context.fix("move it up").at(visit, |editor, line| editor.move_before(line.id, above)).done()
}
