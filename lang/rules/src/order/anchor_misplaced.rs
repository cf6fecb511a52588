//! A bar or a mini-screw that does not lie where one can lie.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/anchor-misplaced",
    severity: Severity::Warning,
    page: include_str!("anchor_misplaced.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for arch in &context.case.arches {
        let bars = arch.bars.iter().filter(|(a, b, _)| !is_pair(*a, *b)).map(|(a, b, place)| {
            let text = format!(
                "The bar joins {} and {}, which are no pair of molars.",
                words.tooth(*a),
                words.tooth(*b)
            );
            (text, "A bar runs across the arch between the same molars.", [*a, *b], *place)
        });
        let screws =
            arch.screws.iter().filter(|(a, b, _)| !are_beside(*a, *b)).map(|(a, b, place)| {
                let text = format!(
                    "The mini-screw is to go between {} and {}, which are no neighbours.",
                    words.tooth(*a),
                    words.tooth(*b)
                );
                (text, "A screw goes between the roots of two neighbours.", [*a, *b], *place)
            });
        for (text, why, teeth, place) in bars.chain(screws) {
            let finding = Finding::new(RULE.code, RULE.severity, place, text);
            out.push(finding.why(why).note("Correct the tooth that is meant.").teeth(teeth));
        }
    }
}

fn is_pair(a: Tooth, b: Tooth) -> bool {
    a.side() != b.side() && a.position() == b.position() && a.is_molar()
}

fn are_beside(a: Tooth, b: Tooth) -> bool {
    a.arch() == b.arch() && a.place().abs_diff(b.place()) == 1
}
