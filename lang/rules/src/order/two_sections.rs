//! Two sections of wire in one step of an arch.

use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/two-sections",
    severity: Severity::Error,
    title: "two sectional wires in one step",
    finds: "A step in which `sectional` is written more than once: two sectional wires. Teeth written in one \
           `sectional` share one wire, which passes those between.",
    why: "Forces and times are computed for one wire per arch. Taken as one, the two sections would hold each \
         other across the front, which they do not.",
    what_to_do: "Write one section, or one wire over the teeth of both; describe the other section in a note.",
    source: "one wire per arch is computed",
    accept_when: "Never: the computation would not match the plan.",
    failing: r#"springline 1
case "SM-9330"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  step sections as work, wire beta-19x25, until 8 wk, next 6 wk {
    sectional 13..16
    sectional 23..26 // <- here
  }
}
retain {
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9330"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  step sections as work, wire beta-19x25, until 8 wk, next 6 wk {
    sectional 13..16
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
        let sections: Vec<(&Act, &[Tooth])> = view
            .acts()
            .filter_map(|act| match &act.kind {
                ActKind::Sectional { teeth } => Some((act, teeth.as_slice())),
                _ => None,
            })
            .collect();
        let [(_, first), .., (act, last)] = sections.as_slice() else { continue };
        let message = format!(
            "{} has {} sectional wires, on {} and on {}; only one wire per arch can be computed.",
            view.step.name,
            sections.len(),
            words.teeth(first),
            words.teeth(last)
        );
        let mut finding = view
            .finding(RULE.code, RULE.severity, view.act_place(act), message)
            .why("Taken as one wire the sections would hold each other, which they do not.")
            .teeth(last.iter().copied());
        if let Some(fix) =
            judged.texts.clinical("remove this section", judged.texts.remove(act.place))
        {
            finding = finding.fix(fix);
        }
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    settle(words, list, out);
}
