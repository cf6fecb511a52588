//! Both arches could be seen on one day.

use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "time/two-visits-for-one",
    severity: Severity::Advice,
    title: "two visits where one would do",
    finds: "Two forecast visits within 3 weeks of each other, the first for one arch and the second for the \
           other, where a day that suits both lies in both windows.",
    why: "Every visit costs the patient half a day.",
    what_to_do: "Give both arches the same interval.",
    source: "common practice, no source",
    accept_when: "The schedule has no room for both on one day.",
    failing: r#"springline 1
case "SM-9509"
use saltmarsh
start 2026-11-23
patient growing
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 12 palatal 1.5 mm
  follow usual
  change align, next 8 wk
}
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 42 lingual 1.5 mm
  follow usual
  change align, next 10 wk // <- here
}
retain {
  fixed 43..33
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9509"
use saltmarsh
start 2026-11-23
patient growing
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 12 palatal 1.5 mm
  follow usual
  change align, next 8..10 wk
}
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 42 lingual 1.5 mm
  follow usual
  change align, next 8..10 wk
}
retain {
  fixed 43..33
  night-time upper
}
"#,
    check,
};

/// Intervals nearer than this want one visit, days.
const NEAR_DAYS: f64 = 21.0;

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    // The steps that are in now, or go in first, one an arch.
    let views = judged.views();
    let first = |arch: Arch| views.iter().find(|v| v.side() == arch);
    let (Some(upper), Some(lower)) = (first(Arch::Upper), first(Arch::Lower)) else { return };
    let (Some(a), Some(b)) = (super::next_days(upper), super::next_days(lower)) else { return };
    if super::since(upper) != super::since(lower) {
        return;
    }
    // The later of the two, and how far apart they are.
    let (late, early, later, sooner) =
        if a.0 > b.0 { (upper, lower, a, b) } else { (lower, upper, b, a) };
    let apart = later.0 - sooner.1;
    if apart <= 3.0 || apart > NEAR_DAYS {
        return;
    }
    let both = weeks(later.0.min(judged.case.house.longest.days()));
    let mut finding = late
        .finding(
            RULE.code,
            RULE.severity,
            super::next_place(late),
            format!(
                "The {} arch is seen after {} and the {} one after {}: one visit would do for both.",
                early.side(),
                say_weeks(sooner.1),
                late.side(),
                say_weeks(later.0)
            ),
        )
        .why("Every visit costs the patient half a day.")
        .figure(weeks(apart), 0.0, "wk");
    if let Some(fix) = judged.texts.clinical(
        format!("see the {} arch after {} wk too", early.side(), plain(both)),
        judged.texts.set_clause(early.arch, early.step, &format!("next {} wk", plain(both))),
    ) {
        finding = finding.fix(fix);
    }
    out.push(finding);
}
