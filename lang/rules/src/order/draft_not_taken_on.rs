//! Steps that the program worked out and that no doctor has taken on.

use crate::prelude::*;
use springline_syntax::InsertAt;

pub const RULE: Rule = Rule {
    code: "order/draft-not-taken-on",
    severity: Severity::Error,
    page: include_str!("draft_not_taken_on.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for arch in &context.case.arches {
        let Some((day, place)) = arch.drafted else { continue };
        let message = format!(
            "The steps of the {} arch were drafted on {day}, and no doctor has taken them on.",
            arch.arch
        );
        let mut finding = Finding::new(RULE.code, RULE.severity, place, message)
            .why("A draft decides nothing: until the doctor has read and taken it on, only a hold card is printed.")
            .note("Why these steps and not others: take the line and the drafted steps out, and run `springline draft CASE --why`.");
        let doctor = context.case.doctor.as_ref().or(context.case.house.doctor.as_ref());
        if let Some(doctor) = doctor {
            let remark = format!("// steps drafted {day}, taken on by {doctor}");
            let fix = context.trees.fix(format!("take on, {doctor}")).at(place, |editor, line| {
                editor.insert(InsertAt::Before(line.id), &remark);
                editor.remove(line.id);
            });
            finding.fixes.extend(fix.done());
        } else {
            finding = finding.note("Name the doctor (`doctor KL`), who can then take it on.");
        }
        out.push(finding);
    }
}
