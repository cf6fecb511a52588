//! A wire change sooner than the house's shortest interval.

use super::{next_days, next_place};
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "time/interval-too-short",
    severity: Severity::Warning,
    title: "interval shorter than the practice minimum",
    finds: "The next visit as planned (its latest day) against the shortest interval of the practice, 4 weeks \
           where the practice file gives none.",
    why: "Teeth need time to recover between two activations, and chair time is wasted.",
    what_to_do: "Allow the practice's shortest interval.",
    source: "the practice's own figure; 4 weeks is common practice, no source",
    accept_when: "Something has to be checked soon.",
    failing: r#"springline 1
case "SM-9502"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 11 rotated 3 deg mesial-in
  follow usual
  change work, next 2 wk // <- here
}
retain {
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9502"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 11 rotated 3 deg mesial-in
  follow usual
  change work, next 5 wk
}
retain {
  night-time upper
}
"#,
    check,
};

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let shortest = judged.case.house.shortest.days();
    for view in judged.views() {
        let Some((_, to)) = next_days(&view) else { continue };
        if to >= shortest - 0.5 || to < 0.0 {
            continue;
        }
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                next_place(&view),
                format!(
                    "{} to the next visit in {}; practice minimum {}.",
                    say_weeks(to),
                    view.step.name,
                    say_weeks(shortest)
                ),
            )
            .why("Teeth need time to recover between two activations.")
            .figure(weeks(to), weeks(shortest), "wk");
        if let Some(fix) = judged.texts.clinical(
            format!("come back after {}", say_weeks(shortest)),
            judged.texts.set_clause(view.arch, view.step, &format!("next {}", say_weeks(shortest))),
        ) {
            finding = finding.fix(fix);
        }
        list.push(Candidate::new(view.side(), shortest / to.max(1.0), finding));
    }
    settle(judged.words(), list, out);
}
