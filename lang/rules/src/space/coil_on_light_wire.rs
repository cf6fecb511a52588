//! A coil on a wire too flexible to carry it.

use super::coil::open_coils;
use crate::prelude::*;
use crate::support::stock_wires::carrier;
use springline_model::stock::Alloy;

pub const RULE: Rule = Rule {
    code: "space/coil-on-light-wire",
    severity: Severity::Warning,
    page: include_str!("coil_on_light_wire.md"),
    check,
    ..Rule::PLAIN
};

const INCH: f64 = 25.4;
/// The thinnest that carries a light one.
const LIGHT_MM: f64 = 0.016 * INCH;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let limits = &context.case.house.limits;
    let carries_mm = limits.warn(Limit::CoilWire) * INCH;
    let light_g = limits.warn(Limit::LightCoil);
    for view in context.views() {
        let wire = view.wire();
        let section = wire.wire.section;
        let height = mm(section.height());
        let stiff = matches!(wire.wire.alloy, Alloy::Steel | Alloy::CobaltChromium);
        let needed =
            if section.is_round() && !stiff { carries_mm } else { LIGHT_MM.min(carries_mm) };
        if height >= needed - 1e-6 || wire.tandem.is_some() {
            continue;
        }
        for coil in open_coils(&view) {
            // A coil that stays from the preceding step was reported there.
            if !coil.new && !view.is_in_mouth() {
                continue;
            }
            let Some(force) = coil.force_g().filter(|f| *f > 0.0) else { continue };
            if force <= light_g + 1e-6 && height >= LIGHT_MM - 1e-6 {
                continue;
            }
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    view.act_place(coil.act),
                    format!(
                        "The coil of {} g between {} and {} in {} is on {}, which is too flexible for it.",
                        plain(force.round()),
                        words.tooth(coil.right),
                        words.tooth(coil.left),
                        view.step.name,
                        wire.label()
                    ),
                )
                .why("The wire bows, and adjacent teeth rotate out of line.")
                .figure(tenth(height / INCH * 10_000.0) / 10_000.0, needed / INCH, Unit::In)
                .teeth([coil.right, coil.left]);
            if let Some(name) = carrier(context) {
                let fix = context
                    .fix(format!("{name} in {}", view.step.name))
                    .set_clause(view.arch, view.step, ClauseKind::Wire, &name)
                    .done();
                finding.fixes.extend(fix);
            }
            list.push(Candidate::new(view.side(), force, finding));
        }
    }
    merge_per_arch(words, list, out);
}
