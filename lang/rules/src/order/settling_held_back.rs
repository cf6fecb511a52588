//! Settling elastics between two wires that do not give.

use crate::prelude::*;
use crate::support::elastics::worn;
use crate::support::strength::is_rigid_alloy;
use springline_model::case::ElasticsKind;

pub const RULE: Rule = Rule {
    code: "order/settling-held-back",
    severity: Severity::Warning,
    page: include_str!("settling_held_back.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for elastics in context.case.elastics.iter().filter(|e| e.kind == ElasticsKind::Settling) {
        let views = worn(context, elastics);
        // A section leaves the teeth beside it free; a whole rigid wire holds all.
        let holds = |v: &&StepView<'_>| {
            let wire = &v.wire().wire;
            let rigid = is_rigid_alloy(wire) && !wire.section.is_round();
            rigid && !v.acts().any(|a| matches!(a.kind, ActKind::Sectional { .. }))
        };
        let held = |arch| views.iter().filter(|v| v.side() == arch).find(holds);
        let (Some(upper), Some(lower)) = (held(Arch::Upper), held(Arch::Lower)) else { continue };
        let free = |arch| views.iter().any(|v| v.side() == arch && !holds(&v));
        if free(Arch::Upper) || free(Arch::Lower) {
            continue;
        }
        let place = elastics.runs.first().map_or(elastics.place, |r| r.place);
        let message = format!(
            "Settling elastics are worn on {} above and {} below.",
            upper.wire().label(),
            lower.wire().label()
        );
        let mut finding = Finding::new(RULE.code, RULE.severity, place, message)
            .why("Between two rigid wires no tooth can settle into its contacts.")
            .note("A round superelastic wire, or a section of the front teeth, in one arch lets them.");
        if let Some((from, ..)) = &elastics.from {
            finding = finding.step(from.clone());
        }
        let light = lightest(context, lower);
        finding.fixes.extend(light.and_then(|name| {
            let fix = context.fix(format!("{name} in {} of the lower arch", lower.step.name));
            fix.set_clause(lower.arch, lower.step, ClauseKind::Wire, &name).done()
        }));
        out.push(finding);
    }
}

/// The stoutest round superelastic wire of the drawer: it gives, and keeps the teeth in line.
fn lightest(context: &RuleContext<'_>, view: &StepView<'_>) -> Option<String> {
    let drawer = context.case.house.wires.values();
    let round = drawer.filter(|w| w.alloy.is_niti() && w.section.is_round());
    let fits = round.filter(|w| view.goes_in(w.section, 0.0));
    let stoutest = fits.max_by(|a, b| {
        let height = |w: &springline_model::Wire| sizes_mm(w.section).0;
        height(a).total_cmp(&height(b)).then(b.name.cmp(&a.name))
    });
    stoutest.map(|w| w.name.to_string())
}
