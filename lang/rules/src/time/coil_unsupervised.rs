//! A coil or chain left alone too long.

use super::{next_days, next_place};
use crate::model::step::Activation;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "time/coil-unsupervised",
    severity: Severity::Warning,
    title: "coil unsupervised too long",
    finds: "More than 8 weeks to the next visit with an active open coil, a closing spring or a chain in the \
           step (for a coil of 10 weeks and more the planned end of the step counts too).",
    why: "A coil pushes on past what was wanted and moves teeth it should not; a spring that has come off does \
         nothing.",
    what_to_do: "See the patient after 6 weeks while a coil is active.",
    source: "common practice, no source: coils 6 weeks and no more than 10, chains 4 to 5",
    accept_when: "The coil cannot push beyond its stroke.",
    failing: r#"springline 1
case "SM-9507"
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
  step make-space as align after align, wire niti-18, until space 7 mm at 12, next 10..12 wk { // <- here
    tie 11..22 figure-eight
    open-coil between 13 and 11 with open-100, activated 2 mm each visit
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
case "SM-9507"
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
    open-coil between 13 and 11 with open-100, activated 2 mm each visit
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

const LONGEST_DAYS: f64 = 56.0;

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in judged.views() {
        let Some((_, to)) = next_days(&view) else { continue };
        if to <= LONGEST_DAYS + 3.0 {
            continue;
        }
        let Some(act) = view.acts().find(|a| match &a.kind {
            ActKind::OpenCoil { activation, .. } => *activation != Activation::Passive,
            ActKind::ClosingCoil { .. } | ActKind::Chain { .. } => true,
            _ => false,
        }) else {
            continue;
        };
        let what = match &act.kind {
            ActKind::OpenCoil { .. } => "An active coil",
            ActKind::ClosingCoil { .. } => "A closing spring",
            _ => "A chain",
        };
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                next_place(&view),
                format!(
                    "{what} is active in {}, and the next visit is after {}; limit {}.",
                    view.step.name,
                    say_weeks(to),
                    say_weeks(LONGEST_DAYS)
                ),
            )
            .why("It pushes or pulls past what was wanted, or comes off, and nobody sees it.")
            .figure(weeks(to), weeks(LONGEST_DAYS), "wk")
            .related(view.act_place(act), "this one");
        if let Some(fix) = judged.texts.clinical(
            "come back after 6 wk",
            judged.texts.set_clause(view.arch, view.step, "next 6 wk"),
        ) {
            finding = finding.fix(fix);
        }
        list.push(Candidate::new(view.side(), to / LONGEST_DAYS, finding));
    }
    settle(judged.words(), list, out);
}
