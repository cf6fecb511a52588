//! A breakage that was noted and not mended.

use crate::model::case::Trouble;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "record/loose-not-mended",
    severity: Severity::Warning,
    title: "breakage recorded, not repaired",
    finds: "A bracket recorded as loose, or a stop as lost, at the last visit, with nothing in that visit or in \
           the steps to come that replaces it.",
    why: "The next card would not show it.",
    what_to_do: "Write `rebond 15` in the visit or in the step in which it is done.",
    source: "the record itself",
    accept_when: "It was repaired at once and the note says so.",
    failing: r#"springline 1
case "SM-9606"
use saltmarsh
start 2026-08-17
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 11 rotated 10 deg mesial-in
  follow usual
}
retain {
  night-time upper
}
seen 2026-11-09 by MT {
  upper kept
  loose 15 // <- here
}
"#,
    passing: r#"springline 1
case "SM-9606"
use saltmarsh
start 2026-08-17
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 11 rotated 10 deg mesial-in
  follow usual
}
retain {
  night-time upper
}
seen 2026-11-09 by MT {
  upper kept {
    rebond 15
  }
  loose 15
}
"#,
    check,
};

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let case = judged.case;
    let words = judged.words();
    let Some(visit) = case.visits.last() else { return };
    let mended = |tooth: Tooth| {
        let puts_back = |act: &Act| match &act.kind {
            ActKind::Rebond { teeth, .. }
            | ActKind::Reposition { teeth, .. }
            | ActKind::PickUp { teeth, .. }
            | ActKind::Bypass { teeth, .. } => teeth.contains(&tooth),
            _ => false,
        };
        visit.arches.iter().flat_map(|a| &a.acts).any(puts_back)
            || judged.views().iter().any(|v| v.step.acts.iter().any(puts_back))
            || visit.notes.iter().any(|n| n.contains(&words.tooth(tooth)))
    };
    for (trouble, place) in &visit.troubles {
        let Trouble::Loose { teeth } = trouble else { continue };
        let open: Vec<Tooth> = teeth.iter().copied().filter(|t| !mended(*t)).collect();
        let Some(first) = open.first() else { continue };
        let mut finding = Finding::new(
            RULE.code,
            RULE.severity,
            *place,
            format!(
                "The bracket of {} was loose on {}; no rebond is recorded.",
                words.teeth(&open),
                visit.on
            ),
        )
        .why("The next card would not show it.")
        .teeth(open.iter().copied());
        let seen = visit.arches.iter().find(|a| a.arch == first.arch());
        if let Some(seen) = seen
            && open.iter().all(|t| t.arch() == first.arch())
            && let Some(fix) = judged.texts.clinical(
                format!("rebonded at this visit: rebond {}", words.list(&open)),
                judged.texts.add_inside(seen.place, &[format!("rebond {}", words.list(&open))]),
            )
        {
            finding = finding.fix(fix);
        }
        out.push(finding);
    }
}
