//! Elastics that the plan prescribes in a step.

use springline_model::Case;
use springline_model::case::Elastics;
use springline_units::tooth::Arch;

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
