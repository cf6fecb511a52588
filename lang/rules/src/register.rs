//! The register of all clinical rules, by family.

use super::RuleContext;
use super::page::RulePage;
use super::view::StepView;
use springline_finding::{Finding, Severity};
use springline_model::limits::Limit;

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
    /// The figure of a tooth that it judges; every rule of the forces says one.
    pub figure: Option<ToothFigure>,
    /// Rules that say it better: of a step they speak of as gravely, this one is silent ([`Rule::yields`]).
    pub yields_to: &'static [&'static str],
    /// How gravely it speaks of a step, where other rules yield to it.
    pub verdict: Option<fn(&StepView<'_>) -> Option<Severity>>,
}

/// A figure of a tooth under a wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ToothFigure {
    pub judges: Judges,
    pub unsaid: Unsaid,
}

/// Which figure it is. The recomputed plan says the same one of a fix: "then 43 g on 12".
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Judges {
    /// Force when the wire goes in.
    Peak,
    /// Force after 0.2 mm of tooth movement.
    Delivered,
    /// The part of it that intrudes.
    Intrusion,
    /// Force after 0.5 mm of tooth movement.
    Sustained,
    /// The largest couple after 0.2 mm of tooth movement.
    Couple,
    /// What a stiff wire has left to remove, in the unit of the finding; of any other, the force after 0.2 mm.
    LeftOver,
    /// The degrees of torque that arrive.
    Torque,
    /// No single force on a tooth: the rule's own text about its fix is used.
    NoForce,
}

/// How a finding is known to be no worse than before, where a graver one had left it unsaid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unsaid {
    /// Its figure was past one of these limits before, by no less.
    Past(&'static [Limit]),
    /// It is about where a tooth stands, and no fix moves one.
    Stands,
    /// It is new.
    Never,
}

impl Rule {
    /// What a rule does not say of itself.
    pub(crate) const PLAIN: Rule = Rule {
        code: "",
        severity: Severity::Advice,
        page: "",
        check: |_, _| {},
        figure: None,
        yields_to: &[],
        verdict: None,
    };

    /// A rule that this one yields to speaks of the step, as gravely or more.
    pub fn yields(&self, view: &StepView<'_>, severity: Severity) -> bool {
        let verdicts = self.yields_to.iter().filter_map(|code| rule(code)?.verdict);
        let gravest = verdicts.filter_map(|verdict| verdict(view)).min();
        gravest.is_some_and(|said| said <= severity)
    }

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
