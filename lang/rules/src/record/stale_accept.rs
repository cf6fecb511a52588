//! An accept left behind. The check itself is in `accept`, which knows what answered what.

use crate::accept::STALE;
use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: STALE,
    severity: Severity::Warning,
    page: include_str!("stale_accept.md"),
    check,
    ..Rule::PLAIN
};

fn check(_: &RuleContext<'_>, _: &mut Vec<Finding>) {}
