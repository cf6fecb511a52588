//! Spaces closed on both sides, and a step that waits for one of them.

use crate::prelude::*;
use springline_model::step::Term;

pub const RULE: Rule = Rule {
    code: "order/one-side-not-waited-for",
    severity: Severity::Warning,
    page: include_str!("one_side_not_waited_for.md"),
    check,
    ..Rule::PLAIN
};

/// A space as small as this counts as closed (common practice, no source), mm.
const CLOSED_MM: f64 = 0.3;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for view in context.views() {
        let until = &view.step.until.value;
        let waited: Vec<(Tooth, Tooth)> = until
            .terms
            .iter()
            .filter_map(|t| match t {
                Term::Gap { first, second, .. } => Some(pair(*first, *second)),
                _ => None,
            })
            .collect();
        if waited.is_empty() || is_said_again(&view) {
            continue;
        }
        let forgotten = view.arch.gaps.iter().find(|gap| {
            let here = pair(gap.first, gap.second);
            let open = view.mouth.gap_mm(gap.first, gap.second).unwrap_or(mm(gap.length));
            open > CLOSED_MM + 1e-9 && !waited.contains(&here) && is_pulled(&view, here)
        });
        let Some(gap) = forgotten else { continue };
        let named = format!("between {} and {}", words.tooth(gap.first), words.tooth(gap.second));
        let message =
            format!("{} closes the space {named} too, and does not wait for it.", view.step.name);
        let place = view.clause_place(view.step.until.place);
        let mut finding = view
            .finding(RULE.code, RULE.severity, place, message)
            .why("The springs come off when the other side is closed, and this one stays open.")
            .teeth([gap.first, gap.second]);
        if until.all || until.terms.len() == 1 {
            let all = format!("{} and gap 0 mm {named}", until.text.trim_start_matches("until "));
            let fix = context.fix(format!("wait for both: {all}"));
            let fix = fix.set_clause(view.arch, view.step, ClauseKind::Until, &all);
            finding.fixes.extend(fix.done());
        }
        out.push(finding);
    }
}

fn pair(a: Tooth, b: Tooth) -> (Tooth, Tooth) {
    (a.min(b), a.max(b))
}

/// The step after it goes on closing.
fn is_said_again(view: &StepView<'_>) -> bool {
    view.after().is_some_and(|s| {
        s.in_force().any(|a| matches!(a.kind, ActKind::ClosingCoil { .. } | ActKind::Chain { .. }))
    })
}

/// Something in the step pulls across it.
fn is_pulled(view: &StepView<'_>, (first, second): (Tooth, Tooth)) -> bool {
    let across = |(a, b): (Tooth, Tooth)| a.place() <= first.place() && second.place() <= b.place();
    view.acts().flat_map(|act| act.kind.pulled_stretches()).any(across)
}
