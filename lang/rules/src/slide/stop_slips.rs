//! A round stop on a wire with corners.

use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "slide/stop-slips",
    severity: Severity::Warning,
    title: "stop does not fit the wire",
    finds: "A stop on a rectangular wire where every stop in the practice file is for round wires, or the other \
           way round.",
    why: "A round stop slips on a rectangular wire: it appears on the card but holds nothing.",
    what_to_do: "Use a stop made for the section, or bend the wire there.",
    source: "common practice, no source",
    accept_when: "A stop that fits is in stock but not listed in the practice file.",
    failing: r#"springline 1
case "SM-9306"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 12 rotated 5 deg mesial-in
  follow usual
  change level {
    stop mesial of 11, mesial of 21 // <- here
  }
}
retain {
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9306"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 12 rotated 5 deg mesial-in
  follow usual
  change align {
    stop mesial of 11, mesial of 21
  }
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
    let stops: Vec<Option<bool>> = judged.case.house.stops.values().map(|s| s.for_round).collect();
    if stops.is_empty() {
        return;
    }
    for view in judged.views() {
        let round = view.wire().wire.section.is_round();
        let fits = stops.iter().any(|s| s.is_none_or(|for_round| for_round == round));
        let Some((spot, act)) = view.state.stops().next() else { continue };
        if fits || view.step.carried.iter().any(|a| a.place == act.place) {
            continue;
        }
        let (on, made) = if round { ("round", "rectangular") } else { ("rectangular", "round") };
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.act_place(act),
                format!(
                    "The stop {} in {} is on a {on} wire; every stop in the practice file is for {made} wires.",
                    words.spot(spot.along, spot.tooth),
                    view.step.name
                ),
            )
            .why("A stop for the other section slips and holds nothing.")
            .teeth([spot.tooth]);
        finding
            .fixes
            .extend(judged.texts.clinical("remove the stop", judged.texts.remove(act.place)));
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    settle(words, list, out);
}
