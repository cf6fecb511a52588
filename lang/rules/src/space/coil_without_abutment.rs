//! A coil that pushes against nothing.

use super::coil::open_coils;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "space/coil-without-abutment",
    severity: Severity::Error,
    title: "coil without abutment",
    finds: "An open coil one of whose two teeth is not in the wire: not bonded, bypassed, or not present.",
    why: "The coil slides along the wire to the next bracket and pushes there, or off the end of the wire.",
    what_to_do: "Name the two teeth in the wire that it really pushes apart, or engage the tooth.",
    source: "mechanics: a coil needs two abutments",
    accept_when: "Never; name the teeth it pushes on.",
    failing: r#"springline 1
case "SM-9208"
use saltmarsh
start 2026-11-23
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  follow usual
  change work, wire steel-19x25 {
    open-coil between 36 and 37 with open-100, activated 2 mm each visit // <- here
  }
}
retain {
  fixed 43..33
}
"#,
    passing: r#"springline 1
case "SM-9208"
use saltmarsh
start 2026-11-23
lower {
  bonded 45..35 with twin
  tubes 46, 36, 47, 37 with molar
  follow usual
  change work, wire steel-19x25 {
    open-coil between 36 and 37 with open-100, activated 2 mm each visit
  }
}
retain {
  fixed 43..33
}
"#,
    check,
};

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = judged.words();
    for view in judged.views() {
        for coil in open_coils(&view) {
            let loose: Vec<Tooth> =
                [coil.right, coil.left].into_iter().filter(|t| !view.is_in_wire(*t)).collect();
            if loose.is_empty() || !coil.new {
                continue;
            }
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    view.act_place(coil.act),
                    format!(
                        "The coil between {} and {} in {} has no abutment at {}, which is not in the wire.",
                        words.tooth(coil.right),
                        words.tooth(coil.left),
                        view.step.name,
                        words.teeth(&loose)
                    ),
                )
                .why("It slides to the next bracket and pushes there, or off the end of the wire.")
                .teeth(loose.clone());
            if let Some(fix) =
                judged.texts.clinical("remove the coil", judged.texts.remove(coil.act.place))
            {
                finding = finding.fix(fix);
            }
            list.push(Candidate::new(view.side(), loose.len() as f64, finding));
        }
    }
    settle(words, list, out);
}
