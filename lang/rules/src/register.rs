//! The register of all clinical rules, by family.

pub use super::rule::Rule;
use super::view::StepView;
use springline_finding::Severity;

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

impl Rule {
    /// A rule that this one yields to speaks of the step, as gravely or more.
    pub fn yields(&self, view: &StepView<'_>, severity: Severity) -> bool {
        let verdicts = self.yields_to.iter().filter_map(|code| rule(code)?.verdict);
        let gravest = verdicts.filter_map(|verdict| verdict(view)).min();
        gravest.is_some_and(|said| said <= severity)
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
