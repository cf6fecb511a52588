//! Nickel-titanium that is not superelastic at the temperature of the mouth.

use crate::prelude::*;
use springline_model::Wire;

pub const RULE: Rule = Rule {
    code: "order/soft-in-the-mouth",
    severity: Severity::Warning,
    page: include_str!("soft_in_the_mouth.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        let mut wires: Vec<&Wire> = vec![&view.wire().wire];
        wires.extend(view.wire().tandem.as_deref());
        wires.extend(view.acts().filter_map(|act| match &act.kind {
            ActKind::Piggyback { wire, .. } => Some(wire.as_ref()),
            _ => None,
        }));
        for wire in wires {
            let Some(af_c) = wire.soft_in_mouth() else { continue };
            let mouth_c = wire.mouth_c;
            let place = view.clause_place(view.step.wire.place);
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    place,
                    format!(
                        "{} in {}: its Af of {} C lies above the {} C of the mouth, so it is soft there, not superelastic.",
                        wire.label(),
                        view.step.name,
                        plain(af_c),
                        plain(mouth_c)
                    ),
                )
                .why("Part of it stays martensite: it bends easily, keeps a bend and pushes little; it comes back only where something warms it.")
                .figure(af_c, mouth_c, Unit::C)
                .related(wire.place, "its Af in the practice file")
                .note("Take a wire of a lower Af, or correct the Af or the `mouth-temperature` in the practice file.");
            if std::ptr::eq(wire, view.wire().wire.as_ref())
                && let Some(name) = superelastic_of_that_size(context, wire)
            {
                let fix = context.fix(format!("{name} in {}", view.step.name));
                let fix = fix.set_clause(view.arch, view.step, ClauseKind::Wire, &name);
                finding.fixes.extend(fix.done());
            }
            list.push(Candidate::new(view.side(), af_c - mouth_c, finding));
        }
    }
    merge_per_arch(context.words(), list, out);
}

/// The wire of the drawer that is superelastic in the mouth and comes nearest in size.
fn superelastic_of_that_size(context: &RuleContext<'_>, wire: &Wire) -> Option<String> {
    let wires = context.case.house.wires.values();
    let from = |w: &Wire| {
        let ((a, b), (c, d)) = (sizes_mm(w.section), sizes_mm(wire.section));
        (a - c).abs() + (b - d).abs()
    };
    wires
        .filter(|w| w.alloy.is_niti() && w.soft_in_mouth().is_none())
        .min_by(|a, b| from(a).total_cmp(&from(b)))
        .map(|w| w.name.to_string())
}
