//! Right and left mixed up.

use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/wrong-side",
    severity: Severity::Error,
    title: "right and left mixed up",
    finds: "A closing coil, laceback or sleeve that runs from one side of the mouth to the other, incisors apart. (An \
            elastic that crosses the mouth is found where names are read.)",
    why: "It would cross the mouth. Right and left are always the patient's; one of the two is a slip.",
    what_to_do: "Write the tooth of the right side, or move the line.",
    source: "geometry",
    accept_when: "Never.",
    failing: r#"springline 1
case "SM-9401"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..13, 23..25 with twin
  bonded 12..22 with twin
  tubes 16, 26 with molar
  follow usual
  change align {
    laceback 16 to 23 // <- here
  }
}
retain {
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9401"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  follow usual
  change align {
    laceback 16 to 13, 26 to 23
  }
}
retain {
  night-time upper
}
"#,
    check,
};

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let words = judged.words();
    for arch in &judged.case.arches {
        for step in &arch.steps {
            for act in &step.acts {
                let pairs: Vec<(Tooth, Tooth)> = match &act.kind {
                    ActKind::ClosingCoil { pulls, .. } => {
                        pulls.iter().map(|(a, b)| (a.tooth(), b.tooth())).collect()
                    }
                    ActKind::Laceback { pairs } => pairs.clone(),
                    ActKind::Sleeve { spans } => spans.clone(),
                    _ => continue,
                };
                let Some((a, b)) = pairs
                    .into_iter()
                    .find(|(a, b)| a.side() != b.side() && a.position().max(b.position()) > 2)
                else {
                    continue;
                };
                let what = act.kind.keyword();
                let mirrored = b.mirror();
                let mut finding = Finding::new(
                    RULE.code,
                    RULE.severity,
                    act.place,
                    format!(
                        "The {what} in {} runs from {} to {}, across the midline.",
                        step.name,
                        words.tooth(a),
                        words.tooth(b)
                    ),
                )
                .why("It would pull across the front teeth; one of the two sides is a slip.")
                .teeth([a, b])
                .step(step.name.clone());
                if let Some(fix) = judged.texts.clinical(
                    format!("write {}", words.tooth(mirrored)),
                    judged.texts.replace_in(act.place, &words.tooth(b), &words.tooth(mirrored)),
                ) {
                    finding = finding.fix(fix);
                }
                out.push(finding);
            }
        }
    }
}
