//! Ends bent tight while the front teeth need wire.

use crate::model::step::EndKind;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "slide/hard-cinch",
    severity: Severity::Error,
    title: "tight cinch on a wire that should slide",
    finds: "An aligning or levelling wire cinched on a side while more than 1 mm of crowding is to be resolved \
           by proclination: a warning, an error above 3 mm. Not reported where the incisors are to be held, or \
           an extraction provides the space.",
    why: "As crowded incisors procline, the distance from tube to tube grows; a cinched end allows no arch \
         lengthening. The wire stays deflected, and pulls the molars forward instead.",
    what_to_do: "Turn the ends in with a little slack: the wire still slides and does not scratch.",
    source: "common practice, no source",
    accept_when: "The molars may come forward.",
    failing: r#"springline 1
case "SM-9307"
use saltmarsh
start 2026-11-23
goal {
  incisors forward
}
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 42 lingual 1.5 mm, space 4.2 mm
  tooth 41 labial 1 mm, space 4 mm
  tooth 32 lingual 1.5 mm, space 4.3 mm
  follow usual
  change align, ends cinched // <- here
}
retain {
  fixed 43..33
}
"#,
    passing: r#"springline 1
case "SM-9307"
use saltmarsh
start 2026-11-23
goal {
  incisors forward
}
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 42 lingual 1.5 mm, space 4.5 mm
  tooth 41 labial 1 mm
  tooth 32 lingual 1.5 mm, space 4.5 mm
  follow usual
}
retain {
  fixed 43..33
}
"#,
    check,
};

/// Crowding left alone, and crowding that a tight end must not meet, mm.
const SOME_MM: f64 = 1.0;
const MUCH_MM: f64 = 3.0;

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let goal = judged.case.goal.as_ref();
    if goal.is_some_and(|g| g.incisors_forward == Some(false)) {
        return;
    }
    for view in judged.views() {
        if !matches!(view.step.kind, StepKind::Align | StepKind::Level) {
            continue;
        }
        let cinched: Vec<Side> = [Side::Right, Side::Left]
            .into_iter()
            .filter(|s| view.step.ends.of(*s).kind == EndKind::Cinched)
            .filter(|s| view.step.ends.of(*s).slack.is_none_or(|l| mm(l) < 1.0))
            .collect();
        if cinched.is_empty() || super::super::space::account::has_extraction(&view) {
            continue;
        }
        let crowding = super::super::space::account::crowding_mm(&view);
        if crowding <= SOME_MM {
            continue;
        }
        let severity = if crowding > MUCH_MM { Severity::Error } else { Severity::Warning };
        let limit = if crowding > MUCH_MM { MUCH_MM } else { SOME_MM };
        let on = match cinched.as_slice() {
            [one] => format!("on the {one}"),
            _ => "on both sides".to_owned(),
        };
        let mut finding = view
            .finding(
                RULE.code,
                severity,
                view.clause_place(view.step.ends.of(cinched[0]).place),
                format!(
                    "The {} wire is cinched {on} in {}, and about {} of crowding needs arch length to resolve.",
                    view.side(),
                    view.step.name,
                    say_mm(crowding)
                ),
            )
            .why("A cinched end allows no arch lengthening: the crowding stays, or the molars come forward.")
            .figure(tenth(crowding), limit, "mm");
        if let Some(fix) = judged.texts.clinical(
            format!("turn the ends in, 2 mm slack, in {}", view.step.name),
            judged.texts.set_clause(view.arch, view.step, "ends turned-in slack 2 mm"),
        ) {
            finding = finding.fix(fix);
        }
        list.push(Candidate::new(view.side(), crowding, finding));
    }
    settle(judged.words(), list, out);
}
