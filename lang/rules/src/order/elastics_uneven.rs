//! Elastics that pull harder on one side.

use crate::prelude::*;
use crate::support::elastics::OUNCE_G;
use crate::wording::sentence_name;
use springline_model::case::{ElasticRun, ElasticsKind};

pub const RULE: Rule = Rule {
    code: "order/elastics-uneven",
    severity: Severity::Warning,
    page: include_str!("elastics_uneven.md"),
    check,
    ..Rule::PLAIN
};

const HOURS: f64 = 4.0;
const FORCE_G: f64 = 2.0 * OUNCE_G;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for elastics in &context.case.elastics {
        let paired = matches!(
            elastics.kind,
            ElasticsKind::Class2
                | ElasticsKind::Class3
                | ElasticsKind::Triangle
                | ElasticsKind::Box
        );
        if !paired {
            continue;
        }
        let on = |side| crate::support::elastics::run_on(elastics, side);
        let hours = |run: Option<&ElasticRun>| run.map_or(0.0, |r| r.hours_a_day);
        let force = |run: Option<&ElasticRun>| run.map_or(0.0, |r| grams(r.elastic.force));
        let (right, left) = (on(Side::Right), on(Side::Left));
        let kind = sentence_name(elastics.kind);
        let by_hours = (hours(right) - hours(left)).abs();
        let by_force = (force(right) - force(left)).abs();
        let (message, value, limit, unit) = match (right, left) {
            (Some(one), None) | (None, Some(one)) => (
                format!(
                    "{kind} elastics are worn on the {} only, {} h per day.",
                    one.side,
                    plain(one.hours_a_day)
                ),
                one.hours_a_day,
                HOURS,
                Unit::H,
            ),
            _ if by_hours > HOURS + 1e-9 => (
                format!(
                    "{kind} elastics are worn {} h on the right and {} h on the left.",
                    plain(hours(right)),
                    plain(hours(left))
                ),
                by_hours,
                HOURS,
                Unit::H,
            ),
            _ if by_force > FORCE_G + 0.5 => (
                format!(
                    "{kind} elastics deliver {} g on the right and {} g on the left.",
                    plain(force(right).round()),
                    plain(force(left).round())
                ),
                by_force.round(),
                FORCE_G.round(),
                Unit::G,
            ),
            _ => continue,
        };
        let mut finding = Finding::new(RULE.code, RULE.severity, elastics.place, message)
            .why("Pulling harder on one side shifts the midlines and cants the occlusal plane.")
            .figure(value, limit, unit);
        if let Some((from, ..)) = &elastics.from {
            finding = finding.step(from.clone());
        }
        if let (Some(right), Some(left)) = (right, left)
            && unit == Unit::H
        {
            let (more, less) =
                if right.hours_a_day > left.hours_a_day { (right, left) } else { (left, right) };
            let hours = format!("{} h", plain(more.hours_a_day));
            finding.fixes.extend(
                context
                    .fix(format!("both sides {hours}"))
                    .set_field(less.place, |line| line.holes(PlaceholderKind::Time).next(), &hours)
                    .done(),
            );
        }
        out.push(finding);
    }
}
