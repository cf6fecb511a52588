//! What one rule is: its code, its page, its check, the figure it judges, and the rules it yields to.

use super::RuleContext;
use super::page::RulePage;
use super::view::StepView;
use springline_finding::{Finding, Severity};
use springline_model::limits::Limit;

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
    /// Rules whose finding makes this one needless: where one of them reports the same step with at least the
    /// same severity, this rule reports nothing. `force/peak` yields to `force/sustained`: a force that
    /// lasts says all that its peak would. Applied by [`Rule::yields`].
    pub yields_to: &'static [&'static str],
    /// The severity with which it reports a step, `None` for no finding; for rules that others yield to.
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

/// How to tell that a finding which appears after a fix was there before, hidden because its rule yielded to
/// a graver one. A fix is withdrawn for what it makes worse, not for what it brings to light.
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

    /// Its page: documentation and examples.
    pub fn page(&self) -> RulePage<'static> {
        RulePage::read(self.page)
    }

    pub fn family(&self) -> &'static str {
        self.code.split('/').next().unwrap_or(self.code)
    }
}
