//! The second opinion on steel and beta-titanium: the force once the teeth have given a little.

use super::verdict::{is_said, others, past};
use crate::rules::order::strength::is_rigid_alloy;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "force/delivered",
    severity: Severity::Error,
    title: "steel or beta-titanium delivers too much force",
    finds: "The force of a steel, cobalt-chromium or beta-titanium wire on a tooth after the worst tooth has \
           moved 0.2 mm: a warning above 90 g, an error above 300 g. Reported only where the remaining misfit \
           in millimetres has not already been reported.",
    why: "Several small misfits side by side add up to a high force.",
    what_to_do: "A superelastic wire of that size first.",
    source: SIMULATION,
    accept_when: "The figure is near the limit and the teeth have been examined.",
    failing: r#"springline 1
case "SM-9103"
use saltmarsh
in-place 2026-11-23 {
  upper niti-18x25 since 2026-09-14
}
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 12 palatal 0.4 mm, rotated 6 deg mesial-in
  tooth 11 labial 0.4 mm, rotated 6 deg mesial-out
  tooth 21 palatal 0.4 mm, rotated 6 deg mesial-out
  follow firm from work // <- here
}
retain {
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9103"
use saltmarsh
in-place 2026-11-23 {
  upper niti-18x25 since 2026-09-14
}
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  follow firm from work
}
retain {
  night-time upper
}
"#,
    check,
};

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = judged.words();
    for view in judged.views() {
        if !is_rigid_alloy(&view.wire().wire) {
            continue;
        }
        let heavy = past(&view, Limit::Delivered, |t| newtons_to_grams(t.delivered_n));
        let Some(worst) = heavy.first() else { continue };
        if is_said(&view, worst.severity) {
            continue;
        }
        let (said, most) = apart(worst.value, worst.limit);
        let mut finding = view
            .finding(
                RULE.code,
                worst.severity,
                view.case_place(),
                format!(
                    "{} still delivers {} g on {} in {} after 0.2 mm of movement; limit {} g.",
                    view.wire().label(),
                    plain(said),
                    words.tooth(worst.tooth),
                    view.step.name,
                    plain(most)
                ),
            )
            .why("Small misfits side by side add up under a stiff wire.")
            .figure(said, most, "g")
            .teeth(heavy.iter().map(|p| p.tooth));
        if let Some(note) = others(&view, &heavy, "g") {
            finding = finding.note(note);
        }
        finding.fixes.extend(gentler(judged, &view));
        list.push(Candidate::new(view.side(), worst.value / worst.limit, finding));
    }
    settle(words, list, out);
}
