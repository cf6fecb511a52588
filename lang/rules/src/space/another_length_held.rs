//! A keeper of another length than the space that it keeps.

use crate::prelude::*;
use springline_model::step::Term;

pub const RULE: Rule = Rule {
    code: "space/another-length-held",
    severity: Severity::Warning,
    page: include_str!("another_length_held.md"),
    check,
    ..Rule::PLAIN
};

/// A keeper is cut to the space within this (common practice, no source), mm.
const NEAR_MM: f64 = 1.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        for act in &view.step.acts {
            let ActKind::ClosedCoil { first, second, hold: Some(hold), .. } = &act.kind else {
                continue;
            };
            let (hold, pair) = (mm(*hold), (*first.min(second), *first.max(second)));
            let Some((length, what)) = wanted(&view, pair) else { continue };
            if (hold - length).abs() <= NEAR_MM + 1e-9 {
                continue;
            }
            let (a, b) = (words.tooth(*first), words.tooth(*second));
            let message = format!(
                "The coil between {a} and {b} is to hold {} in {}; {what} is {}.",
                say_mm(hold),
                view.step.name,
                say_mm(length)
            );
            let mut finding = view
                .finding(RULE.code, RULE.severity, view.act_place(act), message)
                .why(
                    "A keeper that is too long pushes, one that is too short lets the space close.",
                )
                .figure(tenth((hold - length).abs()), NEAR_MM, Unit::Mm)
                .teeth([*first, *second]);
            finding.fixes.extend(context.less_now(act.place, hold, length, Unit::Mm));
            list.push(Candidate::new(view.side(), (hold - length).abs(), finding));
        }
    }
    merge_per_arch(words, list, out);
}

/// What the plan makes of this space: as a step before waits for it, as the arch keeps it, or as it is entered.
fn wanted(view: &StepView<'_>, (first, second): (Tooth, Tooth)) -> Option<(f64, &'static str)> {
    let here = |a: &Tooth, b: &Tooth| (*a.min(b), *a.max(b)) == (first, second);
    let before = view.arch.steps.iter().take(view.index).rev().flat_map(|s| &s.until.value.terms);
    let waited = before.into_iter().find_map(|t| match t {
        Term::Gap { length, first, second } if here(first, second) => Some(mm(*length)),
        _ => None,
    });
    if let Some(length) = waited {
        return Some((length, "the space waited for"));
    }
    let kept = view.arch.extras.iter().find_map(|act| match &act.kind {
        ActKind::Hold { teeth, length } => {
            let inside = |t: &Tooth| first.place() < t.place() && t.place() < second.place();
            teeth.iter().any(inside).then_some(mm(*length))
        }
        _ => None,
    });
    kept.map(|length| (length, "the space to be kept"))
}
