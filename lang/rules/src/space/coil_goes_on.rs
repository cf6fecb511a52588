//! An open coil that goes on pushing in steps after the one that waited for its space.

use super::coil::open_coils;
use crate::prelude::*;
use springline_model::step::{Step, Term};

pub const RULE: Rule = Rule {
    code: "space/coil-goes-on",
    severity: Severity::Warning,
    page: include_str!("coil_goes_on.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        for coil in open_coils(&view).into_iter().filter(|c| !c.new && !c.is_passive()) {
            let here = |t: Tooth| coil.right <= t && t <= coil.left;
            if waited_for(view.step, here).is_some() {
                continue;
            }
            let before = view.arch.steps.iter().take(view.index).rev();
            let Some((by, length)) =
                before.into_iter().find_map(|s| Some((s, waited_for(s, here)?)))
            else {
                continue;
            };
            let pair = [words.tooth(coil.right), words.tooth(coil.left)];
            let line = format!(
                "passive-coil between {} and {}, hold {}",
                pair[0],
                pair[1],
                say_mm(length)
            );
            let message = format!(
                "The coil between {} goes on pushing in {}: {} ended when its {} were there.",
                listed(&pair),
                view.step.name,
                by.name,
                say_mm(length)
            );
            let mut finding = view
                .finding(RULE.code, RULE.severity, view.case_place(), message)
                .why("It opens more than is wanted, and pushes the front teeth forward.")
                .teeth([coil.right, coil.left]);
            finding.fixes.extend(
                context.fix(line.clone()).add_to_step(view.arch, view.step, &[line]).done(),
            );
            list.push(Candidate::new(view.side(), length, finding));
        }
    }
    merge_per_arch(words, list, out);
}

/// The length of space that a step waits for between teeth of the stretch, mm.
fn waited_for(step: &Step, here: impl Fn(Tooth) -> bool) -> Option<f64> {
    step.until.terms.iter().find_map(|term| match term {
        Term::Gap { length, first, second } if here(*first) && here(*second) => Some(mm(*length)),
        Term::Space { length, teeth } if teeth.iter().any(|t| here(*t)) => Some(mm(*length)),
        _ => None,
    })
}
