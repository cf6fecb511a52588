//! A retainer for one arch, and none for the other.

use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/arch-not-retained",
    severity: Severity::Warning,
    title: "one arch is not retained",
    finds: "Two arches are treated and the retainers in the plan hold only one of them.",
    why: "The teeth of the arch without a retainer relapse, and the other arch follows them.",
    what_to_do: "Add a bonded or night-time retainer for that arch as well.",
    source: "common practice, no source",
    accept_when: "Nothing was moved in that arch.",
    failing: r#"springline 1
case "SM-9427"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 12 palatal 1 mm
  follow usual
}
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  follow usual
}
retain { // <- here
  fixed 43..33
}
"#,
    passing: r#"springline 1
case "SM-9427"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 12 palatal 1 mm
  follow usual
}
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  follow usual
}
retain {
  fixed 43..33
  night-time upper
}
"#,
    check,
};

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let case = judged.case;
    let Some(retention) = &case.retention else { return };
    let Some(place) = retention.place else { return };
    let held = |arch: Arch| {
        retention.night.iter().any(|(a, _)| *a == arch)
            || retention.fixed.iter().any(|(teeth, _)| teeth.iter().any(|t| t.arch() == arch))
    };
    let treated: Vec<Arch> =
        case.arches.iter().filter(|a| !a.steps.is_empty()).map(|a| a.arch).collect();
    let bare: Vec<Arch> = treated.iter().copied().filter(|a| !held(*a)).collect();
    // Nothing at all is said elsewhere.
    let ([arch], 2) = (bare.as_slice(), treated.len()) else { return };
    let mut finding = Finding::new(
        RULE.code,
        RULE.severity,
        place,
        format!("The retainers hold the {} arch; none holds the {arch} arch.", arch.other()),
    )
    .why("Teeth without a retainer relapse.");
    if let Some(fix) = judged.texts.clinical(
        format!("a night-time retainer for the {arch} arch"),
        judged.texts.add_inside(place, &[format!("night-time {arch}")]),
    ) {
        finding = finding.fix(fix);
    }
    out.push(finding);
}
