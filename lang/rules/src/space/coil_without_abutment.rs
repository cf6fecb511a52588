//! A coil that pushes against nothing.

use super::coil::open_coils;
use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "space/coil-without-abutment",
    severity: Severity::Error,
    page: include_str!("coil_without_abutment.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        for coil in open_coils(&view) {
            let loose: Vec<Tooth> =
                [coil.right, coil.left].into_iter().filter(|t| !view.is_in_wire(*t)).collect();
            if loose.is_empty() || !coil.new {
                continue;
            }
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    view.act_place(coil.act),
                    format!(
                        "The coil between {} and {} in {} has no abutment at {}, which is not in the wire.",
                        words.tooth(coil.right),
                        words.tooth(coil.left),
                        view.step.name,
                        words.teeth(&loose)
                    ),
                )
                .why("It slides to the next bracket and pushes there, or off the end of the wire.")
                .teeth(loose.clone());
            finding.fixes.extend(context.fix("remove the coil").remove(coil.act.place).done());
            list.push(Candidate::new(view.side(), loose.len() as f64, finding));
        }
    }
    merge_per_arch(words, list, out);
}
