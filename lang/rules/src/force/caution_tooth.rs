//! A tooth that bears only half.

use super::verdict::{insertion, is_said};
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "force/caution-tooth",
    severity: Severity::Warning,
    title: "force too high for a tooth marked `caution`",
    finds: "The force a wire still delivers on a tooth marked `caution` after 0.2 mm of movement, against half \
           the practice limit for bodily movement (75 g).",
    why: "A tooth with a short root, a history of trauma or thin gingiva tolerates half the force a sound tooth \
         does.",
    what_to_do: "A lighter wire, longer intervals, or the tooth left out for now.",
    source: "common practice, no source",
    accept_when: "A recent radiograph shows the root unchanged.",
    failing: r#"springline 1
case "SM-9108"
use saltmarsh
start 2026-11-23
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 41 lingual 1.5 mm
  caution 41 because "short root" // <- here
  follow usual
}
retain {
  fixed 43..33
}
"#,
    passing: r#"springline 1
case "SM-9108"
use saltmarsh
start 2026-11-23
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 41 lingual 0.5 mm
  caution 41 because "short root"
  follow usual
  change align, wire niti-12
}
retain {
  fixed 43..33
}
"#,
    check,
};

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = judged.words();
    for view in judged.views() {
        let Some(insertion) = insertion(&view).filter(|_| !view.follows_done_work()) else {
            continue;
        };
        if is_said(&view, RULE.severity) {
            continue;
        }
        for caution in &view.arch.cautions {
            let Some(load) = insertion.tooth(caution.tooth) else { continue };
            let limit =
                judged.case.house.limits.for_tooth(Limit::Bodily, caution.tooth).value.warn / 2.0;
            let grams = newtons_to_grams(load.delivered_n);
            if grams <= limit {
                continue;
            }
            let (said, most) = apart(grams, limit);
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    caution.place,
                    format!(
                        "{} delivers {} g on {} in {}; limit for this tooth ({}) {} g, half the usual.",
                        view.wire().label(),
                        plain(said),
                        words.tooth(caution.tooth),
                        view.step.name,
                        caution.why,
                        plain(most)
                    ),
                )
                .why("Limits are halved for this tooth.")
                .figure(said, most, "g")
                .teeth([caution.tooth]);
            finding.fixes.extend(gentler(judged, &view));
            finding.fixes.extend(lighter_wire::one_wing(judged, &view, caution.tooth));
            finding.fixes.extend(lighter_wire::leave_out(judged, &view, caution.tooth));
            list.push(Candidate::new(view.side(), grams / limit, finding));
        }
    }
    settle(words, list, out);
}
