//! A space just closed, and nothing that keeps it so.

use crate::prelude::*;
use springline_model::step::Term;

pub const RULE: Rule = Rule {
    code: "space/gap-not-held",
    severity: Severity::Warning,
    page: include_str!("gap_not_held.md"),
    check,
    ..Rule::PLAIN
};

/// A gap this small counts as closed, mm.
const CLOSED_MM: f64 = 0.5;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let Some(before) = view.before() else { continue };
        let closed: Vec<(Tooth, Tooth)> = before
            .until
            .terms
            .iter()
            .filter_map(|t| match t {
                Term::Gap { length, first, second } if mm(*length) <= CLOSED_MM => {
                    Some((*first.min(second), *first.max(second)))
                }
                _ => None,
            })
            .collect();
        // A bar joins molars across the arch and holds no gap between them.
        let tied = view.state.tied(&[]);
        let across = |gap: &(Tooth, Tooth)| {
            tied.iter().any(|g| g.iter().any(|t| *t <= gap.0) && g.iter().any(|t| *t >= gap.1))
        };
        let pulled = view.acts().any(|a| matches!(a.kind, ActKind::ClosingCoil { .. }));
        let open: Vec<(Tooth, Tooth)> = closed.into_iter().filter(|g| !across(g)).collect();
        if open.is_empty() || pulled {
            continue;
        }
        let gaps: Vec<String> = open
            .iter()
            .map(|(a, b)| format!("{} and {}", words.tooth(*a), words.tooth(*b)))
            .collect();
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.case_place(),
                format!(
                    "{} closes the gap between {}, and no tie keeps it closed in {}.",
                    before.name,
                    listed(&gaps),
                    view.step.name
                ),
            )
            .why("A space just closed reopens within weeks.")
            .teeth(open.iter().flat_map(|(a, b)| [*a, *b]));
        let lines: Vec<String> = open
            .iter()
            .map(|(a, b)| format!("tie {}, {} figure-eight", words.tooth(*a), words.tooth(*b)))
            .collect();
        if let Some(fix) =
            context.fix(lines.join("; ")).add_to_step(view.arch, view.step, &lines).done()
        {
            finding = finding.fix(fix);
        }
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    merge_per_arch(words, list, out);
}
