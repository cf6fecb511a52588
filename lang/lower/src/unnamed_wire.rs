//! Reports a visit that begins a step without naming its wire. The plan's wire is offered as a fix, never
//! assumed: the record states what was inserted.

use super::read::LoweringContext;
use super::word_values;
use springline_finding::Finding;
use springline_model::case::Case;
use springline_syntax::ast::{DonePart, SeenArchLine, SeenLine};
use springline_text::Span;

pub fn check(reader: &mut LoweringContext<'_>, case: &Case) {
    let parse = reader.parse;
    let seen = parse.lines().filter_map(SeenLine::cast);
    for line in seen.flat_map(|l| l.statement.children()).filter_map(SeenArchLine::cast) {
        let Some(DonePart::Now { step, wire: None, .. }) = line.done else { continue };
        let arch = word_values::arch(line.arch);
        let planned = case
            .arch(arch)
            .and_then(|a| a.steps.iter().find(|s| s.name.as_ref() == step.text()))
            .map(|s| s.wire.value.names().replace(" + ", " tandem "));
        let mut finding = Finding::error(
            "name/unsaid-wire",
            step.place(),
            format!("Which wire was placed for {}?", step.text()),
        )
        .why("The record states what was done; the plan only what was intended.");
        if let Some(wire) = planned {
            let end = step.span().end;
            let place = parse.place(Span { start: end, end });
            finding = finding.clinical_fix(
                format!("write `with {wire}`, as planned"),
                place,
                format!(" with {wire}"),
            );
        }
        reader.report(finding);
    }
}
