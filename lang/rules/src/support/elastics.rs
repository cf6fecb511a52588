//! Elastics in force in a step, in the form that the rules need.

use crate::RuleContext;
use crate::support::role::{WireRole, purpose, role};
use crate::view::StepView;
use springline_model::case::{Case, ElasticRun, Elastics, ElasticsKind};
use springline_model::step::StepKind;
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
pub fn first_worn<'a>(context: &'a RuleContext<'a>, elastics: &Elastics) -> Vec<StepView<'a>> {
    let first = |v: &StepView<'_>| elastics.from.as_ref().is_some_and(|(n, ..)| *n == v.step.name);
    worn(context, elastics).into_iter().filter(first).collect()
}

/// The views of all steps of the working kind from then on.
pub fn worn<'a>(context: &'a RuleContext<'a>, elastics: &Elastics) -> Vec<StepView<'a>> {
    let block = context.case.elastics.iter().position(|e| e.place == elastics.place);
    let Some(block) = block.filter(|_| elastics.from.is_some()) else { return Vec::new() };
    let timeline = &context.forecast.timeline;
    let is_worn = |v: &StepView<'_>| timeline.elastics_in(v.side(), v.index).contains(&block);
    context.views().into_iter().filter(is_worn).collect()
}

/// Said of a light rectangular wire.
pub const LEVELLING: &str = "still levelling";

/// What a wire still is that carries no pull along the arch.
pub fn too_light(view: &StepView<'_>) -> Option<&'static str> {
    let wire = &view.wire().wire;
    match purpose(view) {
        _ if wire.section.is_round() => Some("a round wire"),
        StepKind::Align => Some("still aligning"),
        StepKind::Level if role(wire) == WireRole::Levelling => Some(LEVELLING),
        _ => None,
    }
}

/// The run on that side.
pub fn run_on(elastics: &Elastics, side: Side) -> Option<&ElasticRun> {
    elastics.runs.iter().find(|r| r.side == side)
}
