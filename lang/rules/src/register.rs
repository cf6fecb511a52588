//! The register of all clinical rules, by family.

use super::RuleContext;
use super::page::RulePage;
use springline_finding::{Finding, Severity};

/// The families, in the order of the reference page.
pub const FAMILIES: &[(&str, &str)] = &[
    ("syntax", "text that cannot be read"),
    ("name", "names that are unknown, duplicated or misplaced"),
    ("unit", "quantities with no unit, the wrong unit or an impossible value"),
    ("force", "forces and moments on the teeth"),
    ("space", "teeth and the space they need"),
    ("order", "which wire when, and with what"),
    ("slide", "where the wire may slide and where it may not"),
    ("time", "when the patient is seen"),
    ("record", "what was recorded at visits"),
];

/// One rule of the trade.
pub struct Rule {
    /// `family/fault`; reads well after "accept".
    pub code: &'static str,
    /// The heaviest it can be.
    pub severity: Severity,
    /// The text of its page, the file of the same name beside it; [`Rule::page`] reads it.
    pub page: &'static str,
    pub check: fn(&RuleContext<'_>, &mut Vec<Finding>),
}

impl Rule {
    /// Its page: documentation and examples.
    pub fn page(&self) -> RulePage<'static> {
        RulePage::read(self.page)
    }

    pub fn family(&self) -> &'static str {
        self.code.split('/').next().unwrap_or(self.code)
    }
}

/// The families' rules, each in its order of weight.
const BY_FAMILY: [&[&Rule]; 6] = [
    super::force::RULES,
    super::space::RULES,
    super::order::RULES,
    super::slide::RULES,
    super::time::RULES,
    super::record::RULES,
];

const COUNT: usize = {
    let (mut n, mut family) = (0, 0);
    while family < BY_FAMILY.len() {
        n += BY_FAMILY[family].len();
        family += 1;
    }
    n
};

const ALL: [&Rule; COUNT] = {
    let mut all = [BY_FAMILY[0][0]; COUNT];
    let (mut n, mut family) = (0, 0);
    while family < BY_FAMILY.len() {
        let mut at = 0;
        while at < BY_FAMILY[family].len() {
            all[n] = BY_FAMILY[family][at];
            n += 1;
            at += 1;
        }
        family += 1;
    }
    all
};

/// Every rule, by family, then by weight.
pub const RULES: &[&Rule] = &ALL;

/// The rule of that code.
pub fn rule(code: &str) -> Option<&'static Rule> {
    RULES.iter().copied().find(|r| r.code == code)
}
