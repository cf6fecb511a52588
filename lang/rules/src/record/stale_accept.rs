//! An accept left behind. The check itself is in `accept`, which knows what answered what.

use crate::rules::accept::STALE;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: STALE,
    severity: Severity::Warning,
    title: "stale acceptance",
    finds: "An `accept` whose finding no longer exists, has grown past its figure, or whose day or step has \
           passed; one that states no figure though the finding has one; one for a rule that does not exist; or \
           one for a mistake in the text, which can only be corrected.",
    why: "A stale acceptance could hide a finding that nobody has looked at.",
    what_to_do: "Remove it, or look again and write the new figure.",
    source: "the file itself",
    accept_when: "Never; remove it.",
    failing: r#"springline 1
case "SM-9607"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 11 rotated 10 deg mesial-in
  follow usual
  accept slide/locked because "wanted" by KL // <- here
}
retain {
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9607"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 11 rotated 10 deg mesial-in
  follow usual
  change align, next 16 wk {
    accept time/interval-too-long up to 16 wk because "lives abroad" by KL
  }
}
retain {
  night-time upper
}
"#,
    check,
};

fn check(_: &Judged<'_>, _: &mut Vec<Finding>) {}
