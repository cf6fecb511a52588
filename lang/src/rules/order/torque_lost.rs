//! Torque asked of a wire that turns freely in the slot.

use crate::course::setup::stock;
use crate::mechanics::closed::third_order_play;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/torque-lost",
    severity: Severity::Warning,
    title: "torque lost to play",
    finds: "Torque asked of the wire at a tooth (`torque 11 10 deg root-lingual`) against what is left of it after the \
            wire's play in the slot. Warns where less than half arrives. Torque that nobody wrote is not judged: a \
            19x25 wire in a 22 slot loses 7 to 10 deg always.",
    why: "What the play swallows never reaches the root, and the months for it are spent in vain.",
    what_to_do: "Ask for the torque and the play together, take a larger wire, or a bracket with more torque.",
    source: "geometry of a rectangle with rounded edges in a slot; see the closed forms of the mechanics",
    accept_when: "Only the crown is to be held where it is.",
    failing: r#"springline 1
case "SM-9415"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  follow usual
  change finish {
    torque 11, 21 10 deg root-lingual // <- here
  }
}
retain {
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9415"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  follow usual
  change finish {
    torque 11, 21 25 deg root-lingual
  }
}
retain {
  night-time upper
}
"#,
    check,
};

/// Less than this share arriving is worth a word.
const SHARE: f64 = 0.5;

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = judged.words();
    for view in judged.views() {
        for act in &view.step.acts {
            let ActKind::Torque { teeth, angle, .. } = &act.kind else { continue };
            let asked = degrees(*angle);
            let worst = teeth
                .iter()
                .filter_map(|t| {
                    let slot = mm(view.bracket(*t)?.slot_height);
                    let play = third_order_play(&stock(&view.wire().wire).section, slot);
                    let play = play.map_or(90.0, f64::to_degrees);
                    Some((*t, play, (asked - play).max(0.0)))
                })
                .min_by(|a, b| a.2.total_cmp(&b.2));
            let Some((tooth, play, arrives)) = worst else { continue };
            if asked <= 0.0 || arrives >= asked * SHARE {
                continue;
            }
            let turns = if play >= 90.0 {
                "turns freely in the slot".to_owned()
            } else {
                format!("has {} of play", say_deg(play))
            };
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    view.act_place(act),
                    format!(
                        "Of the {} asked at {} in {}, {} arrive: {} {turns}.",
                        say_deg(asked),
                        words.teeth(teeth),
                        view.step.name,
                        say_deg(arrives),
                        view.wire().label()
                    ),
                )
                .why("What the play swallows never reaches the root.")
                .figure(arrives.round(), (asked * SHARE).round(), "deg")
                .teeth(teeth.iter().copied());
            if play < 30.0 {
                let written = act.text.clone();
                let more = (asked + play).ceil();
                let fix = judged.texts.clinical(
                    format!("ask for {}", say_deg(more)),
                    judged.texts.replace_in(
                        act.place,
                        &format!("{} deg", plain(asked)),
                        &format!("{} deg", plain(more)),
                    ),
                );
                let _ = (written, tooth);
                if let Some(fix) = fix {
                    finding =
                        finding.fix(fix.outcome(format!("then {} arrive", say_deg(more - play))));
                }
            }
            list.push(Candidate::new(view.side(), asked / arrives.max(0.1), finding));
        }
    }
    settle(words, list, out);
}
