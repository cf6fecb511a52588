//! Visits that do not follow each other.

use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "record/out-of-order",
    severity: Severity::Error,
    title: "visit out of order",
    finds: "A visit dated on or before the one written above it, or before the appliance was placed.",
    why: "The wire in place now is read from the last visit; in the wrong order it is the wrong wire.",
    what_to_do: "Write visits in the order in which they took place, or correct the date.",
    source: "the record itself",
    accept_when: "Never; correct the date.",
    failing: r#"springline 1
case "SM-9601"
use saltmarsh
start 2026-06-15
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 11 rotated 10 deg mesial-in
  follow usual
}
retain {
  night-time upper
}
seen 2026-10-12 by MT {
  upper kept
}
seen 2026-08-17 by MT { // <- here
  upper kept
}
"#,
    passing: r#"springline 1
case "SM-9601"
use saltmarsh
start 2026-06-15
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 11 rotated 10 deg mesial-in
  follow usual
}
retain {
  night-time upper
}
seen 2026-08-17 by MT {
  upper kept
}
seen 2026-11-12 by MT {
  upper kept
}
"#,
    check,
};

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let case = judged.case;
    let started = case
        .start
        .as_ref()
        .map(|(d, _)| *d)
        .into_iter()
        .chain(case.in_place.as_ref().map(|p| p.on))
        .min();
    let mut last: Option<&crate::model::case::Visit> = None;
    for visit in &case.visits {
        let before = last.filter(|l| visit.on <= l.on);
        let message = match (before, started) {
            (Some(before), _) if visit.on == before.on => {
                Some(format!("Two visits are written for {}; they are one visit.", visit.on))
            }
            (Some(before), _) => Some(format!(
                "This visit ({}) is before the one written above it ({}).",
                visit.on, before.on
            )),
            (None, Some(start)) if visit.on < start => Some(format!(
                "This visit ({}) is before the appliance was placed ({start}).",
                visit.on
            )),
            _ => None,
        };
        if let Some(message) = message {
            let mut finding = Finding::new(RULE.code, RULE.severity, visit.place, message)
                .why("The wire in place now is read from the last visit.");
            if let Some(before) = before {
                finding = finding.related(before.place, "this one comes later");
                let above = before.place;
                if visit.on < before.on
                    && let Some(fix) = moved(judged, visit.place, above)
                {
                    finding = finding.fix(fix);
                }
            }
            out.push(finding);
        } else {
            last = Some(visit);
        }
    }
}

/// The visit's lines moved above an earlier written one: only the order changes.
fn moved(
    judged: &Judged<'_>,
    visit: crate::finding::Place,
    above: crate::finding::Place,
) -> Option<crate::finding::Fix> {
    let mut edits = judged.texts.remove(visit)?;
    let taken = edits.first()?.clone();
    let lines = judged.texts.text(visit.file).get(taken.place.span.range())?.to_owned();
    let lines = if lines.ends_with('\n') { lines } else { format!("{lines}\n") };
    edits.extend(judged.texts.before(above, &lines)?);
    judged.texts.clinical("move it up", Some(edits))
}
