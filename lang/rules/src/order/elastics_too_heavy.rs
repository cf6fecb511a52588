//! More pull a side than teeth and wires bear.

use crate::prelude::*;
use crate::support::elastics::{OUNCE_G, side_g};
use crate::wording::sentence_name;

pub const RULE: Rule = Rule {
    code: "order/elastics-too-heavy",
    severity: Severity::Error,
    page: include_str!("elastics_too_heavy.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    let house = &context.case.house;
    let figures = house.limits.of(Limit::Elastic).value;
    for elastics in &context.case.elastics {
        let worst = [Side::Left, Side::Right]
            .into_iter()
            .map(|side| (side, side_g(context.case, elastics, side)))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        let Some((side, force)) = worst else { continue };
        let Some(run) = elastics.runs.iter().find(|r| r.side == side) else { continue };
        let careful = context
            .case
            .arches
            .iter()
            .flat_map(|a| &a.cautions)
            .find(|c| run.teeth.contains(&c.tooth));
        let share = if careful.is_some() { 0.5 } else { 1.0 };
        let (warn, stop) = (figures.warn * share, figures.stop.map(|s| s * share));
        let (severity, limit) = match stop {
            Some(stop) if force > stop + 0.5 => (Severity::Error, stop),
            _ if force > warn + 0.5 => (Severity::Warning, warn),
            _ => continue,
        };
        let mut finding = Finding::new(
            RULE.code,
            severity,
            run.place,
            format!(
                "{} elastics on the {side} deliver {} g ({} oz); limit {} g.",
                sentence_name(elastics.kind),
                plain(force.round()),
                plain(tenth(force / OUNCE_G)),
                plain(limit.round())
            ),
        )
        .why("Beyond that the teeth at the hooks move before the arches do.")
        .figure(force.round(), limit.round(), Unit::G)
        .teeth(run.teeth.iter().copied());
        if let Some((from, ..)) = &elastics.from {
            finding = finding.step(from.clone());
        }
        if let Some(caution) = careful {
            finding = finding.note(format!(
                "{}: {}. Limits are halved for this tooth.",
                words.tooth(caution.tooth),
                caution.why
            ));
        }
        let lighter = house
            .elastics
            .values()
            .filter(|e| grams(e.force) <= warn + 0.5)
            .max_by(|a, b| grams(a.force).total_cmp(&grams(b.force)));
        let fix = lighter.and_then(|light| {
            let title = format!("{} ({}) instead", light.name, light.force_text);
            let each = elastics.runs.iter().fold(context.fix(title), |fix, run| {
                fix.set_field(
                    run.place,
                    |line| line.holes(PlaceholderKind::Name).next(),
                    &light.name,
                )
            });
            each.done()
        });
        finding.fixes.extend(fix);
        out.push(finding);
    }
}
