//! A coil pressed farther than it goes.

use super::coil::{open_coils, usual_activation_mm};
use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "space/coil-over-pressed",
    severity: Severity::Warning,
    page: include_str!("coil_over_pressed.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        for coil in open_coils(&view).into_iter().filter(|c| c.new) {
            let Some((stock, spring)) = coil.coil.zip(coil.spring()) else { continue };
            let Some(stroke) = stock.stroke.map(mm).filter(|s| *s > 0.0) else { continue };
            if stock.force.is_none() || spring.pressed_mm <= stroke + 1e-6 {
                continue;
            }
            let message = format!(
                "The coil between {} and {} in {} is compressed by {}; {} is solid at {}.",
                words.tooth(coil.right),
                words.tooth(coil.left),
                view.step.name,
                say_mm(spring.pressed_mm),
                stock.name,
                say_mm(stroke)
            );
            let mut finding = view
                .finding(RULE.code, RULE.severity, view.act_place(coil.act), message)
                .why("Compressed solid, it is a rigid tube of unknown force.")
                .figure(tenth(spring.pressed_mm), stroke, Unit::Mm)
                .teeth([coil.right, coil.left]);
            let warn = context.case.house.limits.for_tooth(Limit::Coil, coil.right).value.warn;
            if let Some(pressed) = usual_activation_mm(stock, warn) {
                let line = coil.statement(&words, pressed, true);
                let title = format!("activate it by {}, and again at each visit", say_mm(pressed));
                finding.fixes.extend(context.fix(title).replace(coil.act.place, &line).done());
            }
            list.push(Candidate::new(view.side(), spring.pressed_mm / stroke, finding));
        }
    }
    merge_per_arch(words, list, out);
}
