//! Rates of space closure and bite correction during a step.

use crate::law::rates::{
    CHAIN_MM_PER_MONTH, CLOSING_COIL_MM_PER_MONTH, LIGATURE_MM_PER_MONTH, OVERBITE_MM_PER_MONTH,
    overjet_mm_per_day, per_day,
};
use crate::plan::state::ArchState;
use springline_model::Case;
use springline_model::step::{ActKind, StepKind};
use springline_units::tooth::Tooth;

/// How fast overjet and overbite change during a phase, mm a day at unit rate.
pub(crate) fn bite_rates(case: &Case, elastics: &[usize], state: &ArchState) -> (f64, f64) {
    let worn = elastics.iter().filter_map(|i| case.elastics.get(*i));
    let jet = worn.map(overjet_mm_per_day).sum();
    let levels = state.kind != StepKind::Align
        && (!state.wire.wire.section.is_round()
            || state.acts.iter().any(|a| matches!(a.kind, ActKind::ReverseCurve { .. })));
    (jet, if levels { -per_day(OVERBITE_MM_PER_MONTH) } else { 0.0 })
}

/// How fast a gap closes under what pulls across it, mm a day at unit rate.
pub(crate) fn closing_mm_per_day(state: &ArchState, gap: (Tooth, Tooth)) -> f64 {
    let across = |a: Tooth, b: Tooth| a.min(b) <= gap.0 && gap.1 <= a.max(b);
    let rate = |act: &springline_model::step::Act| match &act.kind {
        ActKind::ClosingCoil { pulls, .. } => pulls
            .iter()
            .any(|(a, b)| across(a.tooth(), b.tooth()))
            .then_some(CLOSING_COIL_MM_PER_MONTH),
        ActKind::Chain { teeth, .. } => match (teeth.iter().min(), teeth.iter().max()) {
            (Some(a), Some(b)) if across(*a, *b) => Some(CHAIN_MM_PER_MONTH),
            _ => None,
        },
        ActKind::Laceback { pairs } => {
            pairs.iter().any(|(a, b)| across(*a, *b)).then_some(LIGATURE_MM_PER_MONTH)
        }
        _ => None,
    };
    per_day(state.acts.iter().filter_map(rate).fold(0.0, f64::max))
}
