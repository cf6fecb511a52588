//! A tooth so far off that the computed force may understate it.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "force/far-tooth",
    severity: Severity::Warning,
    page: include_str!("far_tooth.md"),
    check,
    figure: Some(ToothFigure { judges: Judges::Delivered, unsaid: Unsaid::Stands }),
    yields_to: &["force/sustained", "force/left-over"],
    ..Rule::PLAIN
};

const FAR_MM: f64 = 2.75;
/// Under 0.014 or lighter.
const LIGHT_FAR_MM: f64 = 3.25;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let wire = &view.wire().wire;
        let light = wire.alloy.is_niti()
            && wire.section.is_round()
            && mm(wire.section.height()) <= 0.014 * 25.4 + 1e-6;
        if !view.wire_goes_in() || !view.knows_poses() || RULE.yields(&view, RULE.severity) {
            continue;
        }
        let limit = if light { LIGHT_FAR_MM } else { FAR_MM };
        let mut far: Vec<(Tooth, f64)> = view
            .in_wire()
            .into_iter()
            .map(|t| (t, off_line(&view, t)))
            .filter(|(_, off)| *off > limit + 1e-6)
            .collect();
        far.sort_by(|a, b| b.1.total_cmp(&a.1));
        let Some(&(tooth, off)) = far.first() else { continue };
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                described(view.arch, tooth).unwrap_or(view.case_place()),
                format!(
                    "{} is {} out of line with its neighbours and engaged in {} in {}; the computed force may \
                     be an underestimate.",
                    words.tooth(tooth),
                    say_mm(off),
                    view.wire().label(),
                    view.step.name
                ),
            )
            .why("At such a deflection a superelastic wire softens, and its force rises again later.")
            .figure(tenth(off), limit, Unit::Mm)
            .teeth(far.iter().map(|f| f.0));
        finding.fixes.extend(lighter_wire_fixes(context, &view));
        finding.fixes.extend(lighter_wire::leave_out(context, &view, tooth));
        list.push(Candidate::new(view.side(), off, finding));
    }
    merge_per_arch(words, list, out);
}

/// Distance from the straight line between the neighbours in the wire.
pub(super) fn off_line(view: &StepView<'_>, tooth: Tooth) -> f64 {
    let beside: Vec<_> = [Side::Right, Side::Left]
        .into_iter()
        .filter_map(|way| view.next_in_wire(tooth, way))
        .map(|n| view.pose(n))
        .collect();
    let n = beside.len().max(1) as f64;
    let own = view.pose(tooth);
    let lingual = own.lingual_mm - beside.iter().map(|p| p.lingual_mm).sum::<f64>() / n;
    let gingival = own.gingival_mm - beside.iter().map(|p| p.gingival_mm).sum::<f64>() / n;
    lingual.hypot(gingival)
}
