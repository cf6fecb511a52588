//! Teeth as a statement names them: one by one, or as the ends of a range. Between the ends of a range may lie
//! teeth that are not there, and nobody meant those.

use crate::RuleContext;
use springline_model::step::Act;
use springline_syntax::FieldValue;
use springline_units::tooth::Tooth;

/// The teeth that the statement of this act names, without the inside of ranges.
pub fn named_teeth(context: &RuleContext<'_>, act: &Act) -> Vec<Tooth> {
    let Some(line) = context.trees.statement(act.place) else { return act.kind.teeth() };
    let spans = line.group().field_values().flat_map(FieldValue::teeth);
    let ends = spans.flat_map(|span| [Some(span.first), span.last]).flatten();
    let mut out: Vec<Tooth> = ends.filter_map(|at| Tooth::parse(line.parse.text(at))).collect();
    out.dedup();
    out
}
