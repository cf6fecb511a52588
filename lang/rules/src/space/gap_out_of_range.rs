//! A gap wider than what is missing in it leaves.

use crate::prelude::*;
use springline_model::case::Gap;
use springline_units::anatomy::crown_width_mm;

pub const RULE: Rule = Rule {
    code: "space/gap-out-of-range",
    severity: Severity::Warning,
    page: include_str!("gap_out_of_range.md"),
    check,
    ..Rule::PLAIN
};

/// Neighbours stand no farther apart than this beyond the crowns that are missing between them, mm (common practice,
/// no source: wider than any gap between two front teeth).
const MOST_MM: f64 = 6.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let entered = context.case.arches.iter().flat_map(|a| &a.gaps);
    let seen = context.case.visits.iter().flat_map(|v| &v.gaps);
    out.extend(entered.chain(seen).filter_map(|gap| finding(context, gap)));
}

fn finding(context: &RuleContext<'_>, gap: &Gap) -> Option<Finding> {
    let words = context.words();
    let inside = gap.first.stretch(gap.second)?;
    let missing = inside.iter().filter(|t| **t != gap.first && **t != gap.second);
    let (length, most) =
        (mm(gap.length), MOST_MM + missing.map(|t| crown_width_mm(*t)).sum::<f64>());
    if length <= most + 1e-9 {
        return None;
    }
    let message = format!(
        "The gap between {} and {} is entered {} wide; what is missing there leaves no more than {}.",
        words.tooth(gap.first),
        words.tooth(gap.second),
        say_mm(length),
        say_mm(most)
    );
    Some(
        Finding::new(RULE.code, RULE.severity, gap.place, message)
            .why("Springs, coils and the forecast count on it.")
            .figure(tenth(length), tenth(most), Unit::Mm)
            .note("Measure it again from crown to crown, or say which tooth is missing.")
            .teeth([gap.first, gap.second]),
    )
}
