//! An open coil that pushes where no tooth wants space.

use super::coil::open_coils;
use crate::prelude::*;
use crate::support::midline::{MidlineTarget, wanted};
use springline_model::case::ToothState;
use springline_model::step::Term;

pub const RULE: Rule = Rule {
    code: "space/coil-without-need",
    severity: Severity::Warning,
    page: include_str!("coil_without_need.md"),
    check,
    ..Rule::PLAIN
};

/// Space that a tooth between lacks, mm, from which a coil has its reason.
const SHORT_MM: f64 = 0.5;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        if view.is_in_mouth() || matches!(wanted(context, view.arch), MidlineTarget::Go(..)) {
            continue;
        }
        for coil in open_coils(&view).into_iter().filter(|c| c.new && !c.is_passive()) {
            if is_wanted(&view, coil.right, coil.left) {
                continue;
            }
            let pair = words.teeth(&[coil.right, coil.left]);
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    view.act_place(coil.act),
                    format!(
                        "The coil between {pair} in {} pushes, and no tooth there lacks space and no gap is asked for.",
                        view.step.name
                    ),
                )
                .why("It opens a space that has to be closed again, and brings the front teeth forward.")
                .teeth([coil.right, coil.left]);
            let fix = context.fix("leave the coil out").remove(coil.act.place);
            finding.fixes.extend(fix.done());
            list.push(Candidate::new(view.side(), 1.0, finding));
        }
    }
    merge_per_arch(words, list, out);
}

/// A tooth between the two, or one of them, lacks space or is still to come; or the plan wants the gap.
fn is_wanted(view: &StepView<'_>, right: Tooth, left: Tooth) -> bool {
    let between = |t: Tooth| right < t && t < left;
    let here = |t: Tooth| right <= t && t <= left;
    let absent = view.arch.states.iter().any(|(t, (state, _))| {
        between(*t)
            && matches!(
                state,
                ToothState::Missing
                    | ToothState::Unerupted
                    | ToothState::Extracted { .. }
                    | ToothState::Extract { .. }
            )
    });
    let out_of_wire = view.state.teeth.iter().any(|t| between(t.tooth) && !t.status.is_in_wire());
    let lacks = view.arch.stands.keys().any(|t| {
        let space = current_stand(view.case, view.arch, *t).space;
        here(*t) && space.is_some_and(|s| width_mm(view.arch, *t) - mm(s) > SHORT_MM)
    });
    let asked = view.step.until.terms.iter().any(|t| match t {
        Term::Gap { first, second, .. } => here(*first) && here(*second),
        Term::Space { teeth, .. } => teeth.is_empty() || teeth.iter().any(|t| here(*t)),
        _ => false,
    });
    let held = view.acts().any(|a| match &a.kind {
        ActKind::Hold { teeth, .. } => teeth.iter().any(|t| here(*t)),
        _ => false,
    });
    absent || out_of_wire || lacks || asked || held
}
