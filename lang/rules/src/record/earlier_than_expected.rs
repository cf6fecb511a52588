//! Passive sooner than the course thought possible.

use crate::prelude::*;
use springline_model::case::Found;

pub const RULE: Rule = Rule {
    code: "record/earlier-than-expected",
    severity: Severity::Advice,
    page: include_str!("earlier_than_expected.md"),
    check,
    ..Rule::PLAIN
};

const FEW: f64 = 0.1;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for forecast in &context.forecast.arches {
        let seen = forecast
            .phases
            .iter()
            .flat_map(|p| p.seen.iter().map(move |s| (p, s)))
            .filter(|(_, s)| matches!(s.found, Some(Found::Passive)))
            .max_by_key(|(_, s)| s.on);
        let Some((phase, seen)) = seen else { continue };
        let last = context.last_seen();
        if Some(seen.on) != last || seen.expected_passive.is_none_or(|share| share >= FEW) {
            continue;
        }
        let Some(visit) = context.case.visits.get(seen.visit) else { continue };
        let Some(place) = visit.arches.iter().find(|a| a.arch == forecast.arch).map(|a| a.place)
        else {
            continue;
        };
        let worst = phase
            .teeth
            .iter()
            .filter(|t| t.status.is_in_wire())
            .max_by(|a, b| a.entry.off_mm().total_cmp(&b.entry.off_mm()));
        let Some(worst) = worst else { continue };
        let share = (seen.expected_passive.unwrap_or(0.0) * 100.0).round();
        let mut finding = Finding::new(
            RULE.code,
            RULE.severity,
            place,
            format!(
                "The {} wire of {} is passive on {}, earlier than expected (in {} patients of 100 by then); \
                 check {} again.",
                forecast.arch,
                phase.name,
                seen.on,
                plain(share),
                words.tooth(worst.tooth)
            ),
        )
        .why("The mouth is right; but a tooth that is away from the wire feels passive too.")
        .teeth([worst.tooth])
        .step(phase.name.clone());
        if let Some(passive) = phase.passive.by_rule() {
            finding = finding.note(format!(
                "Forecast: {} ({} to {}).",
                say_weeks(passive.median_days),
                plain(weeks(passive.early_days)),
                say_weeks(passive.late_days)
            ));
        }
        out.push(finding);
    }
}
