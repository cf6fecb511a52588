//! Elastics that the plan prescribes in a step.

use crate::law::rules_of_thumb::{ELASTICS_DAYS, SETTLE_DAYS, longest_worn_days};
use crate::plan::measures::first_met;
use jiff::civil::Date;
use springline_model::Case;
use springline_model::case::Elastics;
use springline_model::step::Step;
use springline_units::quantity::Period;
use springline_units::tooth::Arch;

/// Days that a wire of this step settles where something waits for that: as written, else the usual.
pub(crate) fn settle_days(step: &Step) -> f64 {
    let said = step.settle.as_ref().map(|s| s.value.days());
    said.filter(|days| *days > 0.0).unwrap_or(SETTLE_DAYS)
}

/// Blocks of elastics worn during a step of an arch: from the step they name (in either arch that has it)
/// to the end of that step's kind, to the step that ends them, or to the step from which a later block hangs
/// on the same hooks; for the whole course where they name none.
pub fn elastics_in(case: &Case, arch: Arch, step: usize) -> Vec<usize> {
    let Some(arch_case) = case.arch(arch) else { return Vec::new() };
    let Some(this) = arch_case.steps.get(step) else { return Vec::new() };
    let position = |name: &str| arch_case.steps.iter().position(|s| *s.name == *name);
    let begins = |block: &Elastics| block.from.as_ref().and_then(|(name, ..)| position(name));
    let worn = |(index, block): &(usize, &Elastics)| {
        if !block.runs.iter().any(|r| r.teeth.iter().any(|t| t.arch() == arch)) {
            return false;
        }
        let from = begins(block);
        let has_begun = match (&block.from, from) {
            (None, _) => true,
            (Some(_), Some(from)) => from <= step && arch_case.steps[from].kind == this.kind,
            (Some(_), None) => false,
        };
        let end = block.until_step.as_ref().and_then(|(name, _)| position(name));
        let is_replaced = case.elastics.iter().skip(index + 1).any(|later| {
            let then = begins(later);
            then > from && then.is_some_and(|then| then <= step) && share_hooks(block, later)
        });
        has_begun && end.is_none_or(|end| step < end) && !is_replaced
    };
    case.elastics.iter().enumerate().filter(worn).map(|(i, _)| i).collect()
}

/// The longest time that a block is worn: as the plan has it, else as is usual for the kind.
pub(crate) fn longest(block: &Elastics) -> Period {
    let said = block.longest.as_ref().map(|(longest, _)| *longest);
    said.unwrap_or_else(|| Period::days_of(longest_worn_days(block.kind)))
}

/// The day on which a block worn from a day on is taken off: its aim on record, or its longest time over.
/// The usual time is no order: who has worn them so long is asked at the next visit.
pub(crate) fn last_day(case: &Case, block: &Elastics, first: Date) -> Option<Date> {
    let recorded = block.until.as_ref().and_then(|(c, _)| first_met(case, c));
    let more = if block.longest.is_some() { 0.0 } else { ELASTICS_DAYS };
    let over = longest(block).after(first).and_then(|day| Period::days_of(more).after(day));
    recorded.into_iter().chain(over).min()
}

/// An elastic of each runs between the same teeth.
pub(crate) fn share_hooks(a: &Elastics, b: &Elastics) -> bool {
    a.runs.iter().any(|run| b.runs.iter().any(|other| other.teeth == run.teeth))
}
