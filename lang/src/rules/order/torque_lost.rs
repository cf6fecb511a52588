//! Torque asked of a wire that turns freely in the slot.

use crate::course::setup::stock;
use crate::mechanics::closed::third_order_play;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/torque-lost",
    severity: Severity::Warning,
    title: "torque lost to play",
    finds: "Torque asked of the wire at a tooth (`torque 11 10 deg root-lingual`) against what is left of it after the \
            wire's play in the slot. Warns where less than half arrives. A bracket turned over, or a variant with more \
            torque, asks for the difference from the usual bracket: advice where no wire of the plan brings half of it. \
            Torque that nobody wrote is not judged: a 19x25 wire in a 22 slot loses 7 to 10 deg always; `springline \
            forces` tells it tooth by tooth.",
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
            let Some((_, play, arrives)) = worst else { continue };
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
                let more = (asked + play).ceil();
                let fix = judged.texts.clinical(
                    format!("ask for {}", say_deg(more)),
                    judged.texts.replace_in(
                        act.place,
                        &format!("{} deg", plain(asked)),
                        &format!("{} deg", plain(more)),
                    ),
                );
                if let Some(fix) = fix {
                    finding =
                        finding.fix(fix.outcome(format!("then {} arrive", say_deg(more - play))));
                }
            }
            if let Some((name, left)) = larger(judged, &view, teeth, asked) {
                let fix = judged.texts.clinical(
                    format!("{name} in {}", view.step.name),
                    judged.texts.set_clause(view.arch, view.step, &format!("wire {name}")),
                );
                finding.fixes.extend(
                    fix.map(|f| f.outcome(format!("with {name}: {} arrive", say_deg(left)))),
                );
            }
            list.push(Candidate::new(view.side(), asked / arrives.max(0.1), finding));
        }
    }
    list.extend(judged.case.arches.iter().filter_map(|arch| chosen(judged, arch.arch)));
    settle(words, list, out);
}

/// A bracket chosen for its torque, in a plan none of whose wires fills the slot enough to bring it.
fn chosen(judged: &Judged<'_>, arch: Arch) -> Option<Candidate> {
    use crate::course::torque::{beyond_usual_deg, play_deg};
    let words = judged.words();
    let views: Vec<View<'_>> = judged.views().into_iter().filter(|v| v.side() == arch).collect();
    let last = views.last()?;
    // Only a plan that goes on to a rectangular wire is about torque.
    let lost = last.state.teeth.iter().filter_map(|tooth| {
        let bonding = tooth.bonding.as_ref().filter(|b| b.inverted || b.variant.is_some())?;
        let asked = beyond_usual_deg(tooth.tooth, bonding).abs();
        let (play, wire) = views
            .iter()
            .filter(|v| v.is_in_wire(tooth.tooth))
            .filter_map(|v| Some((play_deg(v.wire(), bonding)?, v.wire().label())))
            .min_by(|a, b| a.0.total_cmp(&b.0))?;
        let arrives = (asked - play).max(0.0);
        (asked >= 1.0 && arrives < asked * SHARE).then_some((
            tooth.tooth,
            asked,
            play,
            arrives,
            wire,
            bonding.place,
        ))
    });
    let (tooth, asked, play, arrives, wire, place) =
        lost.max_by(|a, b| (a.1 - a.3).total_cmp(&(b.1 - b.3)))?;
    let finding = last
        .finding(
            RULE.code,
            Severity::Advice,
            last.clause_place(Some(place)),
            format!(
                "The bracket of {} asks for {} beyond the usual one, and {} arrive: the fullest wire of the plan, {wire}, \
                 has {} of play.",
                words.tooth(tooth),
                say_deg(asked),
                say_deg(arrives),
                say_deg(play)
            ),
        )
        .why("What the play swallows never reaches the root.")
        .figure(arrives.round(), (asked * SHARE).round(), "deg")
        .teeth([tooth]);
    Some(Candidate::new(arch, 0.0, finding))
}

/// The least wire of the drawer that brings half of what is asked, takes a twist, and goes into the slots.
fn larger(
    judged: &Judged<'_>,
    view: &View<'_>,
    teeth: &[Tooth],
    asked: f64,
) -> Option<(String, f64)> {
    judged
        .case
        .house
        .wires
        .values()
        .filter(|w| !w.alloy.is_niti() && !w.section.is_round() && view.goes_in(w.section, 0.01))
        .filter_map(|w| {
            let section = stock(w).section;
            let left = teeth.iter().filter_map(|t| {
                let slot = mm(view.bracket(*t)?.slot_height);
                let play = third_order_play(&section, slot)?.to_degrees();
                Some((asked - play).max(0.0))
            });
            let least = left.min_by(f64::total_cmp)?;
            (least >= asked * SHARE).then(|| (sizes_mm(w.section).0, w.name.to_string(), least))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))
        .map(|(_, name, left)| (name, left))
}
