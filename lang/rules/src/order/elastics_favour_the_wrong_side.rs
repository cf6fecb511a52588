//! Elastics that pull harder on the side that needs them less.

use crate::prelude::*;
use crate::support::elastics::run_on;
use crate::wording::sentence_name;
use springline_model::case::{BiteClass, ElasticsKind, Relation};

pub const RULE: Rule = Rule {
    code: "order/elastics-favour-the-wrong-side",
    severity: Severity::Warning,
    page: include_str!("elastics_favour_the_wrong_side.md"),
    check,
    ..Rule::PLAIN
};

/// Sides that differ by less are alike, mm; a pull that differs by less is, too (common practice, no source).
const NEED_MM: f64 = 1.0;
const PULL: f64 = 1.2;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let bite = context.bite();
    for elastics in &context.case.elastics {
        let class = match elastics.kind {
            ElasticsKind::Class2 => BiteClass::Class2,
            ElasticsKind::Class3 => BiteClass::Class3,
            _ => continue,
        };
        let need = |side: Side| {
            let of = |all: &[(Side, Relation, _)]| {
                let relation = all.iter().find(|(s, ..)| *s == side)?.1;
                Some(match relation.class == class {
                    true => relation.by.map_or(NEED_MM, mm),
                    false => 0.0,
                })
            };
            of(&bite.molars).or_else(|| of(&bite.canines))
        };
        let pull =
            |side| run_on(elastics, side).map_or(0.0, |r| r.hours_a_day * grams(r.elastic.force));
        let Some((right, left)) = need(Side::Right).zip(need(Side::Left)) else { continue };
        let (more, less) =
            if right > left { (Side::Right, Side::Left) } else { (Side::Left, Side::Right) };
        if (right - left).abs() < NEED_MM - 1e-9 || pull(less) <= PULL * pull(more) + 1e-9 {
            continue;
        }
        // A midline that has to go may ask for it.
        if !context.bite().midlines.is_empty() && midline_goes(context) {
            continue;
        }
        let message = format!(
            "{} elastics pull harder on the {less}, and the {more} side is {} farther off.",
            sentence_name(elastics.kind),
            say_mm((right - left).abs())
        );
        let finding = Finding::new(RULE.code, RULE.severity, elastics.place, message)
            .why("The side that is right goes past its goal, and the other stays.")
            .figure(tenth((right - left).abs()), NEED_MM, Unit::Mm)
            .note("Exchange the sides, or write why: a midline that has to go.");
        out.push(match &elastics.from {
            Some((from, ..)) => finding.step(from.clone()),
            None => finding,
        });
    }
}

/// A midline has to go to one side.
fn midline_goes(context: &RuleContext<'_>) -> bool {
    use crate::support::midline::{MidlineTarget, wanted};
    let mut arches = context.case.arches.iter();
    arches.any(|arch| matches!(wanted(context, arch), MidlineTarget::Go(..)))
}
