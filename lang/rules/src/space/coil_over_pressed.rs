//! A coil pressed farther than it goes.

use super::coil::{open_coils, usual_activation_mm};
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "space/coil-over-pressed",
    severity: Severity::Warning,
    title: "coil compressed solid",
    finds: "An open coil compressed by more than the stroke given for it in the practice file, or asked for a \
           force that it delivers only when compressed farther than that.",
    why: "Its turns touch: it is then a rigid tube of unknown force, and it buckles or breaks a bracket off.",
    what_to_do: "Activate it by no more than its stroke, and again at each visit; or use a stronger coil.",
    source: "a helical spring is linear until its turns touch; common practice",
    accept_when: "The stroke in the practice file is that of a shorter piece.",
    failing: r#"springline 1
case "SM-9216"
use saltmarsh
start 2026-11-23
goal {
  incisors forward
}
upper {
  bonded 15..13, 11..25 with twin
  tubes 16, 26 with molar
  tooth 12 palatal 2 mm, space 5.5 mm
  follow usual
  change align {
    bypass 12 unbonded
    sleeve between 13 and 11
  }
  step make-space as align after align, wire niti-18, until space 7 mm at 12, next 6 wk {
    tie 11..22 figure-eight
    open-coil between 13 and 11 with open-100, activated 7.5 mm // <- here
  }
  step bring-in as align after make-space, wire niti-14, until passive, next 8 wk {
    pick-up 12 with twin
  }
}
retain {
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9216"
use saltmarsh
start 2026-11-23
goal {
  incisors forward
}
upper {
  bonded 15..13, 11..25 with twin
  tubes 16, 26 with molar
  tooth 12 palatal 2 mm, space 5.5 mm
  follow usual
  change align {
    bypass 12 unbonded
    sleeve between 13 and 11
  }
  step make-space as align after align, wire niti-18, until space 7 mm at 12, next 6 wk {
    tie 11..22 figure-eight
    open-coil between 13 and 11 with open-100, activated 3 mm each visit
  }
  step bring-in as align after make-space, wire niti-14, until passive, next 8 wk {
    pick-up 12 with twin
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
    for view in judged.views() {
        for coil in open_coils(&view).into_iter().filter(|c| c.new) {
            let Some((stock, spring)) = coil.coil.zip(coil.spring()) else { continue };
            let Some(stroke) = stock.stroke.map(mm).filter(|s| *s > 0.0) else { continue };
            if stock.force.is_none() || spring.pressed_mm <= stroke + 1e-6 {
                continue;
            }
            let message = format!(
                "The coil between {} and {} in {} is compressed by {}; {} is solid at {}.",
                words.tooth(coil.right),
                words.tooth(coil.left),
                view.step.name,
                say_mm(spring.pressed_mm),
                stock.name,
                say_mm(stroke)
            );
            let mut finding = view
                .finding(RULE.code, RULE.severity, view.act_place(coil.act), message)
                .why("Compressed solid, it is a rigid tube of unknown force.")
                .figure(tenth(spring.pressed_mm), stroke, "mm")
                .teeth([coil.right, coil.left]);
            let warn = judged.case.house.limits.for_tooth(Limit::Coil, coil.right).value.warn;
            if let Some(pressed) = usual_activation_mm(stock, warn) {
                let line = coil.statement(&words, pressed, true);
                let title = format!("activate it by {}, and again at each visit", say_mm(pressed));
                let edits = judged.texts.replace(coil.act.place, &line);
                if let Some(fix) = judged.texts.clinical(title, edits) {
                    finding = finding.fix(fix);
                }
            }
            list.push(Candidate::new(view.side(), spring.pressed_mm / stroke, finding));
        }
    }
    settle(words, list, out);
}
