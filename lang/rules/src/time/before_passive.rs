//! The patient is called in long before the wire can be passive.

use super::{next_days, next_place};
use crate::model::step::Term;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "time/before-passive",
    severity: Severity::Warning,
    title: "seen before the wire is passive",
    finds: "A planned next visit (its latest day) before the wire is passive in even the fastest tenth of \
           patients, in a step that ends with `passive`. Short intervals with a coil, elastics or bite raisers \
           to check are not reported, nor is anything from 6 weeks upwards.",
    why: "The wire would stay in anyway: the visit costs the patient a day and the practice a chair.",
    what_to_do: "Let the next visit be computed, or write the weeks the wire needs.",
    source: "times as forecast; from 6 weeks upwards a check is common practice, no source",
    accept_when: "The patient is to be seen for another reason.",
    failing: r#"springline 1
case "SM-9503"
use saltmarsh
start 2026-11-23
patient adult
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 42 lingual 1.5 mm, rotated 15 deg mesial-in
  tooth 41 labial 0.5 mm
  tooth 32 lingual 1 mm, rotated 10 deg mesial-in
  follow usual
  change align, next 4 wk // <- here
}
retain {
  fixed 43..33
}
"#,
    passing: r#"springline 1
case "SM-9503"
use saltmarsh
start 2026-11-23
patient adult
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 42 lingual 1.5 mm, rotated 15 deg mesial-in
  tooth 41 labial 0.5 mm
  tooth 32 lingual 1 mm, rotated 10 deg mesial-in
  follow usual
  change align, next 10..12 wk
}
retain {
  fixed 43..33
}
"#,
    check,
};

/// A look at the patient after so long needs no reason, days.
const LOOK_DAYS: f64 = 41.5;

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in judged.views() {
        let Some(phase) = view.phase else { continue };
        let Some((_, to)) = next_days(&view) else { continue };
        let until = &view.step.until;
        if !until.terms.contains(&Term::Passive) || to >= LOOK_DAYS || view.begun() {
            continue;
        }
        let supervised = view.acts().any(|a| {
            matches!(
                a.kind,
                ActKind::OpenCoil { .. }
                    | ActKind::ClosingCoil { .. }
                    | ActKind::Chain { .. }
                    | ActKind::BiteRaisers { .. }
                    | ActKind::Piggyback { .. }
                    | ActKind::Engage { .. }
            )
        });
        let Some(passive) = phase.passive.by_rule() else { continue };
        if supervised || to >= passive.early_days {
            continue;
        }
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                next_place(&view),
                format!(
                    "The next visit in {} is after {}; {} in the {} arch is forecast to be passive after {} \
                     ({} to {}).",
                    view.step.name,
                    say_weeks(to),
                    view.wire().label(),
                    view.side(),
                    say_weeks(passive.median_days),
                    plain(weeks(passive.early_days)),
                    say_weeks(passive.late_days)
                ),
            )
            .why("The wire would stay in, and the visit achieves nothing.")
            .figure(weeks(to), weeks(passive.median_days), "wk");
        if let Some(fix) = judged.texts.clinical(
            "let the next visit be computed",
            judged.texts.set_clause(view.arch, view.step, "next computed"),
        ) {
            finding = finding.fix(fix);
        }
        list.push(Candidate::new(view.side(), passive.median_days / to.max(1.0), finding));
    }
    settle(judged.words(), list, out);
}
