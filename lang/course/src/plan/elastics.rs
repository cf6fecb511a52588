//! Elastics that the plan prescribes in a step.

use crate::law::rules_of_thumb::SETTLE_DAYS;
use springline_model::Case;
use springline_model::case::Elastics;
use springline_model::step::Step;
use springline_units::tooth::Arch;

/// Days that a wire of this step settles where something waits for that: as written, else the usual.
pub(crate) fn settle_days(step: &Step) -> f64 {
    let said = step.settle.as_ref().map(|s| s.value.days());
    said.filter(|days| *days > 0.0).unwrap_or(SETTLE_DAYS)
}

/// Blocks of elastics worn during a step of an arch: from the step they name (in either arch that has it)
/// to the end of that step's kind; for the whole course where they name none.
pub fn elastics_in(case: &Case, arch: Arch, step: usize) -> Vec<usize> {
    let Some(arch_case) = case.arch(arch) else { return Vec::new() };
    let Some(this) = arch_case.steps.get(step) else { return Vec::new() };
    let worn = |block: &Elastics| {
        if !block.runs.iter().any(|r| r.teeth.iter().any(|t| t.arch() == arch)) {
            return false;
        }
        match &block.from {
            None => true,
            Some((name, _, _)) => arch_case
                .steps
                .iter()
                .position(|s| s.name == *name)
                .is_some_and(|from| from <= step && arch_case.steps[from].kind == this.kind),
        }
    };
    case.elastics.iter().enumerate().filter(|(_, e)| worn(e)).map(|(i, _)| i).collect()
}
