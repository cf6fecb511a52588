//! Maximum anchorage said, and nothing that gives it.

use crate::model::case::Anchorage;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/anchorage-unsecured",
    severity: Severity::Warning,
    title: "anchorage not secured",
    finds: "An arch with `anchorage maximum` in which no step has a laceback, a tie over the back teeth, and no bar or \
            screw is written.",
    why: "The back teeth come forward into the space that the front teeth should have.",
    what_to_do: "Write the laceback, palatal arch, tie or screw that holds them.",
    source: "common practice, no source",
    accept_when: "Head-gear is worn, and the note says so.",
    failing: r#"springline 1
case "SM-9418"
use saltmarsh
start 2026-11-23
upper {
  anchorage maximum // <- here
  bonded 15..25 with twin
  tubes 16, 26 with molar
  follow firm
}
retain {
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9418"
use saltmarsh
start 2026-11-23
upper {
  anchorage maximum
  palatal-arch 16 to 26
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
    for arch in &judged.case.arches {
        let Some((Anchorage::Maximum, place)) = arch.anchorage else { continue };
        let held = !arch.bars.is_empty()
            || !arch.screws.is_empty()
            || arch.steps.iter().flat_map(|s| &s.acts).any(|a| match &a.kind {
                ActKind::Laceback { .. } => true,
                ActKind::Tie { teeth, .. } => {
                    teeth.iter().filter(|t| t.position() >= 5).count() >= 2
                }
                _ => false,
            });
        if held || arch.is_unread() {
            continue;
        }
        let words = judged.words();
        let molars: Vec<Tooth> =
            arch.bonded.keys().copied().filter(|t| t.position() == 6).collect();
        let mut finding = Finding::new(
            RULE.code,
            RULE.severity,
            place,
            format!(
                "Maximum anchorage is asked for in the {} arch, and nothing in the plan holds the back teeth.",
                arch.arch
            ),
        )
        .why("The back teeth come forward into the space that the front teeth should have.");
        if let [right, left] = molars.as_slice()
            && let Some(fix) = judged.texts.clinical(
                "a bar between the molars",
                judged.texts.add_to_arch(
                    arch,
                    &format!("palatal-arch {} to {}", words.tooth(*right), words.tooth(*left)),
                ),
            )
        {
            finding = finding.fix(fix);
        }
        out.push(finding);
    }
}
