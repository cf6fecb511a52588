//! Elastics planned on for a patient who does not wear them.

use crate::model::case::Wear;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/elastics-not-worn",
    severity: Severity::Warning,
    title: "elastics not worn",
    finds: "Elastics recorded as not worn on the same side at two visits in a row, while the plan still relies \
           on them.",
    why: "An overjet that does not change is then no fault of the plan, and waiting longer changes nothing.",
    what_to_do: "Talk to the patient, or plan without elastics.",
    source: "common practice, no source",
    accept_when: "A fresh start was agreed with the patient.",
    failing: r#"springline 1
case "SM-9411"
use saltmarsh
in-place 2026-08-17 {
  upper beta-19x25 since 2026-06-08
  lower beta-19x25 since 2026-06-08
}
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  step work, wire beta-19x25, ends turned-in slack 1 mm, express 4 wk, until 40 wk, next 6 wk {
    tie 13..23 figure-eight
  }
}
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  step work, wire beta-19x25, ends turned-in slack 1 mm, express 4 wk, until 40 wk, next 6 wk
}
elastics class-2 { // <- here
  right 13 to 46 with medium, wear 22 h
  left 23 to 36 with medium, wear 22 h
  from work expressed
  longest 26 wk
}
retain {
  fixed 43..33
  night-time upper
}
seen 2026-09-28 by MT {
  upper kept
  lower kept
  wear none
}
seen 2026-11-09 by MT {
  upper kept
  lower kept
  wear none
}
"#,
    passing: r#"springline 1
case "SM-9411"
use saltmarsh
in-place 2026-08-17 {
  upper beta-19x25 since 2026-06-08
  lower beta-19x25 since 2026-06-08
}
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  step work, wire beta-19x25, ends turned-in slack 1 mm, express 4 wk, until 40 wk, next 6 wk {
    tie 13..23 figure-eight
  }
}
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  step work, wire beta-19x25, ends turned-in slack 1 mm, express 4 wk, until 40 wk, next 6 wk
}
elastics class-2 {
  right 13 to 46 with medium, wear 22 h
  left 23 to 36 with medium, wear 22 h
  from work expressed
  longest 26 wk
}
retain {
  fixed 43..33
  night-time upper
}
seen 2026-09-28 by MT {
  upper kept
  lower kept
  wear none
}
seen 2026-11-09 by MT {
  upper kept
  lower kept
  wear good
}
"#,
    check,
};

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let Some(elastics) = judged.case.elastics.last() else { return };
    let told: Vec<_> = judged.case.visits.iter().filter(|v| !v.wear.is_empty()).collect();
    let [.., before, last] = told.as_slice() else { return };
    let side = [Side::Right, Side::Left].into_iter().find(|side| {
        [before, last].iter().all(|v| {
            v.wear.iter().any(|(s, w)| s.is_none_or(|s| s == *side) && matches!(w, Wear::Nothing))
        })
    });
    let Some(side) = side else { return };
    let mut finding = Finding::new(
        RULE.code,
        RULE.severity,
        elastics.place,
        format!(
            "Elastics on the {side} were not worn at the last two visits ({} and {}).",
            before.on, last.on
        ),
    )
    .why("Waiting longer will not achieve what the plan expects of them.")
    .related(last.place, "not worn here");
    if let Some((from, ..)) = &elastics.from {
        finding = finding.step(from.clone());
    }
    out.push(finding);
}
