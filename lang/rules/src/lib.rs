//! Clinical rules, one file each, and their register.
//!
//! A rule reads the checked case and its predicted course and reports findings; it changes nothing. Its
//! documentation and examples are in the page beside it (`page`), which the reference page, `explain` and
//! the editor's link use.
//!
//! Deliberately absent: a rule never reads another rule's findings, never solves a wire that the course
//! has already solved, and reports nothing about a step with a line that could not be read. The crate
//! must not know lowering or documents.

pub mod accept;
pub mod force;
pub(crate) mod lighter_wire;
mod merge_per_arch;
mod order;
pub mod page;
mod plan_fix;
mod record;
pub mod register;
pub mod rule;
pub mod slide;
mod space;
mod support;
mod time;
mod view;
mod wording;

pub use plan_fix::{PlanFix, Trees};
pub use register::{FAMILIES, rule};
pub use rule::Rule;

use jiff::civil::Date;

use springline_finding::Finding;
use springline_model::Case;

/// What every rule's file uses.
mod prelude {
    pub use super::RuleContext;
    pub(crate) use super::lighter_wire::{self, lighter_wire_fixes};
    pub use super::merge_per_arch::{Candidate, merge_per_arch};
    pub(super) use super::plan_fix;
    pub use super::rule::{Judges, Rule, ToothFigure, Unsaid};
    pub use super::view::{StepView, current_stand, described, sizes_mm, width_mm};
    pub use super::wording::{
        apart, listed, say_deg, say_force, say_mm, say_times, say_weeks, tenth, weeks,
    };
    pub use springline_finding::{Finding, Severity};
    pub use springline_model::limits::Limit;
    pub use springline_model::step::{Act, ActKind, StepKind};
    pub use springline_syntax::{ClauseKind, FieldValue, PlaceholderKind, StatementRef};
    pub use springline_units::quantity::{Unit, degrees, grams, mm, newtons_to_grams, plain};
    pub use springline_units::tooth::{Arch, Side, Tooth};
}

/// Everything a rule may look at.
pub struct RuleContext<'a> {
    pub case: &'a Case,
    pub forecast: &'a springline_course::Forecast,
    /// The day of the check, where the caller has one; rules about today are silent without.
    pub today: Option<Date>,
    /// The trees, so that a fix can be phrased as an edit of what was written.
    pub trees: &'a Trees,
}

/// Runs every rule and applies the doctor's acceptances; findings are in the order of the register, worst
/// tooth first within a rule.
pub fn judge(context: &RuleContext<'_>) -> Vec<Finding> {
    judge_until(context, &|| false)
}

/// The same, cut short between two rules once nobody waits for it.
pub fn judge_until(context: &RuleContext<'_>, is_stopped: &dyn Fn() -> bool) -> Vec<Finding> {
    let mut out = Vec::new();
    for rule in register::RULES {
        if is_stopped() {
            return out;
        }
        (rule.check)(context, &mut out);
    }
    accept::accept(context, &mut out);
    out
}
