//! Longer between visits than the house allows.

use super::{next_days, next_place};
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "time/interval-too-long",
    severity: Severity::Warning,
    title: "interval longer than the practice maximum",
    finds: "The next visit as planned (its latest day) against the longest interval of the practice, 12 weeks \
           where the practice file gives none.",
    why: "For that long nobody sees a lost stop, a loose bracket or a wire in the cheek.",
    what_to_do: "Bring the visit forward; a check without a wire change is enough.",
    source: "the practice's own figure; 12 weeks is common practice, no source",
    accept_when: "The patient lives far away and knows what to look for.",
    failing: r#"springline 1
case "SM-9501"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 11 rotated 10 deg mesial-in
  follow usual
  change align, next 16 wk // <- here
}
retain {
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9501"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 11 rotated 10 deg mesial-in
  follow usual
  change align, next 10..12 wk
}
retain {
  night-time upper
}
"#,
    check,
};

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let longest = judged.case.house.longest.days();
    for view in judged.views() {
        let Some((from, to)) = next_days(&view) else { continue };
        // A named day is moved to a clinic day; a few days more are no matter.
        if to <= longest + 6.0 {
            continue;
        }
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                next_place(&view),
                format!(
                    "{} to the next visit in {}; practice maximum {}.",
                    say_weeks(to),
                    view.step.name,
                    say_weeks(longest)
                ),
            )
            .why("For that long nobody sees a lost stop or a loose bracket.")
            .figure(weeks(to), weeks(longest), "wk");
        let text = if from < longest - 13.0 {
            format!("next {}..{}", plain(weeks(from)), say_weeks(longest))
        } else {
            format!("next {}", say_weeks(longest))
        };
        if let Some(fix) = judged.texts.clinical(
            format!("come back after {}", say_weeks(longest)),
            judged.texts.set_clause(view.arch, view.step, &text),
        ) {
            finding = finding.fix(fix);
        }
        list.push(Candidate::new(view.side(), to / longest, finding));
    }
    settle(judged.words(), list, out);
}
