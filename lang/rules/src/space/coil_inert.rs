//! An open coil that makes no space.

use super::coil::{floor_g, open_coils, usual_activation_mm};
use crate::prelude::*;
use springline_model::step::{Activation, Term};
use springline_model::stock::CoilKind;
use springline_syntax::ast::{ActivationPart, OpenCoilLine};

pub const RULE: Rule = Rule {
    code: "space/coil-inert",
    severity: Severity::Warning,
    page: include_str!("coil_inert.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        for coil in open_coils(&view).into_iter().filter(|c| c.new) {
            let between = format!("{} and {}", words.tooth(coil.right), words.tooth(coil.left));
            let kind = coil.coil.map(|c| c.kind);
            let waits = view.step.until.terms.iter().any(|t| match t {
                Term::Space { teeth, .. } => {
                    teeth.is_empty()
                        || teeth.iter().any(|t| {
                            coil.right.place() <= t.place() && t.place() <= coil.left.place()
                        })
                }
                Term::Gap { first, second, .. } => {
                    (*first.min(second), *first.max(second)) == (coil.right, coil.left)
                }
                _ => false,
            });
            let (why, fix) = if let Some(wrong) = kind.filter(|k| *k != CoilKind::Open) {
                let what = if wrong == CoilKind::Closing { "pulls" } else { "only holds space" };
                (format!("its coil is one that {what}"), None)
            } else if coil.is_passive() && waits {
                let fix = context.fix("activate it by 2 mm").set_field(
                    coil.act.place,
                    |line| {
                        let mut said = OpenCoilLine::cast(line)?.activations.with_leads();
                        said.find(|(_, a)| matches!(a, ActivationPart::Passive)).map(|(at, _)| at)
                    },
                    "activated 2 mm each visit",
                );
                ("it is not activated, and the step waits for space there".to_owned(), fix.done())
            } else if coil.is_passive() {
                continue;
            } else if let (Activation::Pressed { by, each_visit }, Some(force)) =
                (coil.activation, coil.force_g())
                && force < floor_g()
            {
                let warn = context.case.house.limits.for_tooth(Limit::Coil, coil.right).value.warn;
                let better = coil.coil.and_then(|c| usual_activation_mm(c, warn));
                let fix = better.and_then(|better| {
                    let line = coil.statement(&words, better, each_visit);
                    context
                        .fix(format!("activate it by {}", say_mm(better)))
                        .replace(coil.act.place, &line)
                        .done()
                });
                let why = format!(
                    "activated by {} it delivers {} g, and below {} g nothing moves",
                    say_mm(mm(by)),
                    plain(force.round()),
                    plain(floor_g().round())
                );
                (why, fix)
            } else if coil.force_g().is_none() {
                let stock = context
                    .case
                    .house
                    .coils
                    .values()
                    .filter(|c| c.kind == CoilKind::Open)
                    .filter_map(|c| Some((grams(c.force?), c.name.clone())))
                    .filter(|(g, _)| *g <= 100.0)
                    .max_by(|a, b| a.0.total_cmp(&b.0));
                let fix = stock.filter(|_| coil.coil.is_none()).and_then(|(_, name)| {
                    let along = |line: StatementRef<'_>| {
                        let between = OpenCoilLine::cast(line)?.between;
                        Some(plan_fix::behind(&between.fragment))
                    };
                    context
                        .fix(format!("use {name} from the practice file"))
                        .set_field(coil.act.place, along, &format!(" with {name}"))
                        .done()
                });
                ("neither the plan nor the practice file gives its force".to_owned(), fix)
            } else if let Some(tie) = ties_across(&view, coil.right, coil.left) {
                (
                    format!("{between} are tied together"),
                    context.fix("remove the tie").remove(tie.place).done(),
                )
            } else {
                continue;
            };
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    view.act_place(coil.act),
                    format!(
                        "The open coil between {between} makes no space in {}: {why}.",
                        view.step.name
                    ),
                )
                .why("The step waits for space that never opens.")
                .teeth([coil.right, coil.left]);
            finding.fixes.extend(fix);
            list.push(Candidate::new(view.side(), 1.0, finding));
        }
    }
    merge_per_arch(words, list, out);
}

/// One act that ties both abutments, in this case's text.
fn ties_across<'v>(view: &'v StepView<'_>, right: Tooth, left: Tooth) -> Option<&'v Act> {
    view.acts().find(|act| match &act.kind {
        ActKind::Tie { teeth, .. } | ActKind::Chain { teeth, .. } => {
            teeth.contains(&right) && teeth.contains(&left)
        }
        _ => false,
    })
}
