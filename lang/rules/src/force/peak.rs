//! The force when the wire goes in.

use super::verdict::{is_said, others, past};
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "force/peak",
    severity: Severity::Error,
    title: "force too high on insertion",
    finds: "The largest force on a tooth when the wire is placed, any wire: a warning above 600 g, an error \
           above 1000 g. A backstop: reported only where neither the sustained force nor, for steel, the \
           remaining misfit has already been reported. Implants and ankylosed teeth do not move, so for them it \
           is the main figure.",
    why: "Causes pain, opens slides and breaks bonds before anything moves.",
    what_to_do: "A lighter wire, or the tooth only partly engaged.",
    source: SIMULATION,
    accept_when: "It is one tooth, for a day, in a patient who has been told.",
    failing: r#"springline 1
case "SM-9104"
use saltmarsh
start 2026-11-23
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 41 lingual 1.5 mm, rotated 30 deg mesial-in
  tooth 42 labial 1.5 mm
  step align, wire niti-14, ends turned-in slack 2 mm, until passive, next computed // <- here
}
retain {
  fixed 43..33
}
"#,
    passing: r#"springline 1
case "SM-9104"
use saltmarsh
start 2026-11-23
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 41 lingual 1 mm, rotated 15 deg mesial-in
  step align, wire niti-14, ends turned-in slack 2 mm, until passive, next computed
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
        let heavy = past(&view, Limit::Peak, |t| newtons_to_grams(t.peak_n));
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
                    "{} puts {} g on {} on insertion in {}; limit {} g.",
                    view.wire().label(),
                    plain(said),
                    words.tooth(worst.tooth),
                    view.step.name,
                    plain(most)
                ),
            )
            .why("Causes pain and may open slides before anything moves.")
            .figure(said, most, "g")
            .teeth(heavy.iter().map(|p| p.tooth));
        if let Some(note) = others(&view, &heavy, "g") {
            finding = finding.note(note);
        }
        finding.fixes.extend(gentler(judged, &view));
        finding.fixes.extend(lighter_wire::one_wing(judged, &view, worst.tooth));
        list.push(Candidate::new(view.side(), worst.value / worst.limit, finding));
    }
    settle(words, list, out);
}
