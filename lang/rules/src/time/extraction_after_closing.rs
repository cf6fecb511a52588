//! A space closed before the tooth in it is taken out.

use crate::prelude::*;
use springline_model::case::ToothState;

pub const RULE: Rule = Rule {
    code: "time/extraction-after-closing",
    severity: Severity::Error,
    page: include_str!("extraction_after_closing.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    let mut list = Vec::new();
    for arch in &context.case.arches {
        for (tooth, (state, place)) in &arch.states {
            let ToothState::Extract { date, .. } = state else { continue };
            let closes = context.views().into_iter().find(|view| {
                view.side() == arch.arch
                    && view.phase.and_then(|p| p.date_in).is_some_and(|begins| begins < *date)
                    && view.acts().any(|act| pulls_across(&act.kind, *tooth))
            });
            let Some(view) = closes else { continue };
            let Some(begins) = view.phase.and_then(|p| p.date_in) else { continue };
            let finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    *place,
                    format!(
                        "{} is extracted on {date}; {} closes its space from {begins} on.",
                        words.tooth(*tooth),
                        view.step.name
                    ),
                )
                .why("As long as the tooth is there, there is no space to close, and the pull moves what it should not.")
                .note("Correct the date of the extraction, or close later.")
                .teeth([*tooth]);
            list.push(Candidate::new(arch.arch, 1.0, finding));
        }
    }
    merge_per_arch(words, list, out);
}

/// A spring or a chain from one side of the tooth to the other.
fn pulls_across(kind: &ActKind, tooth: Tooth) -> bool {
    let mut stretches = kind.pulled_stretches().into_iter();
    stretches.any(|(a, b)| a.place() < tooth.place() && tooth.place() < b.place())
}
