//! A reverse overjet that the plan says nothing of.

use super::goal_unmet::{OverjetWay, works_on_overjet};
use crate::model::case::say_overjet;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/reverse-overjet",
    severity: Severity::Advice,
    title: "reverse overjet without a goal or a correction",
    finds: "A reverse overjet, as recorded at the start or last measured, in a plan whose goal does not mention \
           the overjet and in which nothing corrects it: no class III elastics, no closing of lower spaces.",
    why: "A straight wire aligns the teeth and leaves the overjet reversed; a reader of the plan cannot tell \
         whether that is intended.",
    what_to_do: "State the intended overjet in the goal, and what corrects it; or state that it stays, with the \
                same figure.",
    source: "common practice, no source",
    accept_when: "Orthognathic surgery is planned, or the overjet is accepted as it is.",
    failing: r#"springline 1
case "SM-9431"
use saltmarsh
start 2026-11-23
bite {
  reverse-overjet 2 mm // <- here
  molars class-3 3 mm
}
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  follow firm
}
retain {
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9431"
use saltmarsh
start 2026-11-23
bite {
  reverse-overjet 2 mm
  molars class-3 3 mm
}
goal {
  reverse-overjet 2 mm
}
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  follow firm
}
retain {
  night-time upper
}
"#,
    check,
};

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let case = judged.case;
    let seen = case.visits.iter().rev().find_map(|v| v.bite.overjet.as_ref());
    let Some((now, place)) = seen.or(case.bite.overjet.as_ref()) else { return };
    let aimed = case.goal.as_ref().is_some_and(|g| g.bite.overjet.is_some());
    if !now.is_reverse() || aimed || works_on_overjet(case, OverjetWay::Up) {
        return;
    }
    out.push(
        Finding::new(
            RULE.code,
            RULE.severity,
            *place,
            format!(
                "The overjet is {}; the goal does not mention it, and nothing in the plan changes it.",
                say_overjet(now.mm())
            ),
        )
        .why("A straight wire aligns the teeth and leaves the overjet reversed."),
    );
}
