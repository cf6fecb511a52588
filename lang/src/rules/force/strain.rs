//! A wire bent farther than it comes back from.

use super::verdict::{Past, insertion, is_said, passes, worst_first};
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "force/strain",
    severity: Severity::Error,
    title: "wire takes a permanent set",
    finds: "The largest strain of the wire beside a tooth when it goes in, as a share of what it comes back from: 1 percent \
            for steel, 1.8 for beta-titanium, 16 for superelastic wire. 80 percent of it warns, all of it stops (the \
            house's limit strain).",
    why: "Beyond that the wire keeps the bend: it no longer pulls the tooth in, and may break.",
    what_to_do: "A thinner wire, a longer span, or the tooth left out for now.",
    source: "handbook values from memory; for superelastic wire the study in lang/docs/limits.md (8 percent would refuse a \
             fifth of accepted cases)",
    accept_when: "The wire is changed at the next visit anyway.",
    failing: r#"springline 1
case "SM-9105"
use saltmarsh
start 2026-11-23
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 41 lingual 2.5 mm, rotated 20 deg mesial-in
  step align, wire niti-14, ends turned-in slack 2 mm, until passive, next computed // <- here
}
retain {
  fixed 43..33
}
"#,
    passing: r#"springline 1
case "SM-9105"
use saltmarsh
start 2026-11-23
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 41 lingual 1 mm
  step align, wire niti-14, ends turned-in slack 2 mm, until passive, next computed
}
retain {
  fixed 43..33
}
"#,
    check,
};

/// What superelastic wire comes back from, as a share of its length.
const SUPERELASTIC: f64 = 0.1625;

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = judged.words();
    let limits = &judged.case.house.limits;
    for view in judged.views() {
        let Some(insertion) = insertion(&view).filter(|_| !view.follows_done_work()) else {
            continue;
        };
        let niti = view.wire().wire.alloy.is_niti();
        let mut bent: Vec<Past> = insertion
            .teeth
            .iter()
            .filter_map(|t| {
                let share = if niti { t.strain / SUPERELASTIC } else { t.strain_fraction } * 100.0;
                let figures = limits.for_tooth(Limit::Strain, t.tooth).value;
                let (severity, limit) = passes(share, figures)?;
                Some(Past { severity, tooth: t.tooth, value: share, limit })
            })
            .collect();
        worst_first(&mut bent);
        let Some(worst) = bent.first() else { continue };
        if is_said(&view, worst.severity) {
            continue;
        }
        let strain = insertion.tooth(worst.tooth).map_or(0.0, |t| t.strain * 100.0);
        let mut finding = view
            .finding(
                RULE.code,
                worst.severity,
                view.case_place(),
                format!(
                    "{} is strained {} % beside {} in {}, {} % of what it comes back from.",
                    view.wire().label(),
                    plain(tenth(strain)),
                    words.tooth(worst.tooth),
                    view.step.name,
                    plain(worst.value.round())
                ),
            )
            .why("Beyond its limit the wire keeps the bend and no longer pulls the tooth in.")
            .figure(worst.value.round(), worst.limit, "%")
            .teeth(bent.iter().map(|p| p.tooth));
        finding.fixes.extend(gentler(judged, &view));
        finding.fixes.extend(gentler::one_wing(judged, &view, worst.tooth));
        list.push(Candidate::new(view.side(), worst.value / worst.limit, finding));
    }
    settle(words, list, out);
}
