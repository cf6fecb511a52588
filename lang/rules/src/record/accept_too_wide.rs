//! An accept that reaches far past what it answers. The check itself is in `accept`, which knows what answered what.

use crate::accept::TOO_WIDE;
use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: TOO_WIDE,
    severity: Severity::Warning,
    page: include_str!("accept_too_wide.md"),
    check,
    ..Rule::PLAIN
};

fn check(_: &RuleContext<'_>, _: &mut Vec<Finding>) {}
