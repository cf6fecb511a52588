//! An accept of what nobody may accept. The check itself is in `accept`, which knows what answered what.

use crate::accept::NEVER;
use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: NEVER,
    severity: Severity::Warning,
    page: include_str!("never_accepted.md"),
    check,
    ..Rule::PLAIN
};

fn check(_: &RuleContext<'_>, _: &mut Vec<Finding>) {}
