//! Elastics in force in a step, in the form that the rules need.

use crate::RuleContext;
use crate::view::StepView;
use springline_model::case::{Case, ElasticRun, Elastics, ElasticsKind};
use springline_units::quantity::grams;
use springline_units::tooth::Side;

/// Grams in an ounce, as a limit is set.
pub const OUNCE_G: f64 = 28.35;

/// Kinds that pull along the arches.
pub fn pulls_along(kind: ElasticsKind) -> bool {
    matches!(kind, ElasticsKind::Class2 | ElasticsKind::Class3 | ElasticsKind::Diagonal)
}

/// The strongest elastic, g.
pub fn strongest_g(elastics: &Elastics) -> f64 {
    elastics.runs.iter().map(|r| grams(r.elastic.force)).fold(0.0, f64::max)
}

/// Force on one side, all elastics worn from the same step together, g.
pub fn side_g(case: &Case, like: &Elastics, side: Side) -> f64 {
    let same =
        |e: &&Elastics| e.from.as_ref().map(|(n, ..)| n) == like.from.as_ref().map(|(n, ..)| n);
    case.elastics
        .iter()
        .filter(same)
        .flat_map(|e| e.runs.iter())
        .filter(|r| r.side == side)
        .map(|r| grams(r.elastic.force))
        .sum()
}

/// The views of the steps in which these elastics are first worn, one an arch they touch.
pub fn first_worn<'a>(judged: &'a RuleContext<'a>, elastics: &Elastics) -> Vec<StepView<'a>> {
    let Some((from, ..)) = &elastics.from else { return Vec::new() };
    judged
        .views()
        .into_iter()
        .filter(|v| v.step.name == *from)
        .filter(|v| touches(elastics, v))
        .collect()
}

/// The views of all steps of the working kind from then on.
pub fn worn<'a>(judged: &'a RuleContext<'a>, elastics: &Elastics) -> Vec<StepView<'a>> {
    let Some((from, ..)) = &elastics.from else { return Vec::new() };
    judged
        .views()
        .into_iter()
        .filter(|v| touches(elastics, v))
        .filter(|v| {
            let first = v.arch.steps.iter().position(|s| s.name == *from);
            let same_kind =
                first.and_then(|i| v.arch.steps.get(i)).is_some_and(|s| s.kind == v.step.kind);
            first.is_some_and(|i| v.index >= i) && same_kind
        })
        .collect()
}

fn touches(elastics: &Elastics, view: &StepView<'_>) -> bool {
    elastics.runs.iter().any(|r| r.teeth.iter().any(|t| t.arch() == view.side()))
}

/// The run on that side.
pub fn run_on(elastics: &Elastics, side: Side) -> Option<&ElasticRun> {
    elastics.runs.iter().find(|r| r.side == side)
}
